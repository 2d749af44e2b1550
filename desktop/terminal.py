"""What is said on the terminal: every line gets out in some way, and a reader who leaves is no error."""

from __future__ import annotations

import codecs
import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from types import FrameType
from typing import NoReturn

_PLAIN = {
    "“": '"', "”": '"', "‘": "'", "’": "'", "–": "-", "—": "-", "−": "-", "…": "...", "×": "x", "·": ".",
    "≤": "<=", "≥": ">=",
}  # fmt: skip
_PLAINLY = "riserbook-plainly"
STOPPED = 130
"""The status of a command that was stopped by Ctrl+C, as shells count it: 128 and the signal's number."""


class CannotSay(Exception):
    """The answer could not be written to where it was to go; the message says why."""


def ready_streams() -> None:
    """A sign the terminal cannot show must not stop a line, nor may a file take a closed stream's place."""
    codecs.register_error(_PLAINLY, _plainly)
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            with suppress(OSError, ValueError):
                reconfigure(errors=_PLAINLY)
    with suppress(OSError):
        while (handle := os.open(os.devnull, os.O_RDWR)) <= 2:
            pass  # each takes the lowest free number, and stays
        os.close(handle)


def _plainly(error: UnicodeError) -> tuple[str | bytes, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    told = error.object[error.start : error.end]
    return "".join(_PLAIN.get(letter, "?") for letter in told), error.end


def say(text: str) -> None:
    """Print a command's answer, which may hold data: no command to the terminal is left in it.

    Raises:
        CannotSay: it could not be written.
        BrokenPipeError: whoever reads has seen enough.
    """
    from domain.leaving import many_lines

    if sys.stdout is None:
        raise CannotSay("the answer has nowhere to go: the output is closed")
    try:
        print(many_lines(text))
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise CannotSay(f"the answer could not be written: {plain_reason(error)}") from error


def complain(text: str) -> None:
    """One line for the person at the terminal, to where errors go; never fails."""
    from domain.leaving import one_line

    if sys.stderr is not None:
        with suppress(OSError, ValueError):
            print(f"riserbook: {one_line(text)}", file=sys.stderr, flush=True)


def finish_saying() -> None:
    """Write out what is still held back, as help is.

    Raises:
        CannotSay, BrokenPipeError: as `say`.
    """
    if sys.stdout is None:
        return
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        raise CannotSay(f"the answer could not be written: {plain_reason(error)}") from error


def say_no_more() -> None:
    """Let go of an output that takes nothing any more, so that the end of the program does not try once more."""
    with suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def plain_reason(error: OSError) -> str:
    """The system's own word for it, in lower case, without file names."""
    reason = error.strerror or type(error).__name__
    return reason[:1].lower() + reason[1:]


@contextmanager
def orderly_end() -> Iterator[None]:
    """Let a polite request to end (a shutdown, a closed terminal) run what cleans up, as Ctrl+C does."""

    def leave(number: int, _frame: FrameType | None) -> NoReturn:
        raise SystemExit(128 + number)

    before = {}
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is signal.SIG_DFL:
            with suppress(ValueError):  # not in the main thread: somebody else is in charge
                before[number] = signal.signal(number, leave)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
