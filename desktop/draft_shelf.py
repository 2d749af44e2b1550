"""Where drafts are kept between two evenings: a small file on this computer, beside the window's settings."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QTimer

Words = dict[str, str]
PAUSE_MS, LATEST_MS = 500, 2000
"""Drafts are on the disk so long after the last key, and while someone types on no later than that."""


class DraftShelf:
    """Drafts of one firm in a small file on this computer, readable by its owner alone; lost or odd: no drafts."""

    def __init__(self, path: Path | None = None, firm: str = "") -> None:
        self._path, self._firm = path, firm
        self._all: dict[str, dict[str, Words]] = {}
        if path is not None:
            try:
                read = json.loads(path.read_text("utf-8"))
                self._all = read if isinstance(read, dict) else {}
            except (OSError, ValueError):
                self._all = {}
        self.on_disk = True
        """False while the disk would not take the drafts: closing the program would lose them."""
        self._pause, self._latest = _timer(PAUSE_MS, self.write), _timer(LATEST_MS, self.write)
        mine = self._all.get(firm)
        self._mine: dict[str, Words] = mine if isinstance(mine, dict) else {}

    def words(self, key: str) -> Words:
        """What was begun under this key; {} when nothing was."""
        found = self._mine.get(key)
        return {str(name): str(text) for name, text in found.items()} if isinstance(found, dict) else {}

    def begun(self, ending: str) -> list[str]:
        """What was begun under keys with this ending, named without it."""
        return [key.removesuffix(ending) for key, words in self._mine.items() if words and key.endswith(ending)]

    def under(self, beginning: str) -> list[tuple[str, Words]]:
        """What was begun under keys with this beginning, oldest first."""
        return [(key, self.words(key)) for key in self._mine if key.startswith(beginning) and self.words(key)]

    def keep(self, key: str, words: Words) -> None:
        """Keep this instead of what was there; no words: nothing is kept."""
        if words:
            self._mine[key] = words
        else:
            self._mine.pop(key, None)

    def soon(self) -> None:
        """Put all on the disk once the typing pauses: the program may be killed."""
        if self._path is None:
            return
        self._pause.start()
        if not self._latest.isActive():
            self._latest.start()

    def write(self) -> None:
        """Put all on the disk; a full disk must not stop the owner over a draft."""
        if self._path is None:
            return
        self._pause.stop()
        self._latest.stop()
        self._all[self._firm] = self._mine
        if not self._mine:
            del self._all[self._firm]
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            unfinished = self._path.with_suffix(".new")
            with open(os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="utf-8") as file:
                json.dump(self._all, file, indent=1)
            unfinished.replace(self._path)
            self.on_disk = True
        except OSError:
            self.on_disk = not self._mine


def _timer(after_ms: int, work: Callable[[], None]) -> QTimer:
    timer = QTimer()
    timer.setSingleShot(True)
    timer.setInterval(after_ms)
    timer.timeout.connect(work)
    return timer
