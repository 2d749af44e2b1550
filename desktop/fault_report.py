"""The report of an error nobody expected: what runs here and where it happened, and nobody's data."""

from __future__ import annotations

import errno
import linecache
import tempfile
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from types import TracebackType

KEPT_REPORTS = 20
_MOST_FRAMES = 40
_ROOT = Path(__file__).resolve().parent.parent
_OWN = ("desktop", "db", "domain", "sample_company")

def report_text(error: BaseException, now: datetime) -> str:
    """What a report says: versions, and where in the program it happened.

    Of an error it has the kind and the places passed, each with its line of source. What an error *says* is left out,
    and so are all values, statements and paths: any of them may hold a customer's name.
    """
    lines = [f"Riserbook report, {now.isoformat(timespec='seconds')}", *versions(), ""]
    for number, (one, how) in enumerate(_chain(error)):
        lines += [how] if number else []
        lines += [*_places(one.__traceback__), _named(one), ""]
    return "\n".join(lines)


def versions() -> Iterator[str]:
    """What runs here, one line each."""
    import platform
    import sqlite3
    from importlib.metadata import PackageNotFoundError, version

    def of(package: str) -> str:
        try:
            return version(package)
        except PackageNotFoundError:
            return "not installed as a package"

    yield f"Riserbook {of('riserbook')}, Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}"
    yield f"PySide6 {of('PySide6-Essentials')}, SQLAlchemy {of('SQLAlchemy')}"
    yield f"{platform.system()} {platform.release()}, {platform.machine()}"


def _chain(error: BaseException) -> Iterator[tuple[BaseException, str]]:
    """The error, and those it came from, the last first."""
    seen: set[int] = set()
    how = ""
    now: BaseException | None = error
    while now is not None and id(now) not in seen and len(seen) < 10:
        seen.add(id(now))
        yield now, how
        how = "caused by" if now.__cause__ is not None else "while dealing with"
        now = now.__cause__ or (None if now.__suppress_context__ else now.__context__)


def _places(trace: TracebackType | None) -> list[str]:
    frames = []
    while trace is not None:
        code = trace.tb_frame.f_code
        frames.append((code.co_filename, trace.tb_lineno, code.co_name))
        trace = trace.tb_next
    if len(frames) > _MOST_FRAMES:
        half = _MOST_FRAMES // 2
        frames = [*frames[:half], ("", len(frames) - 2 * half, ""), *frames[-half:]]
    return [
        f"  {place(file)}:{line} {name}  | {linecache.getline(file, line).strip()}" if file else f"  … {line} more …"
        for file, line, name in frames
    ]


def place(file: str) -> str:
    """A source file without the folders it happens to lie in on this computer."""
    path = Path(file)
    if is_own(file):
        return path.relative_to(_ROOT).as_posix()
    parts = path.parts
    if "site-packages" in parts:
        return Path(*parts[parts.index("site-packages") + 1 :]).as_posix()
    return path.name


def is_own(file: str) -> bool:
    """Whether a source file is one of ours."""
    path = Path(file)
    return path.is_relative_to(_ROOT) and path.relative_to(_ROOT).parts[:1] in {(name,) for name in _OWN}


def _named(error: BaseException) -> str:
    """The kind of error, and of what a system or a database said its number's name alone."""
    said = f"{type(error).__module__}.{type(error).__qualname__}".removeprefix("builtins.")
    if isinstance(error, OSError) and error.errno in errno.errorcode:
        said += f" {errno.errorcode[error.errno]}"
    code = getattr(error, "sqlite_errorname", None)
    return f"{said} {code}" if isinstance(code, str) else said


def write_report(error: BaseException, firm: Path | None = None) -> Path | None:
    """Write a report that the owner can send and nobody else on this computer can read.

    Args:
        firm: the firm's file; the report is put beside it, or where that cannot be, with the program's own logs.

    Returns:
        its path, or None when even that failed.
    """
    from desktop.own_folders import make_private_folder, write_private

    now = datetime.now().astimezone()
    text = report_text(error, now)
    for folder in report_folders(firm):
        path = folder / f"report-{now:%Y%m%d-%H%M%S-%f}.txt"
        try:
            make_private_folder(folder)
            write_private(path, text)
            for old in sorted(folder.glob("report-*.txt"))[:-KEPT_REPORTS]:
                old.unlink(missing_ok=True)
        except OSError:
            continue
        return path
    return None


def report_folders(firm: Path | None) -> Iterator[Path]:
    """Where reports may lie, the best place first."""
    from desktop.own_folders import log_folder

    if firm is not None and firm.parent.is_dir():
        yield firm.with_name(f"{firm.stem} reports")
    if (logs := log_folder()) is not None:
        yield logs
    try:
        yield Path(tempfile.gettempdir()) / "riserbook-reports"
    except OSError:
        return
