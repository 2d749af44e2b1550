"""A wish to end from outside (Ctrl+C, a shutdown) closes the window as its own cross does, in a process of its own."""

from __future__ import annotations

import os
import signal
import subprocess
import sys

import pytest

PROGRAM = """
import os, signal, sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QWidget
from desktop.polite_end import close_when_asked

class Window(QWidget):
    def closeEvent(self, event):
        print("closed in order")

app = QApplication([])
window = Window()
asked = close_when_asked(window)
window.show()
QTimer.singleShot(50, lambda: os.kill(os.getpid(), int(sys.argv[1])))
app.exec()
sys.exit(asked())
"""


@pytest.mark.skipif(os.name != "posix", reason="signals of Unix")
@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_the_window_closes_in_order(name: str) -> None:
    number = int(getattr(signal, name))
    ended = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(number)],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"}, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert ended.stdout == "closed in order\n"
    assert ended.returncode == 128 + number
    assert "Traceback" not in ended.stderr
