"""For developers: `python -m db.migrations "What changes"` writes the step from the newest revision to the tables."""

from __future__ import annotations

import sys
from pathlib import Path

from sqlalchemy import create_engine
from sqlalchemy.pool import StaticPool


def write_step(message: str) -> Path:
    """Write the next step by comparing an in-memory file at the newest revision with the tables; read it before use.

    Returns:
        the new file's path.
    """
    from alembic import command

    from db.migrations import REVISIONS
    from db.migrations.run import config_for, upgrade

    engine = create_engine("sqlite://", poolclass=StaticPool)
    with engine.connect() as conn:
        if REVISIONS:
            upgrade(conn)
        script = command.revision(
            config_for(conn), message, autogenerate=True, rev_id=f"{len(REVISIONS) + 1:04d}"
        )
    path = Path(str(getattr(script, "path", "")))
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(line for line in lines if not line.startswith("    # ###")), encoding="utf-8")
    return path


if __name__ == "__main__":
    if len(sys.argv) != 2:
        raise SystemExit('Say what changes: python -m db.migrations "Jobs know their permit number"')
    print(write_step(sys.argv[1]))
