"""What happened, for support: versions, files opened by name, steps with their times, refusals. Nobody's data.

Nothing here takes free text: a label, a message or a statement may hold a customer's name. What is written is taken
from the program's own source (which function, which kind of error), and of files their names without folders. The
lines wait in memory while the program starts, since the file and the module that turns it over cost time then.
"""

from __future__ import annotations

import inspect
import logging
import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from time import perf_counter
from typing import IO, Any

LOG = logging.getLogger("riserbook")
LOG.addHandler(logging.NullHandler())  # where nobody listens, nothing goes to the terminal
FILE_NAME = "riserbook.log"
LARGEST = 256 * 1024
OLDER_FILES = 3
_MOST_WAITING = 500
_QT_PLACE = re.compile(r"Q[A-Z]\w+(::\w+)+|qt(\.\w+)+")
_FORM = "%(asctime)s %(levelname)s %(message)s"


class _Waiting(logging.Handler):
    """Keeps the lines until they can be written down."""

    def __init__(self) -> None:
        super().__init__()
        self.kept: list[logging.LogRecord] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep it, up to a bound."""
        if len(self.kept) < _MOST_WAITING:
            self.kept.append(record)


def begin(what: str) -> None:
    """Start to listen; `what` is a word of the program's own, like window or costing."""
    stop()
    LOG.setLevel(logging.INFO)
    LOG.propagate = False
    LOG.addHandler(_Waiting())
    LOG.info("begin %s, process %d", what, os.getpid())


def write_down() -> None:
    """From now on into the file, what waited first. Where no file can be written there is no log, and no trouble."""
    from desktop.own_folders import log_folder, make_private_folder

    folder = log_folder()
    waiting = [handler for handler in LOG.handlers if isinstance(handler, _Waiting)]
    for handler in waiting:
        LOG.removeHandler(handler)
    if folder is None or not waiting:
        return
    try:
        make_private_folder(folder)
        writing = _private_handler(folder / FILE_NAME)
    except OSError:
        return
    LOG.addHandler(writing)
    from desktop.fault_report import versions

    for line in versions():
        LOG.info("%s", line)
    for record in waiting[0].kept:
        writing.handle(record)


def _private_handler(path: Path) -> logging.Handler:
    from logging.handlers import RotatingFileHandler

    class Private(RotatingFileHandler):
        """Readable by its owner alone, and silent about a full disk."""

        def _open(self) -> IO[Any]:
            return open(self.baseFilename, self.mode, encoding="utf-8", errors="replace", opener=_for_me_alone)

        def handleError(self, record: logging.LogRecord) -> None:
            """A line that cannot be written is lost; the work goes on."""

    made = Private(path, maxBytes=LARGEST, backupCount=OLDER_FILES, encoding="utf-8")
    made.setFormatter(logging.Formatter(_FORM))
    return made


def _for_me_alone(path: str, flags: int) -> int:
    handle = os.open(path, flags, 0o600)
    if hasattr(os, "fchmod"):
        os.fchmod(handle, 0o600)  # one that lay there already too
    return handle


def stop() -> None:
    """Let go of the file."""
    for handler in list(LOG.handlers):
        if not isinstance(handler, logging.NullHandler):
            LOG.removeHandler(handler)
            with suppress(OSError):  # a full disk
                handler.close()


def newest_lines(most: int = 200) -> list[str]:
    """The end of the log, oldest first."""
    from desktop.own_folders import log_folder

    folder = log_folder()
    if folder is None:
        return []
    lines: list[str] = []
    for path in (folder / FILE_NAME, *(folder / f"{FILE_NAME}.{number}" for number in range(1, OLDER_FILES + 1))):
        try:
            lines = [*path.read_text("utf-8", errors="replace").splitlines(), *lines]
        except OSError:
            break
        if len(lines) >= most:
            break
    return lines[-most:]


def note_opened(path: Path, seconds: float) -> None:
    """A firm's file was opened."""
    LOG.info("opened %s in %d ms", _one_line(path.name), round(seconds * 1000))


def note_refused(error: BaseException, where: Callable[..., object] | None = None) -> None:
    """Something asked for was not done; of the refusal its kind and the place in the source that refused."""
    LOG.warning("refused: %s%s", kind_and_place(error), f", in {_name_of(where)}" if where else "")


def note_fault(error: BaseException, report: Path | None) -> None:
    """An error nobody expected."""
    LOG.error("fault: %s; %s", kind_and_place(error), report.name if report else "no report")


def note_qt(severity: str, message: str) -> None:
    """A word of Qt's own; of its text only the class and function that it begins with."""
    known = _QT_PLACE.match(message)
    LOG.info("qt %s %s", severity, known[0] if known else "(not kept)")


def note_end(what: str, status: int, seconds: float) -> None:
    """A command is over."""
    LOG.info("end %s, status %d, %d ms", what, status, round(seconds * 1000))


@contextmanager
def timed(what: str, work: Callable[..., object] | None = None) -> Iterator[None]:
    """Note how long something took; `what` is our own word, `work` is named by its place in the source."""
    began = perf_counter()
    try:
        yield
    finally:
        LOG.info("%s %s %d ms", what, _name_of(work) if work else "", round((perf_counter() - began) * 1000))


def _name_of(work: Callable[..., object]) -> str:
    work = inspect.unwrap(getattr(work, "func", work))
    module, name = getattr(work, "__module__", ""), getattr(work, "__qualname__", type(work).__qualname__)
    return f"{module}.{name}".replace(".<locals>", "")


def kind_and_place(error: BaseException) -> str:
    """The kind of an error and the last place in our own source that it passed, else the last of all."""
    from desktop.fault_report import is_own, place

    last, trace = None, error.__traceback__
    while trace is not None:
        code = trace.tb_frame.f_code
        if last is None or is_own(code.co_filename) or not is_own(last[0]):
            last = code.co_filename, trace.tb_lineno, code.co_name
        trace = trace.tb_next
    kind = type(error).__qualname__
    return kind if last is None else f"{kind} at {place(last[0])}:{last[1]} {last[2]}"


def _one_line(name: str) -> str:
    return "".join(letter if letter.isprintable() else "?" for letter in name)
