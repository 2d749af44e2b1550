"""A walk through cells and fields, typing into each as people do and reading the file: what `test_every_cell` does."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product

import shiboken6

from desktop.widgets.choice_field import ChoiceField, NotesField
from desktop.widgets.fields import TypedField
from desktop.widgets.half import words_in
from desktop.widgets.rows_model import PROBLEM_ROLE
from desktop.widgets.table import RowsTable
from domain.errors import NotUnderstood
from tests.desktop import doors
from tests.desktop import every_cell as hand
from tests.journeys.at_the_desk import Person

ROUNDS = 2 * len(hand.LEAVES)
"""In so many rounds everything is come to in every way, left in every way, fast and slow, each with each."""


class Told(list[str]):
    """What was found, told as it is found: a long walk may be stopped before its end."""

    def append(self, words: str) -> None:
        print(words, flush=True)
        super().append(words)


class Walk:
    """One walk through the window; what was lost is collected, so that one run tells all of it."""

    def __init__(self, owner: Person, seed: int, draft_id: int, a_round: int | None = None) -> None:
        self.owner, self.draft_id, self.a_round = owner, draft_id, a_round
        self.lost = Told()
        self.refused: list[str] = []
        self.reached: set[str] = set()
        self.leaves: tuple[str, ...] = hand.LEAVES
        self.entries = 0
        self.most = 10_000  # so many at each stop
        self._turn = seed

    @property
    def window(self):
        return self.owner.window

    def ways(self) -> list[tuple[str, str, bool]]:
        """One way for each, in turn; in a round each way of coming once, with another way of leaving than before."""
        if self.a_round is not None:
            turns = [(way, self.a_round + number) for number, way in enumerate(hand.INTO)]
            most, late = len(self.leaves), self.a_round // len(hand.LEAVES)
            return [(way, self.leaves[turn % most], (turn + late) % 2 == 0) for way, turn in turns]
        every = list(product(hand.INTO, self.leaves, (True, False)))
        self._turn += 7  # prime to the number of ways: each is met in turn
        return [every[self._turn % len(every)]]

    def _safely(self, stop, name: str, work, *more) -> None:
        """A step that ends in an error is told like any other loss, and the walk goes on."""
        try:
            work(stop, *more)
        except Exception as error:
            self.lost.append(f"{stop[0]}: {name}: {type(error).__name__}: {str(error)[-300:]}")
            hand.press(hand.Key.Key_Escape)
            hand.arrive(self.window, stop)

    def _leave(self, out: str, stop) -> None:
        if out != "close":
            hand.leave(self.window, out, stop)
            return
        self.owner.leave()
        self.owner.start_again()
        hand.arrive(self.window, stop)

    def cells(self, stops=None) -> None:
        """What was typed stays, so that a row begun in one cell is gone on with in the next."""
        for stop in stops or hand.stops(self.window, self.draft_id):
            hand.arrive(self.window, stop)
            tried: set[str] = set()
            while todo := [name for name in self._columns_here() if name not in self.reached | tried][: self.most]:
                name = todo[0]
                tried.add(name)
                if len(tried) > self.most:
                    break
                for way in self.ways():
                    if (found := self._columns_here().get(name)) is not None:
                        self.reached.add(name)
                        self._safely(stop, name, self._cell, *found, name, way)

    def _columns_here(self) -> dict[str, tuple[RowsTable, int, int]]:
        return {
            hand.column_name(table, index.column()): (table, index.row(), index.column())
            for table, index in hand.cells_on(self.window)
        }

    def _cell(self, stop, table, row: int, column: int, name: str, way) -> None:
        into, out, fast = way
        journal = hand.Journal(self.window)
        said = f"{stop[0]}: {name}, {into}, {'fast' if fast else 'slow'}, {out}"
        refused = ""
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
            self.entries += 1
            if hand.place(table) != stood or not hand.types_in(table):
                self.lost.append(f"{said}: it moved, or the keyboard was taken, while {typed.text!r} was typed")
            self._leave(out, stop)
            written = journal.written()
            self.lost += [f"{said}: {one}" for one in journal.bent]
            if out == "close":
                if hand.holds(written, typed):
                    return
                refused = f"{said}: none of what was typed was held by the file"
                if (found := self._columns_here().get(name)) is None:
                    break
                table, row, column = found
                continue
            index = table.model().index(row, column)
            problem = str(index.data(PROBLEM_ROLE) or "") if index.isValid() else ""
            if problem:
                refused = f"{said}: {problem}"
                if typed.text.casefold() not in str(index.data()).casefold():
                    self.lost.append(f"{said}: {typed.text!r} was refused and is gone")
                self._give_up(table, row, column)
                continue
            kept = hand.holds(written, typed)
            if not kept and written:
                self.lost.append(f"{said}: {typed.text!r} became {written[:6]}")
            elif not kept and not _stands(table, typed.text):
                self.lost.append(f"{said}: {typed.text!r} was lost")
            if self.a_round is not None and written:
                self.window.undo()
            hand.arrive(self.window, stop)
            return
        self.refused.append(refused)

    def _give_up(self, table, row: int, column: int) -> None:
        hand.press(hand.Key.Key_Escape)
        hand.settle()
        table.setFocus()
        index = table.model().index(row, column)
        table.setCurrentIndex(index)
        table.rows_model().forget_refused(index)
        hand.settle()

    def fields(self, stops=None) -> None:
        for stop in stops or hand.stops(self.window, self.draft_id):
            hand.arrive(self.window, stop)
            self._fields_of(stop)

    def _fields_here(self) -> dict[str, object]:
        return {hand.field_name(field): field for field in reversed(hand.fields_on(self.window))}

    def _fields_of(self, stop) -> None:
        tried: set[str] = set()
        while todo := [name for name in self._fields_here() if name not in self.reached | tried]:
            name = todo[0]
            tried.add(name)
            if len(tried) > self.most:
                return
            for way in self.ways():
                if (field := self._fields_here().get(name)) is not None:
                    self.reached.add(name)
                    self._safely(stop, name, self._field, field, name, way)

    def doors(self, stops: Iterable[hand.Stop] | None = None, *, only_look: bool = False) -> None:
        """Press whatever opens something: a form behind a button is part of the program, too."""
        self.leaves = ("Tab", "click")  # what is typed into an open form waits there; see the tests of drafts
        for stop in stops or hand.stops(self.window, self.draft_id):
            print(f"doors at {stop[0]}, {len(self.reached)} reached", flush=True)
            hand.arrive(self.window, stop)
            for words in doors.doors_on(self.window):
                self._safely(stop, words, self._through, words, only_look)

    def _through(self, stop, words: str, only_look: bool) -> None:
        journal = hand.Journal(self.window)
        opened = doors.press(self.window, words)
        if opened and only_look:
            self.look()
        elif opened:
            self._fields_of((f"{stop[0]}, {words}", lambda _window: None))
            self.cells([(f"{stop[0]}, {words}", lambda _window: None)])
        doors.shut(self.window)
        if journal.written():
            self.window.undo()
        hand.arrive(self.window, stop)

    def look(self) -> None:
        """Note what can be typed into here, without typing."""
        self.reached.update(self._columns_here(), self._fields_here())

    def _field(self, stop, field, name: str, way) -> None:
        into, out, fast = way
        if isinstance(field, NotesField) and out == "Enter":
            out = "Tab"
        if out == "close" and not field.property("not_an_entry"):
            out = "Tab"  # a form that is not added keeps a draft; see the tests of drafts
        journal = hand.Journal(self.window)
        said = f"{stop[0]}: {name}, {into}, {'fast' if fast else 'slow'}, {out}"
        before, asks, refused = field.value(), bool(field.property("only_asks")), ""
        for typed in _field_guesses(field):
            if not shiboken6.isValid(field) or not field.isVisible():
                break  # leaving it shut the form it stands in
            hand.enter_field(self.window, field, into)
            stood = hand.place(field)
            hand.write(typed.text, fast)
            self.entries += 1
            if hand.place(field) != stood or not hand.types_in(field):
                self.lost.append(f"{said}: it moved, or the keyboard was taken, while {typed.text!r} was typed")
            if typed.text.casefold() not in words_in(field).casefold():
                self.lost.append(f"{said}: typed {typed.text!r}, there stands {words_in(field)!r}")
            self._leave(out, stop)
            written = journal.written()
            self.lost += [f"{said}: {one}" for one in journal.bent]
            saved = hand.holds(written, typed)
            if out == "close":
                if saved or asks:
                    return
                refused = f"{said}: none of what was typed was held by the file"
                if (found := self._fields_here().get(name)) is None:
                    break
                field = found
                continue
            if field.problem():
                refused = f"{said}: {field.problem()}"
                if not _still_says(field, typed.text):
                    self.lost.append(f"{said}: {typed.text!r} was refused and is gone")
                field.reset(before)
                continue
            if not (saved or words_in(field) or out == "Enter"):
                self.lost.append(f"{said}: {typed.text!r} was lost")
            if field.property("not_an_entry") and not saved and typed.held and written:
                self.lost.append(f"{said}: {typed.text!r} became {written[:6]}")
            if written:
                self.window.undo()
                hand.settle()
            elif shiboken6.isValid(field) and field.isVisible():
                field.reset(before)
            return
        self.refused.append(refused)


def _edits(table) -> bool:
    return table.state() == table.State.EditingState


def _stands(table, text: str) -> bool:
    """The text waits in some cell: what cannot be saved yet is kept where it was typed."""
    model = table.rows_model()
    return any(
        text.casefold() in model.text(row, column.key).casefold() for row in model.rows for column in model.columns
    )


def _still_says(field, text: str) -> bool:
    """What was refused stands there, as it was typed or as it was read."""
    words = words_in(field)
    if text.casefold() in words.casefold():
        return True
    try:
        return isinstance(field, TypedField) and field._parse(words) == field._parse(text)
    except NotUnderstood:
        return False


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
