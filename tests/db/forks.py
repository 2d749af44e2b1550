"""Work in a process of its own that need not load Python and the program anew: forked, heard through a pipe, killed."""

from __future__ import annotations

import os
import signal
import time
import traceback
from collections.abc import Callable
from typing import Any

Tell = Callable[[object], None]


class Fork:
    """A process at work on something; what it tells is read line by line, a line cut by its death counts as not told.

    The one who forks holds no connection to the file, so the child's locks are its own.
    """

    def __init__(self, work: Callable[..., None], *arguments: Any) -> None:
        told, tell = os.pipe()
        self._id = os.fork()
        if self._id == 0:
            os.close(told)
            _child(work, arguments, tell)
        os.close(tell)
        self._told = os.fdopen(told, encoding="utf-8")

    def next_line(self) -> str:
        """The next whole line; empty when the process has ended."""
        line = self._told.readline()
        return line.rstrip("\n") if line.endswith("\n") else ""

    def killed(self, after: float = 0.0) -> list[str]:
        """Kill it after so many seconds; the whole lines it had told and nobody had read yet."""
        time.sleep(after)
        self.kill()
        return self.ended()

    def kill(self) -> None:
        """End it at once, wherever it is."""
        os.kill(self._id, signal.SIGKILL)

    def ended(self) -> list[str]:
        """Wait for its end; the whole lines that nobody had read yet."""
        lines = [line.rstrip("\n") for line in self._told if line.endswith("\n")]
        self._told.close()
        os.waitpid(self._id, 0)
        return lines


def _child(work: Callable[..., None], arguments: tuple[Any, ...], tell: int) -> None:
    def say(words: object) -> None:
        os.write(tell, f"{words}\n".encode())

    try:
        work(say, *arguments)
    except BaseException:
        say(traceback.format_exc())
    finally:
        os._exit(0)
