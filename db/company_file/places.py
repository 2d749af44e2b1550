"""Where the things that belong to a company file lie: all of them beside it, named after it."""

from __future__ import annotations

from pathlib import Path

SUFFIX = ".riserbook"
"""How the name of a company file ends."""


def backup_folder(path: Path) -> Path:
    """The folder of the company's own backups."""
    return path.with_name(f"{path.stem} backups")


def photo_folder(path: Path) -> Path:
    """The folder of the company's photos."""
    return path.with_name(f"{path.stem} photos")


def lock_file(path: Path) -> Path:
    """The file that is held while the company is open for work."""
    return path.with_name(f".{path.name}.in-use")


def side_files(path: Path) -> tuple[Path, ...]:
    """What the database keeps beside the file while it is open, or after a crash."""
    return tuple(path.with_name(path.name + ending) for ending in ("-wal", "-shm", "-journal"))
