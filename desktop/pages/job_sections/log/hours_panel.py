"""Hours of one person on one day: the quoted tasks with a cell each, and a last row for what was not quoted."""

from __future__ import annotations

from PySide6.QtCore import Signal

from db.commands.log import change_hours, change_time, log_time, remove_hours
from db.queries.log_page import LogPage
from desktop.desk import Desk
from desktop.pages.job_sections.log.cause_strip import CauseStrip
from desktop.pages.job_sections.log.entering import enter
from desktop.pages.job_sections.log.kept_cells import KeptCells
from desktop.pages.job_sections.log.log_table import CLEARS, LogTable, NewRow
from desktop.pages.job_sections.log.own_words import begun_task, other_work, row_name, words_and_time
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import Card, label
from desktop.widgets.quoted_actual_bar import common_scale
from desktop.widgets.rows_model import RefusedCell
from desktop.widgets.table import Column, RowsModel
from domain.errors import NotUnderstood
from domain.log_day import (
    HoursRow,
    TaskKey,
    has_budget,
    hours_rows,
    is_added,
    preview_minutes,
    told_apart,
    typed_into,
)
from domain.log_entry import TypedHours
from domain.units import format_minutes

HINT = (
    "2h15, 2.25, 8:15-10:30 · last row: Haul out rubble 1h40 · +1h beside what is there · one letter and Enter: A as "
    "quoted, U not quoted, T clock, P person, W why · ←→ day"
)
LONGEST_READ = 80
"""Letters: no time is longer, so nothing of what goes on is worked out while it is typed."""

SOMETHING = "Something not quoted …"
HOURS_MISSING = "Its hours are missing: type them in this row. Delete lets it go."


