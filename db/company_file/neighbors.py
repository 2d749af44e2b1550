"""What lies beside a file and tells that it was a firm's, whatever its bytes are now: backups, a log, our lock."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from db.company_file.places import SUFFIX, backup_folder, lock_file, side_files
from db.company_file.problems import Damaged, damaged, how_to_recover


def was_a_firm(path: Path) -> bool:
    """Whether name and neighbors tell that a firm lay here, though its own bytes no longer do."""
    if path.suffix.lower() != SUFFIX:
        return False
    wal, _, journal = side_files(path)
    return bool(_backups(path)) or lock_file(path).exists() or any(_filled(side) for side in (wal, journal))


def overwritten(path: Path) -> Damaged:
    """A firm's file whose first bytes are gone, with the backups that lie beside it named."""
    problem = damaged(path, "its first bytes are not those of a firm's file")
    if names := _backups(path):
        count = "1 backup of it lies" if len(names) == 1 else f"{len(names)} backups of it lie"
        problem = Damaged(
            path, f"{problem.message} {count} in “{backup_folder(path).name}”, the newest “{names[-1]}”.",
            how_to_recover(path),
        )
    return problem


def _backups(path: Path) -> list[str]:
    with suppress(OSError):
        return sorted(one.name for one in backup_folder(path).glob(f"*{SUFFIX}") if _filled(one))
    return []


def _filled(path: Path) -> bool:
    with suppress(OSError):
        return path.is_file() and path.stat().st_size > 0
    return False
