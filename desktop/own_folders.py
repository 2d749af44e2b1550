"""Where this computer keeps what is the program's own: settings, logs, the sample; told when it cannot be kept."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path


def settings_folder() -> Path | None:
    """Where settings are kept; None when this person has no home."""
    from platformdirs import user_config_path

    return _sure(user_config_path("riserbook", appauthor=False))


def log_folder() -> Path | None:
    """Where the log and reports of errors are kept; None when this person has no home."""
    from platformdirs import user_log_path

    return _sure(user_log_path("riserbook", appauthor=False))


def cache_folder() -> Path:
    """Where the sample is kept once it is written.

    Raises:
        FileNotFoundError: this person has no home.
    """
    from platformdirs import user_cache_path

    folder = _sure(user_cache_path("riserbook", appauthor=False))
    if folder is None:
        raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))
    return folder


def name_a_home() -> None:
    """Where the system knows no home folder of this person, name one that is not there, so that none is made by chance:
    else a folder "~" would come about wherever the program was started, and asking for the home would fail."""
    if os.name != "posix":
        return
    if not os.path.isabs(os.environ.get("HOME", "")):
        os.environ.pop("HOME", None)
        try:
            Path.home()
        except (RuntimeError, KeyError):
            os.environ["HOME"] = "/nonexistent"


@contextmanager
def room_for_caches() -> Iterator[None]:
    """Where this person's caches cannot be kept, keep them in a passing folder: what Qt draws letters with complains on
    the terminal otherwise."""
    if os.name != "posix" or can_be_written(Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")):
        yield
        return
    from db.company_file.workplace import workplace

    with ExitStack() as passing:
        with suppress(OSError):
            place = passing.enter_context(workplace(Path(tempfile.gettempdir())))
            os.environ["XDG_CACHE_HOME"] = str(place)
        yield


def can_be_written(folder: Path) -> bool:
    """Whether files can be kept in this folder, which is made for its owner alone when it is not there yet."""
    try:
        make_private_folder(folder)
        tempfile.TemporaryFile(dir=folder).close()
    except OSError:
        return False
    return True


def make_private_folder(folder: Path) -> None:
    """Make a folder, and those above it, where it is not there yet; only its owner may enter it. Raises OSError."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.mkdir(mode=0o700, exist_ok=True)


def write_private(path: Path, text: str) -> None:
    """Write a file that only its owner can read, put in place whole. Raises OSError."""
    unfinished = path.with_name(f".{path.name}.new")
    unfinished.unlink(missing_ok=True)
    handle = os.open(unfinished, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    try:
        with open(handle, "w", encoding="utf-8", errors="replace") as writing:
            writing.write(text)
        os.replace(unfinished, path)
    finally:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)


def _sure(folder: Path) -> Path | None:
    """A home nobody knows leaves a "~" in the name, and would become a folder of that name wherever one stands."""
    return folder if folder.is_absolute() else None