class HoursPanel(Card):
    """Signals: `typing(minutes)`, how much more is typed than saved; `person_asked()`; `clock_asked(task id)`."""

    typing = Signal(int)
    person_asked = Signal()
    clock_asked = Signal(int)

    def __init__(self, desk: Desk) -> None:
        super().__init__("Hours")
        self._desk = desk
        self._page: LogPage | None = None
        self._person_id = 0
        self._names: dict[int, str] = {}
        self._extra: list[TaskKey] = []
        self._preview: tuple[object, int] | None = None
        self._scale = 1.0
        self._saved: TaskKey | None = None
        self._begun: list[TaskKey] = []  # other work in own words that waits for its hours
        self.table = self._table()
        self.table.refill = self._fill
        self._kept = KeptCells(desk, self.table, "hours")
        self.causes = CauseStrip()  # the section places it where it is seen, however far down one types
        self.causes.answered.connect(self._because)
        self.causes.left.connect(self.table.setFocus)
        self.add(self.table)
        self.add(label(HINT, "small", "faint", wrap=True))

    def _table(self) -> LogTable:
        model = RowsModel(
            [
                Column("what", "Task", stretch=1, editable=True),
                Column("quoted", "Quoted", "right", width=78),
                Column("so_far", "So far", "right", width=74, tooltip="All days and everybody, with what you type"),
                Column("day", "This day", "right", width=106, editable=True),
                Column("bar", "", kind="bar", width=92),
            ],
            text={
                "what": self._what,
                "quoted": self._quoted,
                "so_far": lambda row: format_minutes(made) if (made := self._minutes(row)) else "",
                "day": lambda row: "" if self._is_new(row) else row.text,
            },
            bar={"bar": self._bar},
            tone={"what": self._tone, "so_far": self._over},
            tip={"what": lambda row: self._tip(row)},
            row_id=lambda row: row.key,
            setter=self._set,
            can_edit=self._can_edit,
            choices={"what": lambda _row: list(self._names.values())},
        )  # fmt: skip
        table = LogTable(model, "Hours by task")
        table.keys = dict.fromkeys(CLEARS, lambda row: self._set(row, "day", ""))
        table.letters = {
            "a": self._as_quoted,
            "u": lambda row: self._open((row.task_id, True)),
            "t": lambda row: self.clock_asked.emit(row.task_id),
            "p": lambda _row: self.person_asked.emit(),
            "w": self._why,
        }
        table.typed.connect(self._typed)
        table.after_day = self._ask_why
        return table

    # What is shown.

    def show_page(self, page: LogPage, person_id: int) -> None:
        """Show the hours of this person on the page's day; half-typed cells stay."""
        fresh = self._page is None or page.job.id != self._page.job.id
        if fresh or self._page is None or page.day != self._page.day:
            self._extra.clear()
            self.causes.close()
        if fresh or self._page is None or (page.day, person_id) != (self._page.day, self._person_id):
            self._preview = None
        newly_quoted = self._page is not None and not has_budget(self._page.budget) and has_budget(page.budget)
        turned = self._kept.turn(f"{page.day} {person_id} {page.job.id}")
        self._page, self._person_id = page, person_id
        self._names = {task.id: task.name for task in page.lists.tasks}
        if turned:
            self._open_waiting()
        self._fill()
        self._kept.put_back()
        if fresh or (newly_quoted and not self.table.is_typing):  # the cursor stood where there was nothing else
            self.table.go_to_row(0)
        minutes = sum(entry.minutes for entry in page.log.hours if entry.day == page.day)
        said = [f"{format_minutes(minutes)} on this day"] if minutes else []
        if page.first is not None:  # in the head of the card, where its room is kept
            said.append(f"going over the quote: {page.first.short_words(page.so_far.minutes)}")
        self.header.set_words("Hours", " · ".join(said))
        set_tip(self.header, page.first.words if page.first is not None else "")

    def _open_waiting(self) -> None:
        """Rows that were begun and hold something that is not kept stand again, each with what is its own."""
        waiting = [key for key in self._kept.rows_waited_for() if key[0] in self._names]
        self._begun = [key for key in waiting if len(key) == 3]
        self._extra += [key for key in waiting if len(key) == 2 and key not in self._extra]

    def _fill(self) -> None:
        assert self._page is not None
        rows = told_apart(
            hours_rows(self._page.budget, self._page.log, self._page.day, self._person_id, self._extra),
            other_work(self._names), self._begun, self._extra,
        )  # fmt: skip
        self._scale = common_scale([(row.quoted_minutes, row.minutes) for row in rows])
        self.table.rows_model().set_rows([*rows, *self.table.new_rows()])

    def _is_new(self, row: object) -> bool:
        return isinstance(row, NewRow)

    def _what(self, row: HoursRow | NewRow) -> str:
        if isinstance(row, NewRow):
            return SOMETHING if self._page is None or has_budget(self._page.budget) else "Type a task …"
        clock = self._page.clock if self._page else None
        runs = clock is not None and (clock.timer.job_id, clock.timer.task_id) == (self._page.job.id, row.task_id)  # type: ignore[union-attr]
        marks = [mark for mark, there in (("not quoted", row.unquoted), ("clock running", runs)) if there]
        return " · ".join([row_name(self._names.get(row.task_id, "?"), row), *marks])

    def _quoted(self, row: HoursRow | NewRow) -> str:
        if isinstance(row, NewRow):
            return ""
        return format_minutes(row.quoted_minutes) if row.quoted_minutes else "–"

    def _tone(self, row: HoursRow | NewRow) -> str:
        if isinstance(row, NewRow):
            return "ink_faint"
        return "over" if row.unquoted else "ink"

    def _minutes(self, row: HoursRow | NewRow) -> int:
        if isinstance(row, NewRow):
            return 0
        if self._preview and self._preview[0] == row.key:
            return row.before_minutes + self._preview[1]
        return row.minutes

    def _over(self, row: HoursRow | NewRow) -> str:
        return "over" if not self._is_new(row) and self._minutes(row) > row.quoted_minutes else "ink"  # type: ignore[union-attr]

    def _bar(self, row: HoursRow | NewRow) -> tuple[int, int, float] | None:
        if isinstance(row, NewRow):
            return None
        return (row.quoted_minutes, self._minutes(row), max(self._scale, self._minutes(row)))

    def _tip(self, row: HoursRow | NewRow) -> str:
        if isinstance(row, NewRow) or self._page is None:
            return "Type the first letters of a task; its time counts as not quoted."
        return next((task.caution for task in self._page.lists.tasks if task.id == row.task_id), "")

    def _can_edit(self, row: object, key: str) -> bool:
        if self._page is None or self._page.is_closed:
            return False
        return (key == "what") == self._is_new(row)

    # What is typed.

    def _typed(self, row_id: object, key: str, text: str) -> None:
        row = self.table.rows_model().row_at(self.table.rows_model().find(row_id))
        if key != "day" or not isinstance(row, HoursRow) or len(text) > LONGEST_READ:
            return
        minutes = preview_minutes(text, row)
        self._preview = (row.key, minutes) if text != row.text else None  # after Escape nothing is being typed
        self.table.rows_model().repaint(row_id, "so_far", "bar")
        self.typing.emit(minutes - row.day_minutes)

    def _set(self, row: HoursRow | NewRow, key: str, text: str) -> str | None:
        self._preview = None
        self.typing.emit(0)
        if isinstance(row, NewRow):
            return self._begin(row, text)
        self.table.rows_model().repaint(row.key, "so_far", "bar")  # not what was typed and may be refused
        if row.key in self._begun and not row.entries and not text.strip():
            self._let_go(row.key)
            return None
        try:
            typed = typed_into(text, row.entries)
        except NotUnderstood as error:
            return str(error)
        return self._write(row, typed, is_added(text, row.entries))

    def _begin(self, row: NewRow, words: str) -> str | None:
        """A row for the task that is named: its own when it is quoted, since its time must not be charged twice.

        With a time in the same line it is an entry at once.
        """
        assert self._page is not None
        again = self.table.rows_model().refused_text(row.key, "what") == words
        words, typed = words_and_time(words, self._names)
        try:
            task_id, own = begun_task(words, self._names, again)
        except NotUnderstood as error:
            return str(error)
        is_quoted = not own and any(line.task_id == task_id for line in self._page.budget.labour)
        key: TaskKey = (task_id, has_budget(self._page.budget) and not is_quoted)
        if own:
            return self._begin_own((*key[:2], own), typed)
        if is_quoted:
            self._desk.say(f"{self._names[task_id]} is quoted: this is its row. U and Enter in it: time beyond that.")
        elif key not in self._extra:
            self._extra.append(key)
        if typed is not None:
            return self._log_at_once(key, typed)
        self.table.then_edit = key
        self._fill()
        self.table.then_add = self._has_entries(key)
        return None

    def _begin_own(self, key: TaskKey, typed: TypedHours | None) -> str | None:
        """A row for these words alone; they wait for their hours like anything else that is not kept yet."""
        model = self.table.rows_model()
        is_there = model.find(key) >= 0
        if not is_there:
            self._begun.append(key)
        if typed is not None:
            problem = self._log_at_once(key, typed)
            if problem and not is_there:
                self._let_go(key)
            return problem
        self._fill()
        if not is_there:
            model.put_refused([RefusedCell(key, "what", str(key[-1]), HOURS_MISSING)])
            self._desk.drafts.soon()
        self.table.then_edit, self.table.then_add = key, self._has_entries(key)
        return None

    def _let_go(self, key: TaskKey) -> None:
        """These words wait no longer: their hours are kept, or they were taken back."""
        if key not in self._begun:
            return
        self._begun.remove(key)
        model = self.table.rows_model()
        if (row := model.find(key)) >= 0:
            model.forget_refused(model.index(row, model.column_of("what")))
        self._desk.drafts.soon()
        self._fill()

    def _log_at_once(self, key: TaskKey, typed: TypedHours) -> str | None:
        self._fill()
        row = self.table.rows_model().row_at(self.table.rows_model().find(key))
        problem = self._write(row, typed, True)
        if problem is None:
            self._ask_why(key)
        return problem

    def _open(self, key: TaskKey) -> None:
        """A row of its own for time on this task that was not quoted."""
        if self._page is None or self._page.is_closed:
            return
        if key not in self._extra:
            self._extra.append(key)
        self._fill()
        self.table.edit_day(key, add=self._has_entries(key))

    def _has_entries(self, key: TaskKey) -> bool:
        row = self.table.rows_model().row_at(self.table.rows_model().find(key))
        return isinstance(row, HoursRow) and bool(row.entries)

    def _write(self, row: HoursRow, typed: TypedHours | None, added: bool) -> str | None:
        assert self._page is not None
        name = self._names.get(row.task_id, "the task")
        if typed is None:
            if added or len(row.entries) != 1:
                return None
            entry_id = row.entries[0].id
            return enter(self._desk, f"Remove hours on {name}", lambda edit: remove_hours(edit, entry_id))
        spent = format_minutes(typed.minutes)
        problem = self._save(row, typed, added, name, spent)
        self._saved = row.key if problem is None else None
        if problem is None:
            self._let_go(row.key)
        return problem

    def _save(self, row: HoursRow, typed: TypedHours, added: bool, name: str, spent: str) -> str | None:
        assert self._page is not None
        job_id, day, today = self._page.job.id, self._page.day, self._desk.today()
        if added:
            person_id, rates, note = self._person_id, self._page.rates, row.own
            return enter(
                self._desk, f"Log {spent} on {name}",
                lambda edit: log_time(
                    edit, job_id, day, row.task_id, person_id, typed, unquoted=row.unquoted, rates=rates, today=today,
                    note=note,
                ),
            )  # fmt: skip
        entry_id = row.entries[0].id
        return enter(
            self._desk, f"Change to {spent} on {name}",
            lambda edit: change_time(edit, entry_id, typed, today=today),
        )  # fmt: skip

    def _as_quoted(self, row: HoursRow) -> None:
        if self._page is None or self._page.is_closed:
            return
        if not row.left_minutes:
            self._desk.say("All that was quoted for this task is logged already.")
        elif (problem := self._write(row, TypedHours(row.left_minutes), True)) is not None:
            self._desk.say(problem, "caution")
        self.table.go_on(row.key)

    # Why it ran over.

    def _ask_why(self, row_id: object) -> None:
        """Ask for a cause when the row that was just saved is over its quote; what was asked before is left open."""
        saved, self._saved = self._saved, None
        row = self.table.rows_model().row_at(self.table.rows_model().find(row_id))
        if saved == row_id and isinstance(row, HoursRow) and not self._ask(row):
            self.causes.close()

    def _ask(self, row: HoursRow) -> bool:
        if not row.over_minutes or not row.entries or self._page is None:
            return False
        last = row.entries[-1]
        if last.cause_id is not None or last.note:
            return False
        causes = [cause for cause in self._page.lists.causes if not cause.archived]
        self.causes.ask(last.id, self._names[row.task_id], row.over_minutes, causes)
        return True

    def _why(self, row: HoursRow) -> None:
        """Answer what is asked; where nothing is, say why the row under the cursor ran over."""
        if self.causes.is_asking or self._ask(row):
            self.causes.begin_answer()
        elif row.over_minutes:
            self._desk.say("Its cause is given already; the list below changes it.")
        else:
            self._desk.say("This task is within its quote.")

    def _because(self, entry_id: int, cause_id: int | None, words: str) -> None:
        problem = enter(
            self._desk, "Say why it ran over",
            lambda edit: change_hours(edit, entry_id, cause_id=cause_id, note=words),
        )  # fmt: skip
        if problem:
            self._desk.say(problem, "caution")
        self.table.setFocus()
