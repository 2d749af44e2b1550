"""The sample company on this computer: written once into the cache, handed out as copies only."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from desktop.own_folders import cache_folder

FILE_NAME = "Sample firm.riserbook"


def is_written() -> bool:
    """True when the original is in the cache already, so that a copy is a matter of milliseconds."""
    with suppress(OSError):
        return _kept().is_file()
    return False


def _kept() -> Path:
    from sample_company.fingerprint import fingerprint

    return cache_folder() / f"sample-{fingerprint()}.riserbook"


def master(progress: Callable[[int, int], None] | None = None) -> Path:
    """The kept original; written on the first call (some seconds), found on later ones.

    Args:
        progress: called with (done, of) while it is being written.
    """
    path = _kept()
    if not path.is_file():
        from sample_company import write_sample

        folder = path.parent
        folder.mkdir(parents=True, exist_ok=True)
        from db.company_file.workplace import clear_left_behind, workplace

        clear_left_behind([folder])
        with workplace(folder) as writing:
            fresh = writing / FILE_NAME
            write_sample(fresh, progress=progress)
            for old in folder.glob("sample-*.riserbook"):
                old.unlink(missing_ok=True)
            fresh.replace(path)
    return path


@contextmanager
def fresh_copy(progress: Callable[[int, int], None] | None = None) -> Iterator[Path]:
    """A copy to play with, gone when the block ends. Where no original can be kept, it is written each time.

    Raises:
        CompanyProblem, OSError: there is no room for it, or no folder for temporary files.
    """
    from db.company_file.problems import CompanyProblem
    from db.company_file.workplace import SAMPLE, workplace
    from sample_company import write_sample

    clear_left_samples()
    with workplace(Path(tempfile.gettempdir()), SAMPLE) as folder:
        copy = folder / FILE_NAME
        try:
            shutil.copyfile(master(progress), copy)
            copy.chmod(0o600)
        except (CompanyProblem, OSError):
            copy.unlink(missing_ok=True)
            write_sample(copy, progress=progress)
        yield copy


def clear_left_samples() -> None:
    """Remove the copies of programs that were killed while somebody played with one."""
    from db.company_file.workplace import clear_left_behind

    clear_left_behind([Path(tempfile.gettempdir())])
