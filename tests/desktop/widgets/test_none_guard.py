"""The program outlives far more Qt calls than None had references to begin with."""

import subprocess
import sys

CALLS = """
import desktop
from PySide6.QtCore import QObject
thing = QObject()
for number in range(200_000):
    thing.setObjectName("x")
print("alive")
"""


def test_two_hundred_thousand_qt_calls_leave_the_interpreter_alive() -> None:
    done = subprocess.run([sys.executable, "-c", CALLS], capture_output=True, text=True, timeout=60, check=False)
    assert done.stdout.strip() == "alive", done.stderr[-300:]
