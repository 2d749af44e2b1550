"""How long ago something came up: what came up under a pressing finger has not been read yet."""

from __future__ import annotations

from PySide6.QtCore import QElapsedTimer

READING_MS = 1_000
"""A press so soon after is the second one of a double click, not an answer."""


class YoungMoment:
    """A moment that is young for a second after `restart`; never young before."""

    def __init__(self) -> None:
        self._since = QElapsedTimer()

    def restart(self) -> None:
        """It came up now."""
        self._since.start()

    def is_young(self) -> bool:
        """Whether it came up too short a while ago to have been read."""
        return self._since.isValid() and self._since.elapsed() < READING_MS
