"""Where the things that belong to a company file lie: all of them beside it, named after it."""

from __future__ import annotations

from pathlib import Path

SUFFIX = ".riserbook"
"""How the name of a company file ends."""

BACKUP_SUFFIX = ".riserbackup"
"""How the name of a backup ends that holds everything in one file, to be kept elsewhere."""


def backup_folder(path: Path) -> Path:
    """The folder of the company's own backups."""
    return path.with_name(f"{path.stem} backups")


def store_folder(path: Path) -> Path:
    """Inside the folder of backups: the photos and papers of all of them, each once."""
    return backup_folder(path) / "photos and papers"


def photo_folder(path: Path) -> Path:
    """The folder of the company's photos."""
    return path.with_name(f"{path.stem} photos")


def lock_file(path: Path) -> Path:
    """The file that is held while the company is open for work."""
    return path.with_name(f".{path.name}.in-use")


def side_files(path: Path) -> tuple[Path, ...]:
    """What the database keeps beside the file while it is open, or after a crash."""
    return tuple(path.with_name(path.name + ending) for ending in ("-wal", "-shm", "-journal"))
