"""What programs that were killed left beside a company: cleared away when it is opened for work."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from db.company_file.backup_notes import clear_lonely_notes
from db.company_file.places import backup_folder, photo_folder
from db.company_file.workplace import clear_left_behind


def clear_after_a_kill(path: Path) -> None:
    """Remove half files; the company's own lock is held by the caller.

    A backup, a copy or a restore is known by the lock of its maker (`workplace`). Half a photo has none of its own:
    only who holds the company's lock takes photos in, so whatever half photo lies there was left by one that is gone.
    """
    clear_left_behind([path.parent, backup_folder(path)])
    clear_lonely_notes(backup_folder(path))
    with suppress(OSError):
        for entry in list(os.scandir(photo_folder(path))):
            if entry.name.startswith(".") and entry.name.endswith(".part") and entry.is_file(follow_symlinks=False):
                os.unlink(entry.path)
    if os.name == "posix":
        with suppress(OSError):  # a folder that came from elsewhere may be open to everyone
            photos = photo_folder(path)
            if photos.is_dir() and photos.stat().st_mode & 0o077:
                photos.chmod(0o700)
