"""An open company: reading, one transaction per user action, undo and redo."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, Engine

from db.edit import Edit, apply_journal


class Company:
    """One open company file. Made by `create_company` or `open_company`; close it when done."""

    def __init__(
        self,
        path: Path,
        engine: Engine,
        on_close: Callable[[], None] = lambda: None,
        clock: Callable[[], datetime] = lambda: datetime.now().astimezone(),
    ) -> None:
        self.path = path
        self.engine = engine
        self._on_close = on_close
        self._clock = clock
        self._done: list[tuple[int, str]] = []
        self._undone: list[tuple[int, str]] = []
        self.saved_at: datetime | None = None

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """A connection for questions."""
        with self.engine.connect() as conn:
            yield conn

    @contextmanager
    def action(self, label: str) -> Iterator[Edit]:
        """One user action: saved whole when the block ends, or not at all when it raises.

        Args:
            label: what the user did, as Undo will name it, e.g. "Change waste on 3 in pipe".
        """
        with self.engine.begin() as conn:
            edit = Edit(conn, label, self._clock().isoformat(timespec="seconds"))
            yield edit
            if edit.changed_rows == 0:
                conn.rollback()
        if edit.changed_rows:
            self._done.append((edit.action_id, label))
            self._undone.clear()
            self.saved_at = self._clock()

    @property
    def undo_label(self) -> str | None:
        """What Undo would take back, None when there is nothing."""
        return self._done[-1][1] if self._done else None

    @property
    def redo_label(self) -> str | None:
        """What Redo would do again, None when there is nothing."""
        return self._undone[-1][1] if self._undone else None

    def undo(self) -> str | None:
        """Take back the last action of this session and return its label."""
        return self._step(self._done, self._undone, backwards=True)

    def redo(self) -> str | None:
        """Do the last undone action again and return its label."""
        return self._step(self._undone, self._done, backwards=False)

    def _step(
        self, source: list[tuple[int, str]], target: list[tuple[int, str]], *, backwards: bool
    ) -> str | None:
        if not source:
            return None
        action_id, label = source[-1]
        with self.engine.begin() as conn:
            apply_journal(conn, action_id, backwards=backwards)
        target.append(source.pop())
        self.saved_at = self._clock()
        return label

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()
        self._on_close()
