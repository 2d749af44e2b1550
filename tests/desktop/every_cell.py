"""Walks the window for everything one can type into, and types there as people do: the hands of `test_every_cell`."""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QModelIndex, QPoint, Qt, QThreadPool
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QApplication, QLineEdit, QScrollArea, QWidget

from db.queries.tour import telling_jobs
from desktop.desk import COMPANY, CUSTOMERS, JOBS, MARGINS, TONIGHT
from desktop.tour import SECTIONS, company_parts
from desktop.widgets.choice_field import ChoiceField, NotesField
from desktop.widgets.fields import TypedField
from desktop.widgets.table import RowsTable
from desktop.window import Window

Key = Qt.Key
Stop = tuple[str, Callable[[Window], object]]

SLOWLY_MS = 15
"""Between two keys of a person; a click is no longer taken for the first of two after twice as long."""

INTO = ("click", "double click", "current", "after Enter", "after Tab")
LEAVES = ("Enter", "Tab", "click", "page", "close")


@dataclass(frozen=True, slots=True)
class Typed:
    """What is typed, and every way the file may hold it: as words, or as a whole number of its smallest part."""

    text: str
    held: tuple[object, ...]


def _figure(text: str, hundredths: int) -> Typed:
    return Typed(text, (text, *(hundredths * 10**power for power in range(-2, 4)), hundredths * 60 // 100))


WORDS = Typed("Typed in full", ("Typed in full",))
MONEY, COUNT, TIME = _figure("123.45", 12345), _figure("17", 1700), Typed("1h15", (75,))
DAY, CLOCK = Typed("11/10/2026", ("2026-11-10",)), Typed("9:35", (575,))
EARLY, LATE = Typed("4/9/2026", ("2026-04-09",)), Typed("12/9/2026", ("2026-12-09",))
RADON, PERCENT = _figure("14.7", 1470), _figure("16.5", 1650)
SMALL, LARGE, YEAR = _figure("0.15", 15), _figure("1847", 184700), _figure("1987", 198700)
PHONE, MAIL = Typed("(207) 555-0164", ("(207) 555-0164",)), Typed("typed@example.org", ("typed@example.org",))
SIZE, YES, NO, GAUGES = Typed("4 in", ("4", "4 in", '4"')), Typed("yes", ()), Typed("no", ()), Typed("10 10 10", ())
ROUTE, SPACE, TOWARD = Typed("up 3'", ("up 3'",)), Typed("garage", ("garage",)), Typed("11/12/2026", ("2026-11-12",))
ALL = (
    COUNT, MONEY, TIME, DAY, PERCENT, RADON, CLOCK, EARLY, LATE, SMALL, LARGE, YEAR, PHONE, MAIL, SIZE, GAUGES, WORDS,
    YES, NO, ROUTE, SPACE, TOWARD,
)  # fmt: skip


def holds(written: list[object], typed: Typed) -> bool:
    """True when what was typed stands whole in what was written, by itself or within a longer text."""
    if not typed.held:
        return bool(written)
    written = [*written, *(part for value in written for part in _inside(value))]
    whole = re.compile(rf"(?<![\w.]){re.escape(typed.text)}(?:\.0\d*)?(?!\d)")
    return any(value in typed.held or (isinstance(value, str) and whole.search(value)) for value in written)


def _inside(value: object) -> list[object]:
    """What a text of several values holds: some records keep what they are made of in one column."""
    if not isinstance(value, str) or value[:1] not in "[{":
        return []
    try:
        found, parts = [json.loads(value)], list[object]()
    except ValueError:
        return []
    while found:
        one = found.pop()
        more = list(one.values()) if isinstance(one, dict) else one if isinstance(one, list) else None
        found += more or []
        parts += [] if more is not None else [one]
    return parts


def settle() -> None:
    """Let everything that was asked for happen."""
    for _ in range(3):
        QApplication.processEvents()
    if QApplication.activePopupWidget() is None and QApplication.activeWindow() is None:
        main_window().activateWindow()  # without a screen, a list that has closed keeps the window's place
        QApplication.processEvents()


def main_window() -> Window:
    """The one window of the program."""
    return next(one for one in QApplication.topLevelWidgets() if isinstance(one, Window) and one.isVisible())


def stops(window: Window, draft_id: int) -> Iterator[Stop]:
    """Every place of the window, every part, every section, on jobs that are being quoted, worked on and finished."""
    assert window.desk is not None
    with window.desk.read() as conn:
        jobs = telling_jobs(conn)
    yield "tonight", lambda w: w.go(TONIGHT)
    yield "jobs", lambda w: w.go(JOBS)
    yield "a new customer", lambda w: (w.go(CUSTOMERS), w.stack.currentWidget().begin_new())
    yield "customer", lambda w: w.go(CUSTOMERS, jobs.customer_id)
    for name, job_id in (("draft", draft_id), ("running", jobs.running), ("takeoff", jobs.takeoff)):
        for section in SECTIONS:
            yield f"{name} {section}", lambda w, j=job_id, s=section: w.go(JOBS, j, s)
    yield "record", lambda w: (w.go(JOBS, draft_id, "quote"), _section(w).show_view("record"))
    yield "texts", lambda w: (w.go(JOBS, draft_id, "quote"), _section(w).show_view("texts"))
    for view in ("air", "list", "beside"):
        yield f"takeoff {view}", lambda w, v=view: (w.go(JOBS, jobs.takeoff, "takeoff"), _section(w).show_view(v))
    yield "facts", lambda w: w.go(JOBS, jobs.running, "facts")
    yield "new job", lambda w: w.go(JOBS, "new")
    yield "margins", lambda w: w.go(MARGINS)
    for part in company_parts():
        yield f"firm {part}", lambda w, p=part: w.go(COMPANY, None, p)
    yield "a new bill", lambda w: (w.go(COMPANY, None, "bills"), w.stack.currentWidget()._parts["bills"].begin())


PAGES = ("places", "draft", "running", "takeoff", "views", "firm a", "firm b", "firm c")
"""The stops in parts, each of which is walked through by itself."""


def _page_of(stop: str, parts: Sequence[str]) -> str:
    first, _, rest = stop.partition(" ")
    if first == "firm":
        return PAGES[-3:][parts.index(rest) * 3 // len(parts)]
    if first in ("draft", "running", "takeoff") and rest in SECTIONS:
        return first
    return "views" if first in ("record", "texts", "takeoff", "facts") else "firm c" if "bill" in rest else "places"


def stops_of(window: Window, draft_id: int, page: str) -> list[Stop]:
    """The stops of one of PAGES; every stop is of one."""
    parts = company_parts()
    return [stop for stop in stops(window, draft_id) if _page_of(stop[0], parts) == page]


def _section(window: Window) -> Any:
    return window.stack.currentWidget().job.stack.currentWidget()  # type: ignore[attr-defined]


def arrive(window: Window, stop: Stop) -> None:
    """Go there and wait until all is shown."""
    stop[1](window)
    settle()
    QThreadPool.globalInstance().waitForDone(5_000)
    settle()


# What there is to type into.


def fields_on(window: Window) -> list[Any]:
    """Every field that can be seen and typed into now."""
    kinds = (TypedField, ChoiceField, NotesField)
    found = [one for one in window.findChildren(QWidget) if isinstance(one, kinds) and one.isVisible()]
    return [one for one in found if one.isEnabled() and not _read_only(one)]


def _read_only(field: Any) -> bool:
    line = field.lineEdit() if isinstance(field, ChoiceField) else field
    return bool(line.isReadOnly())


def cells_on(window: Window) -> Iterator[tuple[RowsTable, QModelIndex]]:
    """For each editable column of each table that can be seen, the first cell that can be typed into."""
    for table in window.findChildren(RowsTable):
        if not table.isVisible() or table.model() is None or not table.rows_model().is_editable:
            continue
        model = table.rows_model()
        for number, column in enumerate(model.columns):
            if not column.editable or table.isColumnHidden(number):
                continue
            here = (model.index(row, number) for row in range(min(model.rowCount(), 40)))
            if (first := next((one for one in here if model.can_edit(one)), None)) is not None:
                yield table, first


def column_name(table: RowsTable, number: int) -> str:
    """What a column is called in what the test says."""
    return f"{table.accessibleName()} / {table.rows_model().columns[number].key}"


def field_name(field: Any) -> str:
    """What a field is called in what the test says."""
    return f"{_holder(field)} / {field.accessibleName() or field.objectName()}"


def _holder(field: QWidget) -> str:
    at: Any = field.parentWidget()
    while at is not None and not type(at).__module__.startswith("desktop.pages"):
        at = at.parentWidget()
    return type(at).__name__ if at is not None else "?"


def declared(window: Window) -> tuple[set[str], set[str]]:
    """Every editable column and every field that was built at all, seen or not."""
    columns = {
        column_name(table, number)
        for table in window.findChildren(RowsTable)
        if table.model() is not None and table.rows_model().is_editable
        for number, column in enumerate(table.rows_model().columns)
        if column.editable
    }
    kinds = (TypedField, ChoiceField, NotesField)
    return columns, {field_name(one) for one in window.findChildren(QWidget) if isinstance(one, kinds)}


_BY_KEY = (
    ("cents", MONEY), ("cost", MONEY), ("minutes", TIME), ("_on", DAY), ("day", DAY), ("quantity", COUNT),
    ("percent", PERCENT),
)  # fmt: skip


def guesses(table: RowsTable, index: QModelIndex) -> list[Typed]:
    """What an ordinary value for this cell would be, likeliest first."""
    model = table.rows_model()
    text, key = model.text(model.row_at(index), model.columns[index.column()].key), model.columns[index.column()].key
    if words := [word for word in model.choices_for(index) if word != text]:
        return [Typed(words[len(words) // 2], ())]
    likely = [
        (r"\$", MONEY), (r"%", PERCENT), (r"\d h\b|\bmin\b", TIME), (r"[A-Z][a-z]{2} \d", DAY), (r"pCi", RADON),
        (r"^[\d.,]+( \w+)?$", COUNT),
    ]  # fmt: skip
    by_text = [value for pattern, value in likely if re.search(pattern, text)]
    by_key = [value for name, value in _BY_KEY if name in key]
    if key == "day" and table.accessibleName() == "Materials used":
        by_key = [COUNT]  # how much on this day, not which day
    first = by_text or by_key or [WORDS]
    return list(dict.fromkeys((*first, *by_key, *ALL)))


# Hands.


def bring_in_sight(widget: QWidget) -> None:
    """Scroll the page to a widget, as one would before clicking it."""
    area: Any = widget.parentWidget()
    while area is not None and not isinstance(area, QScrollArea):
        area = area.parentWidget()
    if isinstance(area, QScrollArea):
        area.ensureWidgetVisible(widget, 30, 60)
        settle()


def target() -> QWidget:
    """Where the next key goes."""
    return QApplication.activePopupWidget() or QApplication.focusWidget() or main_window()


def press(key: Qt.Key | str, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    """One key."""
    QTest.keyClick(target(), key, held)  # type: ignore[call-overload]


def write(text: str, fast: bool) -> None:
    """A text, as fast as a machine or as a person: with time between the keys."""
    for letter in text:
        press(letter)
        if not fast:
            QTest.qWait(SLOWLY_MS)
    settle()


def click_cell(table: RowsTable, index: QModelIndex, twice: bool = False) -> None:
    """Click a cell once or twice."""
    table.scrollTo(index)
    bring_in_sight(table)
    spot = table.visualRect(index).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    if twice:
        QTest.mouseDClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    settle()


def enter_cell(table: RowsTable, index: QModelIndex, way: str) -> None:
    """Come to a cell in one of the ways of INTO."""
    table.setFocus()
    if way in ("click", "double click"):
        click_cell(table, index)
        click_cell(table, index, twice=way == "double click")
        return
    model = table.rows_model()
    above = model.index(index.row() - 1, index.column())
    if way == "after Enter" and index.row() > 0 and model.can_edit(above):
        table.setCurrentIndex(above)
        press(Key.Key_F2)
        press(Key.Key_Return)
        settle()
    elif way == "after Tab":
        earlier = [model.index(index.row(), n) for n in range(index.column())]
        if before := [one for one in earlier if model.can_edit(one) and not table.isColumnHidden(one.column())]:
            table.setCurrentIndex(before[-1])
            press(Key.Key_F2)
            press(Key.Key_Tab)
            settle()
    if table.currentIndex() != index and table.state() != QAbstractItemView.State.EditingState:
        table.setCurrentIndex(index)
    if table.currentIndex() != index:
        press(Key.Key_Escape)
        table.setFocus()
        table.setCurrentIndex(index)
    if way == "current":  # it is clicked though it is the current one already
        click_cell(table, index)


def enter_field(window: Window, field: Any, way: str) -> None:
    """Come to a field: by a click, or with Tab."""
    bring_in_sight(field)
    line = field.lineEdit() if isinstance(field, ChoiceField) else field
    if way in ("click", "double click", "current"):
        inner = line.viewport() if isinstance(line, NotesField) else line
        QTest.mouseClick(inner, Qt.MouseButton.LeftButton, pos=QPoint(8, inner.height() // 2))
    else:
        line.setFocus(Qt.FocusReason.TabFocusReason)
    settle()
    press("a", Qt.KeyboardModifier.ControlModifier)


def leave(window: Window, way: str, here: Stop) -> None:
    """Leave what one types in."""
    if way == "Enter":
        press(Key.Key_Return)
    elif way == "Tab":
        press(Key.Key_Tab)
    elif way == "click":
        if popup := QApplication.activePopupWidget():
            popup.close()
        head = window.masthead
        QTest.mouseClick(head, Qt.MouseButton.LeftButton, pos=QPoint(head.width() // 2 + 160, head.height() - 2))
        if isinstance(now := window.focusWidget(), QLineEdit):
            now.clearFocus()  # the ground of the head takes no focus; any button would
    else:
        if popup := QApplication.activePopupWidget():
            popup.close()
        window.go(TONIGHT if here[0] != "tonight" else MARGINS)
        settle()
        arrive(window, here)
    settle()


def place(widget: QWidget) -> QPoint:
    """Where a widget stands in its window."""
    return widget.mapTo(widget.window(), QPoint(0, 0))


def types_in(widget: QWidget) -> bool:
    """True while the keyboard belongs to this widget, its editor or the list it opened."""
    now = QApplication.focusWidget()
    if QApplication.activePopupWidget() is not None:
        return True
    return now is not None and (now is widget or widget.isAncestorOf(now))


# What the file holds.


class Journal:
    """What the file holds that was written since it was last asked, read from the disk and not through the program."""

    def __init__(self, window: Window) -> None:
        assert window.company is not None
        self._path = window.company.path
        self.bent: list[str] = []
        self._seen = self._last()

    def _last(self) -> int:
        with closing(sqlite3.connect(self._path)) as file:
            return int(file.execute("SELECT coalesce(max(id), 0) FROM change").fetchone()[0])

    def written(self) -> list[object]:
        """The values that changed in the rows written since, new rows whole; `bent`: rows that hold something else."""
        found: list[object] = []
        last: dict[tuple[str, int], dict[str, object]] = {}
        with closing(sqlite3.connect(self._path)) as file:
            file.row_factory = sqlite3.Row
            told = "SELECT table_name, row_id, before, after FROM change WHERE id > ? ORDER BY id"
            for row in file.execute(told, (self._seen,)).fetchall():
                old, new = json.loads(row["before"] or "{}"), json.loads(row["after"] or "{}")
                found += [value for name, value in new.items() if name not in old or old[name] != value]
                last[row["table_name"], row["row_id"]] = new
            for (table, row_id), new in last.items():
                held = file.execute(f'SELECT * FROM "{table}" WHERE id = ?', (row_id,)).fetchone()
                kept = dict(held) if held is not None else {}
                if any(kept.get(name) != value for name, value in new.items()):
                    self.bent.append(f"{table} {row_id}: {new} written, {kept} there")
        self._seen = self._last()
        return found
