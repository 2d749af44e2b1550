"""Alembic without its ini file: the steps are run over a connection of ours, by the program itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import Connection

from db.migrations import FOLDER, HEAD

if TYPE_CHECKING:
    from alembic.config import Config


def config_for(conn: Connection) -> Config:
    """What Alembic must be told: where the steps are, and over which connection to work."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.set_main_option("file_template", "%%(rev)s_%%(slug)s")
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = conn
    return config


def upgrade(conn: Connection) -> None:
    """Run every step the connection's file lacks; the caller begins and commits."""
    from alembic import command

    command.upgrade(config_for(conn), "head")


def default_differs(
    _context: object, _found: object, _wanted: object, found: str | None, _default: object, wanted: str | None
) -> bool:
    """Whether a column's default in the file is another than the tables'; Alembic alone stumbles over an empty text."""
    return _bare(found) != _bare(wanted)


def _bare(default: str | None) -> str | None:
    return None if default is None else default.strip("()").strip("'")


def stamp(conn: Connection) -> None:
    """Write the newest revision into a file whose tables were made directly, exactly as Alembic would have."""
    conn.exec_driver_sql(
        "CREATE TABLE alembic_version (\n\tversion_num VARCHAR(32) NOT NULL, \n\t"
        "CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)\n)"
    )
    conn.exec_driver_sql("INSERT INTO alembic_version (version_num) VALUES (?)", (HEAD,))
