"""What lies beside a file and tells that it was a firm's, whatever its bytes are now: backups, a log, our lock."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from db.company_file.places import SUFFIX, backup_folder, lock_file, side_files
from db.company_file.problems import HOW_TO_RECOVER, Damaged, Gone, Missing, damaged


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
        problem = Damaged(path, f"{problem.message} {_told(path, names)}", HOW_TO_RECOVER)
    return problem


def not_there(path: Path) -> Missing:
    """A firm's file that is not where it was looked for; what is left of it beside that place is named."""
    message, names = f"There is no file “{path.name}” in “{path.parent}”.", _backups(path)
    log = path.suffix.lower() == SUFFIX and _filled(side_files(path)[0])
    if not names and not log:
        return Missing(
            path, message, "It may have been moved or renamed: choose it where it is now, or restore a backup."
        )
    left = _told(path, names) if names else "Its log still lies there, which may hold its last steps."
    return Gone(
        path,
        f"{message} {left}",
        "If it was moved or renamed, choose it where it is now. If it is lost, recover it: you see what there is "
        "before anything is put in its place.",
    )


def _told(path: Path, names: list[str]) -> str:
    count = "1 backup of it lies" if len(names) == 1 else f"{len(names)} backups of it lie"
    return f"{count} in “{backup_folder(path).name}”, the newest “{names[-1]}”."


def _backups(path: Path) -> list[str]:
    with suppress(OSError):
        return sorted(one.name for one in backup_folder(path).glob(f"*{SUFFIX}") if _filled(one))
    return []


def _filled(path: Path) -> bool:
    with suppress(OSError):
        return path.is_file() and path.stat().st_size > 0
    return False
