"""The sample company on this computer: written once into the cache, handed out as copies only."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

FILE_NAME = "Sample company.riserbook"


def is_written() -> bool:
    """True when the original is in the cache already, so that a copy is a matter of milliseconds."""
    return _kept().is_file()


def _kept() -> Path:
    from platformdirs import user_cache_path

    from sample_company.fingerprint import fingerprint

    return user_cache_path("riserbook", appauthor=False) / f"sample-{fingerprint()}.riserbook"


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
        with tempfile.TemporaryDirectory(dir=folder, prefix="writing-") as writing:
            fresh = Path(writing) / FILE_NAME
            write_sample(fresh, progress=progress)
            for old in folder.glob("sample-*.riserbook"):
                old.unlink(missing_ok=True)
            fresh.replace(path)
    return path


@contextmanager
def fresh_copy(progress: Callable[[int, int], None] | None = None) -> Iterator[Path]:
    """A copy to play with, gone when the block ends."""
    original = master(progress)
    with tempfile.TemporaryDirectory(prefix="riserbook-sample-", ignore_cleanup_errors=True) as folder:
        copy = Path(folder) / FILE_NAME
        shutil.copy2(original, copy)
        copy.chmod(0o600)
        yield copy
