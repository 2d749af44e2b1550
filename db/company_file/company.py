"""An open company: reading, one transaction per user action, undo and redo."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self, cast

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError, IntegrityError

from db.company_file.connection import WRITES, connect
from db.company_file.problems import CompanyProblem, Refused, cannot_read, closed, gone, problem_of, unsettled
from db.company_file.readable import looking_mode, seen
from db.edit import Edit, apply_journal
from domain.errors import NotUnderstood


class Company:
    """One open company file. Made by `create_company` or `open_company`; close it when done.

    Attributes:
        path: the file.
        saved_at: when this session last saved something, None when it has not yet.
        backup_problem: why the last rolling backup could not be made, None when all is well.
        changed_by_itself: what the look at that backup found changed though no step changed it.
    """

    def __init__(
        self,
        path: Path,
        engine: Engine,
        on_close: Callable[[], None] = lambda: None,
        clock: Callable[[], datetime] = lambda: datetime.now().astimezone(),
        settled: bool = True,
    ) -> None:
        self.path = path
        self.engine = engine
        self.saved_at: datetime | None = None
        self.backup_problem: CompanyProblem | None = None
        self.changed_by_itself: tuple[str, ...] = ()
        self._on_close = on_close
        self._clock = clock
        self._closed = False
        self._identity = _identity(path)
        # Read without locks, as on a disc that cannot be written: an answer counts only if nobody wrote meanwhile.
        self._unlocked = None if settled else seen(path)
        self._turn = threading.Lock()  # one writer at a time: a second action waits its turn instead of failing
        self._writer: int | None = None
        self._done: list[tuple[int, str]] = []
        self.final_label: str | None = None  # the last action of the session, where it is one that cannot be undone
        self._undone: list[tuple[int, str]] = []

    def now(self) -> datetime:
        """The moment, by the clock this company was opened with."""
        return self._clock()

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """A connection for questions; everything asked in one block is answered from the same state.

        Raises:
            CompanyProblem: the file or the disk does not answer.
        """
        self._must_be_open()
        with self._plainly(reading=True), self.engine.connect() as conn:
            try:
                yield conn
            finally:
                if self._unlocked is not None and seen(self.path) != self._unlocked:
                    raise unsettled(self.path)

    @contextmanager
    def action(self, label: str, *, undoable: bool = True) -> Iterator[Edit]:
        """One user action: saved whole when the block ends, or not at all when it raises.

        After it, what was undone before cannot be redone any more. An action that changes nothing leaves no trace.

        Args:
            label: what the user did, as Undo will name it, e.g. "Change waste on 3 in pipe".
            undoable: False for what a company is founded with, which nobody takes back row by row; the journal
                then names the action only.

        Raises:
            CompanyProblem: it was not saved, because of the file or the disk; the message says what to do.
        """
        with self._my_turn():
            with self._plainly(), self._transaction() as conn:
                edit = Edit(conn, label, self._clock().isoformat(timespec="seconds"), undoable=undoable)
                yield edit
                if edit.changed_rows:
                    conn.commit()
            if edit.changed_rows:
                self.final_label = label if edit.final else None
                if undoable and not edit.final:
                    self._done.append((edit.action_id, label))
                else:
                    self._done.clear()  # the steps before it may rest on what cannot be taken back
                self._undone.clear()
                self.saved_at = self._clock()

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction outside the journal, for what is no user's edit; it cannot be undone."""
        with self._my_turn(), self._plainly(), self._transaction() as conn:
            yield conn
            conn.commit()

    @contextmanager
    def raw(self) -> Iterator[sqlite3.Connection]:
        """SQLite's own connection, for backups and checks."""
        self._must_be_open()
        with self._plainly():
            pooled = self.engine.raw_connection()
            try:
                yield cast(sqlite3.Connection, pooled.driver_connection)
            finally:
                pooled.close()

    @property
    def undo_label(self) -> str | None:
        """What Undo would take back, None when there is nothing."""
        return self._done[-1][1] if self._done else None

    @property
    def redo_label(self) -> str | None:
        """What Redo would do again, None when there is nothing."""
        return self._undone[-1][1] if self._undone else None

    @property
    def done_id(self) -> int:
        """The action that Undo would take back, 0 when there is none in this session."""
        return self._done[-1][0] if self._done else 0

    @property
    def undone_id(self) -> int:
        """The action that was taken back last, 0 when there is none."""
        return self._undone[-1][0] if self._undone else 0

    def undo(self) -> str | None:
        """Take back the last action of this session and return its label.

        Raises:
            LookupError: a row has changed by other means; this and the steps before it are forgotten.
            CompanyProblem: nothing was taken back, because of the file or the disk.
        """
        return self._step(self._done, self._undone, backwards=True)

    def redo(self) -> str | None:
        """Do the last undone action again and return its label.

        Raises:
            LookupError: a row has changed by other means; this and the steps after it are forgotten.
            CompanyProblem: nothing was done, because of the file or the disk.
        """
        return self._step(self._undone, self._done, backwards=False)

    def _step(
        self, source: list[tuple[int, str]], target: list[tuple[int, str]], *, backwards: bool
    ) -> str | None:
        with self._my_turn():
            self._must_be_open()
            if not source:
                return None
            action_id, label = source[-1]
            try:
                with self._plainly(), self._transaction() as conn:
                    # References are looked at when the step is whole, as its rows come back one by one.
                    conn.exec_driver_sql("PRAGMA defer_foreign_keys=ON")
                    apply_journal(conn, action_id, backwards=backwards)
                    conn.commit()
            except (LookupError, Refused):
                source.clear()
                raise
            except IntegrityError as error:
                source.clear()
                raise LookupError("something written by other means hangs on these rows") from error
            target.append(source.pop())
            self.saved_at = self._clock()
            return label

    def close(self) -> None:
        """Let go of the file once the action that is being saved is through. A second call does nothing.

        Raises:
            RuntimeError: it is called inside an action.
        """
        with self._my_turn():
            if self._closed:
                return
            self._closed = True
            try:
                self.engine.dispose()
            finally:
                self._on_close()

    @property
    def is_open(self) -> bool:
        """Not closed yet."""
        return not self._closed

    def _must_be_open(self) -> None:
        if self._closed:  # the lock is let go: another window may have the file by now
            raise closed(self.path)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @contextmanager
    def _my_turn(self) -> Iterator[None]:
        me = threading.get_ident()
        if self._writer == me:
            raise RuntimeError("an action inside an action: give the inner one the outer one's Edit")
        with self._turn:
            self._writer = me
            try:
                yield
            finally:
                self._writer = None

    @contextmanager
    def _transaction(self) -> Iterator[Connection]:
        """A write transaction, rolled back unless the block commits."""
        self._must_be_open()
        if self._identity is not None and _identity(self.path) != self._identity:
            raise gone(self.path)
        with self.engine.connect().execution_options(**{WRITES: True}) as conn, conn.begin() as work:
            try:
                yield conn
            finally:
                with suppress(DBAPIError, sqlite3.Error):  # a full disk may have rolled it back already
                    if work.is_active:
                        work.rollback()
                    driver = conn.connection.driver_connection
                    if isinstance(driver, sqlite3.Connection) and driver.in_transaction:
                        driver.rollback()  # a commit that was refused leaves the transaction open

    @contextmanager
    def _plainly(self, *, reading: bool = False) -> Iterator[None]:
        try:
            yield
        except (CompanyProblem, Refused):
            raise
        except DBAPIError as error:
            problem = self._reading_problem(error.orig) if reading else problem_of(error.orig, self.path)
            raise problem or self.bad_rows() or error from error
        except sqlite3.Error as error:
            raise problem_of(error, self.path) or error from error
        except (LookupError, NotUnderstood) as error:
            # A row that is not there, or words that are none: pages ask so. A key that is not known is a fault.
            fault = reading and isinstance(error, KeyError | IndexError)
            raise (self.bad_rows() if fault else None) or error from error
        except Exception as error:
            # A value no column of ours can have, such as a day with a letter in it, is no bug of a page.
            raise (self.bad_rows() if reading else None) or error from error

    def _reading_problem(self, error: BaseException | None) -> CompanyProblem | None:
        return None if error is None else cannot_read(error, self.path) if problem_of(error, self.path) else None

    def bad_rows(self) -> CompanyProblem | None:
        """What the rows themselves have wrong, None when nothing: then the trouble is the program's own.

        It is read over a connection of its own, so it can be asked of a closed company too.
        """
        from db.company_file.examine import judged
        from db.company_file.values import rows_problem
        from db.company_file.verdict import TROUBLES, is_broken

        try:
            with closing(connect(self.path, looking_mode(self.path))) as conn:
                return rows_problem(self.path, conn)
        except OSError:
            return None
        except TROUBLES as error:
            return judged(self.path) if is_broken(error) else None


def _identity(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino
