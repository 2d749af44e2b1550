"""What is typed is what is kept: every cell and field of the program, found by walking the window, typed into for real.

Each is come to in one way and left in another; which ones changes with the seed, so that evenings add up to all of
them, and the long form goes through the whole product. What is compared is what the file's journal then holds.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from itertools import product
from pathlib import Path

import pytest
from sqlalchemy import select

from db.commands import quotes
from db.commands.defects import note_defect
from db.commands.jobs import open_job
from db.company_file import open_company
from db.queries.firm import day_rates, firm
from db.tables import job
from desktop.widgets.choice_field import ChoiceField, NotesField
from desktop.widgets.half import words_in
from desktop.widgets.rows_model import PROBLEM_ROLE
from desktop.widgets.table import RowsTable
from tests.desktop import every_cell as hand
from tests.journeys.at_the_desk import Person

SEED = date.today().toordinal()
TODAY = date(2026, 11, 12)  # the made-up firm's own evening

BEHIND_A_BUTTON = {
    "Lines of the draft / description", "Lines of the draft / net", "Measured on site / at_suction",
    "Measured on site / fan", "Measured on site / place", "Measured on site / read_on", "Measured on site / value",
    "Quoted lines without a log / answer", "Quoted lines without a log / typed", "Subcontractors / form",
    "Usual items / quantity", "Your own values of this figure / note", "Your own values of this figure / source",
    "Your own values of this figure / value",
}  # fmt: skip
"""Columns that only stand there after a press or two this walk does not make; each has tests of its own page."""


@pytest.fixture(scope="module")
def small_sample(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, int]:
    """The made-up firm with few jobs, and in it one with a draft, an option, a cost, a defect."""
    from sample_company import write_sample

    path = tmp_path_factory.mktemp("walk") / "walk.riserbook"
    write_sample(path, jobs=30)
    company = open_company(path, backup=False)
    with company.action("One of everything") as edit:
        known = edit.conn.execute(select(job.c.customer_id, job.c.property_id, job.c.job_type_id)).first()
        assert known is not None
        job_id = open_job(edit, *known, None, "One of everything", TODAY)
        quote_id = quotes.start_quote(edit, job_id, TODAY, day_rates(edit.conn, TODAY), firm(edit.conn))
        quotes.add_option(edit, quote_id, "Quieter fan")
        quotes.add_other(edit, quote_id, "permit", Decimal(1), Decimal(85), description="county")
        note_defect(edit, job_id, "Water stands in the run", TODAY, price_cents=12000)
    company.close()
    return path, job_id


@pytest.fixture
def owner(qtbot, tmp_path: Path, small_sample: tuple[Path, int]) -> Iterator[Person]:
    person = Person(qtbot, tmp_path / "settings")
    person.window.resize(1680, 1000)
    person.open(Path(shutil.copy2(small_sample[0], tmp_path)))
    yield person
    person.leave()


class Walk:
    """One walk through the window; what was lost is collected, so that one run tells all of it."""

    def __init__(self, owner: Person, seed: int, draft_id: int, whole: bool = False) -> None:
        self.window, self.draft_id, self.whole = owner.window, draft_id, whole
        self.lost: list[str] = []
        self.reached: set[str] = set()
        self._turn = seed

    def ways(self) -> list[tuple[str, str, bool]]:
        every = list(product(hand.INTO, hand.LEAVES, (True, False)))
        self._turn += 7  # prime to the number of ways: each is met in turn
        return every if self.whole else [every[self._turn % len(every)]]

    def _safely(self, stop, name: str, work, *more) -> None:
        """A step that ends in an error is told like any other loss, and the walk goes on."""
        try:
            work(stop, *more)
        except Exception as error:
            self.lost.append(f"{stop[0]}: {name}: {type(error).__name__}: {str(error)[-300:]}")
            hand.press(hand.Key.Key_Escape)
            hand.arrive(self.window, stop)

    def cells(self) -> None:
        """What was typed stays, so that a row begun in one cell is gone on with in the next."""
        for stop in hand.stops(self.window, self.draft_id):
            hand.arrive(self.window, stop)
            while todo := self._new_here():
                for table, row, column in todo:
                    name = hand.column_name(table, column)
                    self.reached.add(name)
                    for way in self.ways():
                        self._safely(stop, name, self._cell, table, row, column, name, way)

    def _new_here(self) -> list[tuple[RowsTable, int, int]]:
        return [
            (table, index.row(), index.column())
            for table, index in hand.cells_on(self.window)
            if hand.column_name(table, index.column()) not in self.reached
        ]

    def _cell(self, stop, table, row: int, column: int, name: str, way) -> None:
        into, out, fast = way
        journal = hand.Journal(self.window)
        said = f"{stop[0]}: {name}, {into}, {'fast' if fast else 'slow'}, {out}"
        for typed in hand.guesses(table, table.model().index(row, column)):
            index = table.model().index(row, column)
            if not index.isValid() or not table.rows_model().can_edit(index):
                self.lost.append(f"{said}: the cell is gone")
                return
            hand.enter_cell(table, index, into)
            if _edits(table):
                hand.press("a", hand.Qt.KeyboardModifier.ControlModifier)
            stood = hand.place(table)
            hand.write(typed.text, fast)
            if hand.place(table) != stood or not hand.types_in(table):
                self.lost.append(f"{said}: it moved, or the keyboard was taken, while {typed.text!r} was typed")
            problem = self._leave_cell(table, row, column, out, stop)
            written = journal.written()
            if problem:
                self._give_up(table, row, column)
                continue
            kept = hand.holds(written, typed)
            if not kept and written:
                self.lost.append(f"{said}: {typed.text!r} became {written[:6]}")
            elif not kept and not _stands(table, typed.text):
                self.lost.append(f"{said}: {typed.text!r} was lost")
            if self.whole and written:
                self.window.undo()
            hand.arrive(self.window, stop)
            return
        self.lost.append(f"{said}: nothing ordinary was taken")

    def _leave_cell(self, table, row: int, column: int, out: str, stop) -> str:
        hand.leave(self.window, out, stop)
        index = table.model().index(row, column)
        return str(index.data(PROBLEM_ROLE) or "") if index.isValid() else ""

    def _give_up(self, table, row: int, column: int) -> None:
        hand.press(hand.Key.Key_Escape)
        hand.settle()
        table.setFocus()
        index = table.model().index(row, column)
        table.setCurrentIndex(index)
        table.rows_model().forget_refused(index)

    def fields(self) -> None:
        for stop in hand.stops(self.window, self.draft_id):
            hand.arrive(self.window, stop)
            for field in hand.fields_on(self.window):
                name = hand.field_name(field)
                if name not in self.reached and field.isVisible():
                    self.reached.add(name)
                    for way in self.ways():
                        self._safely(stop, name, self._field, field, name, way)

    def _field(self, stop, field, name: str, way) -> None:
        into, out, fast = way
        if isinstance(field, NotesField) and out == "Enter":
            out = "Tab"
        journal = hand.Journal(self.window)
        said = f"{stop[0]}: {name}, {into}, {'fast' if fast else 'slow'}, {out}"
        before = field.value()
        for typed in _field_guesses(field):
            hand.enter_field(self.window, field, into)
            stood = hand.place(field)
            hand.write(typed.text, fast)
            if hand.place(field) != stood or not hand.types_in(field):
                self.lost.append(f"{said}: it moved, or the keyboard was taken, while {typed.text!r} was typed")
            if typed.text.casefold() not in words_in(field).casefold():
                self.lost.append(f"{said}: typed {typed.text!r}, there stands {words_in(field)!r}")
            hand.leave(self.window, out, stop)
            if field.problem():
                field.reset(before)
                continue
            written = journal.written()
            saved = hand.holds(written, typed)
            if not (saved or words_in(field) or out == "Enter"):
                self.lost.append(f"{said}: {typed.text!r} was lost")
            if field.property("not_an_entry") and not saved and typed.held and written:
                self.lost.append(f"{said}: {typed.text!r} became {written[:6]}")
            if written:
                self.window.undo()
                hand.settle()
            elif field.isVisible():
                field.reset(before)
            return
        self.lost.append(f"{said}: nothing ordinary was taken")


def _edits(table) -> bool:
    return table.state() == table.State.EditingState


def _stands(table, text: str) -> bool:
    """The text waits in some cell: what cannot be saved yet is kept where it was typed."""
    model = table.rows_model()
    return any(
        text.casefold() in model.text(row, column.key).casefold() for row in model.rows for column in model.columns
    )


def _field_guesses(field) -> list[hand.Typed]:
    if isinstance(field, ChoiceField):
        labels = [label for label in field._labels.stringList() if label and label != words_in(field)]
        return [hand.Typed(labels[len(labels) // 2], ()) if labels else hand.WORDS]
    if isinstance(field, NotesField):
        return [hand.WORDS]
    kind = type(field).__name__
    first = {
        "MoneyField": hand.MONEY, "QuantityField": hand.COUNT, "PercentField": hand.PERCENT, "DateField": hand.DAY,
        "DurationField": hand.TIME, "RadonField": hand.RADON, "TextField": hand.WORDS,
    }.get(kind)  # fmt: skip
    return list(dict.fromkeys([*([first] if first else []), *hand.ALL]))


@pytest.mark.long
def test_every_cell_keeps_what_is_typed_into_it(owner: Person, small_sample: tuple[Path, int]) -> None:
    walk = Walk(owner, SEED, small_sample[1])
    walk.cells()
    columns, _ = hand.declared(owner.window)
    print(f"{len(walk.reached)} of {len(columns)} editable columns reached, seed {SEED}")
    print("\n".join(sorted(columns - walk.reached)))
    assert not walk.lost, "\n".join(walk.lost)
    assert sorted(columns - walk.reached - BEHIND_A_BUTTON) == []


@pytest.mark.long
def test_every_field_keeps_what_is_typed_into_it(owner: Person, small_sample: tuple[Path, int]) -> None:
    walk = Walk(owner, SEED, small_sample[1])
    walk.fields()
    _, fields = hand.declared(owner.window)
    print(f"{len(walk.reached)} of {len(fields)} fields reached, seed {SEED}")
    print("\n".join(sorted(fields - walk.reached)))
    assert not walk.lost, "\n".join(walk.lost)
    assert sorted(fields - walk.reached) == []


@pytest.mark.long
@pytest.mark.parametrize("what", ["cells", "fields"])
def test_every_way_into_and_out_of_everything(owner: Person, small_sample: tuple[Path, int], what: str) -> None:
    walk = Walk(owner, SEED, small_sample[1], whole=True)
    getattr(walk, what)()
    assert not walk.lost, "\n".join(walk.lost)
