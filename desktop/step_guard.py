"""Undo and redo ask first where the step is of another job, made on another page, than what is shown."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import Connection

from db.queries.step_job import job_of_step
from domain.errors import as_typed

Here = tuple[str, int]
"""A place of the window, and the job that is shown there; 0 for none."""


class StepGuard:
    """Knows where each step of this session was made; `here` is None where no window says what is shown."""

    def __init__(self, here: Callable[[], Here | None]) -> None:
        self._here = here
        self._made: dict[int, Here] = {}
        self._asked: tuple[int, Here] | None = None
        self.told = 0  # the step beside whose word Undo is offered

    def note(self, step_id: int, *, told: bool = False) -> None:
        """This step was saved just now, from the page that is shown; told with the offer to undo it."""
        self.told = step_id if told else 0
        if (here := self._here()) is not None:
            self._made.setdefault(step_id, here)
        self._asked = None

    def question(self, conn: Connection, step_id: int, label: str, *, redo: bool = False) -> str:
        """What to ask before this step is taken back or done again; "" on its own page, and once it was asked."""
        here = self._here()
        if here is None or not step_id or self._asked == (step_id, here):
            self._asked = None
            return ""
        at = job_of_step(conn, step_id)
        if at is None or at[0] == here[1] or self._made.get(step_id) == here:
            return ""
        self._asked = (step_id, here)
        where = f"on job {at[1]}"
        if redo:
            return f"The step to do again was {where}: {as_typed(label)}. Once more does it; nothing is changed yet."
        return f"The last step was {where}: {as_typed(label)}. Ctrl+Z once more takes it back; nothing is changed yet."
