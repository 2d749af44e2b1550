"""Ctrl+C in the terminal and the system's wish to end close the window as its own cross does, with all saved."""

from __future__ import annotations

import signal
import socket
from collections.abc import Callable
from contextlib import suppress
from types import FrameType

from PySide6.QtCore import QSocketNotifier
from PySide6.QtWidgets import QWidget

_ASKING = ("SIGINT", "SIGTERM", "SIGHUP")


def close_when_asked(window: QWidget) -> Callable[[], int]:
    """Close the window at any of these signals.

    Qt waits outside Python, so a signal alone would not be seen before the next key; it also knocks at a socket that
    Qt listens to.

    Returns:
        asks what ended the program: 128 and the signal's number, 0 when it was no signal.
    """
    asked: list[int] = []
    ours, knocked = socket.socketpair()
    for end in (ours, knocked):
        end.setblocking(False)
    listener = QSocketNotifier(ours.fileno(), QSocketNotifier.Type.Read, window)

    def heard() -> None:
        with suppress(OSError):
            ours.recv(64)
        if asked:
            window.setProperty("ending", True)  # nobody is there to be asked
            window.close()

    def note(number: int, _frame: FrameType | None) -> None:
        asked.append(number)

    listener.activated.connect(heard)
    try:
        signal.set_wakeup_fd(knocked.fileno(), warn_on_full_buffer=False)
        for name in _ASKING:
            number = getattr(signal, name, None)
            if number is not None and signal.getsignal(number) is not signal.SIG_IGN:
                signal.signal(number, note)
    except ValueError:
        pass  # not in the main thread: somebody else is in charge
    window.destroyed.connect(lambda: (ours.close(), knocked.close()))
    return lambda: 128 + asked[0] if asked else 0
