"""Sums of the whole company that take a moment: asked at once in a small one, beside the window in a large one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from sqlalchemy import Connection

from db.queries.margins import count_closed
from desktop.desk import Desk

AT_ONCE = 400
"""Up to so many closed jobs the answer is there before one sees that it was asked for."""


class AddingUp:
    """Keeps the last answer until something is saved, so that coming back costs nothing."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._turn = 0
        self._known: tuple[object, Any] | None = None

    def ask(
        self, what: object, question: Callable[[Connection], Any], done: Callable[[Any], object],
        waiting: Callable[[], object],
    ) -> None:  # fmt: skip
        """Ask, and hand the answer to `done`; `waiting` is called when that is not at once.

        Args:
            what: names the question: the same one is not asked twice of the same state of the company.
        """
        asked = (what, self._desk.company.saved_at)
        if self._known is not None and self._known[0] == asked:
            done(self._known[1])
            return
        with self._desk.read() as conn:
            if count_closed(conn) <= AT_ONCE:
                done(question(conn))
                return
        self._turn += 1
        turn = self._turn
        waiting()

        def work() -> Any:
            with self._desk.read() as conn:
                return question(conn)

        def take(answer: Any) -> None:
            if turn == self._turn:
                self._known = asked, answer
                done(answer)

        self._desk.background(work, take)
