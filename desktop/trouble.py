"""The last net: an error nobody expected is written down, the person is told, and the window lives on."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType

from desktop import log_file
from desktop.fault_report import write_report

QUIET_S = 60.0
"""An error that comes again within this time (with every repaint, say) is neither written nor told again."""

Tell = Callable[[Path | None], None]


class _Seen:
    """Which errors were told lately, by kind and place."""

    def __init__(self) -> None:
        self._at: dict[tuple[str, str, int], float] = {}

    def again(self, error: BaseException) -> bool:
        """True when the same one was told within QUIET_S."""
        last = error.__traceback__
        while last is not None and last.tb_next is not None:
            last = last.tb_next
        where = (last.tb_frame.f_code.co_filename, last.tb_lineno) if last is not None else ("", 0)
        key = (type(error).__qualname__, *where)
        now = time.monotonic()
        known = self._at.get(key)
        self._at[key] = now
        return known is not None and now - known < QUIET_S


def catch_everything(tell: Tell, firm: Callable[[], Path | None] = lambda: None) -> None:
    """From now on, every error nobody expected is written to a report and `tell` is called with its path.

    Args:
        tell: runs in the window's thread alone; an error on another thread is only written down.
        firm: the file of the firm that is open, where it is one to write beside.
    """
    seen = _Seen()

    def handle(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            return  # pressed once more while already leaving
        try:
            if error.__traceback__ is None:
                error = error.with_traceback(trace)
            if seen.again(error):
                return
            report = write_report(error, firm())
            log_file.note_fault(error, report)
            if threading.current_thread() is threading.main_thread():
                tell(report)
        except Exception as second:  # the net itself must hold
            quietly_note(second)

    def on_a_thread(arguments: threading.ExceptHookArgs) -> None:
        if arguments.exc_value is not None:
            handle(arguments.exc_type, arguments.exc_value, arguments.exc_traceback)

    sys.excepthook = handle
    threading.excepthook = on_a_thread
    sys.unraisablehook = _note_unraisable


@contextmanager
def quiet_leftovers() -> Iterator[None]:
    """An error while something is let go of (say a half-written archive on a full disk) is not for the terminal."""
    before = sys.unraisablehook
    sys.unraisablehook = _note_unraisable
    try:
        yield
    finally:
        sys.unraisablehook = before


def _note_unraisable(unraisable: sys.UnraisableHookArgs) -> None:
    if unraisable.exc_value is not None:
        quietly_note(unraisable.exc_value)


def quietly_note(error: BaseException) -> None:
    """Put an error in the log, or nowhere when even that fails."""
    try:
        log_file.note_fault(error, None)
    except Exception:
        return
