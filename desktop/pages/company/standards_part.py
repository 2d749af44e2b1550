"""Standards and figures: every number the program counts by, where it is from, and the owner's own beside it."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout

from db.queries.standards import standards_listed
from desktop.desk import Desk
from desktop.pages.company.own_value_card import OwnValueCard
from desktop.pages.company.part import Part
from desktop.widgets.cards import SearchBox, label, segments
from desktop.widgets.form import ChoiceField
from desktop.widgets.half import only_asks
from desktop.widgets.table import Column, RowsModel, RowsTable
from domain.dates import format_day_short
from domain.standards.groups import GROUPS
from domain.standards.own import StandardRow, value_words
from domain.words import matches, search_text

_VIEWS = (("all", "All figures"), ("own", "With a value of my own"))
_EVERY = ""


class StandardsPart(Part):
    """The list on top; beneath, the figure under the cursor with the owner's own values, one a first day."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(
            desk, "Standards",
            "What lists, checks, tests and tax estimates count by. Where your county, your inspector or your supplier "
            "asks something else, choose the figure and type your own value: it counts from its first day on.",
        )  # fmt: skip
        self._rows: list[StandardRow] = []
        self.view = segments(_VIEWS, lambda _: self._show(), "Which figures")
        self.group = ChoiceField(required=True)
        only_asks(self.group)
        self.group.setAccessibleName("Part of the work")
        self.group.setFixedWidth(204)
        self.group.edited.connect(lambda _: self._show())
        self.search = SearchBox("Figure, value or source")
        self.search.searched.connect(lambda _: self._show())
        self.table = self._make_table()
        self.search.target = self.table
        self.card = OwnValueCard(desk)
        self.table.current_changed.connect(self.card.show_row)
        self.table.row_activated.connect(lambda _: self.card.begin())
        self.count = label("", "small", "soft")
        self._arrange()

    def _make_table(self) -> RowsTable:
        self.model = RowsModel(
            [
                Column("label", "Figure", stretch=5, tooltip="Enter: type a value of your own"),
                Column("now", "Counts now", "right", width=150),
                Column("built_in", "The table's", "right", width=150, tooltip="What the program brings"),
                Column("source", "Where what counts is from", stretch=5),
                Column("since", "Since", width=126),
            ],
            text={
                "now": lambda row: "not chosen" if row.set_aside else value_words(row.now.value, row.unit),
                "built_in": _built_in_words,
                "source": source_words,
                "since": lambda row: format_day_short(row.now.starts_on),
            },
            sort_key={
                "now": lambda row: row.now.value,
                "built_in": lambda row: row.built_in.value,
                "since": lambda row: row.now.starts_on,
            },
            tone={
                "built_in": lambda row: None if row.now.is_own else "ink_faint",
                "now": lambda row: "ink_faint" if row.set_aside else "accent" if row.now.is_own else None,
                "source": lambda _: "ink_soft",
                "since": lambda _: "ink_soft",
            },
            tip={"source": lambda row: row.now.note, "label": lambda row: f"{row.group}: {row.label}"},
            row_id=lambda row: row.key,
            strong=lambda row: row.now.is_own,
        )
        return RowsTable(self.model, "Standards")

    def _arrange(self) -> None:
        line = QHBoxLayout()
        line.setSpacing(8)
        line.addWidget(self.search, 1)
        line.addWidget(self.group)
        line.addWidget(self.view)
        self._column.addLayout(line)
        self.add(self.table, 1)
        self.add(self.count)
        self.add(self.card)

    def refresh(self) -> None:
        with self.desk.read() as conn:
            self._rows = standards_listed(conn, self.desk.today())
        there = {row.group for row in self._rows}
        groups = [(_EVERY, "All parts of the work"), *((title, title) for title in GROUPS if title in there)]
        self.group.set_choices(groups)
        if self.group.value() is None:
            self.group.set_value(_EVERY)
        own = sum(bool(row.own) for row in self._rows)
        self.view.set_words("own", f"{_VIEWS[1][1]} ({own})")
        self._show()

    def _show(self) -> None:
        group, wanted = self.group.value() or _EVERY, self.search.text().strip()
        rows = [row for row in self._rows if group in (_EVERY, row.group)]
        if self.view.value() == "own":
            rows = [row for row in rows if row.own]
        if wanted:
            rows = [row for row in rows if matches(wanted, _searched(row))]
        self._guide(bool(wanted) or group != _EVERY)
        order = {title: place for place, title in enumerate(GROUPS)}
        self.model.set_rows(sorted(rows, key=lambda row: order[row.group]))
        self.count.setText(f"{len(rows)} of {len(self._rows)} figures")
        self.card.show_row(self.table.current_row())

    def _guide(self, narrowed: bool) -> None:
        if self.view.value() == "own" and not narrowed:
            self.table.set_empty(
                "No values of your own", "The program's figures count. Choose one of all figures to say what is asked "
                "where you work.", "All figures", self._all,
            )  # fmt: skip
        else:
            self.table.set_empty("Nothing found", "Another word may find it, or look through all parts of the work.")

    def _all(self) -> None:
        self.view.set_value("all")
        self._show()
        self.table.setFocus()


def _built_in_words(row: StandardRow) -> str:
    differs = row.now.is_own or row.set_aside
    return value_words(row.built_in.value, row.unit) if differs else "the same"


def source_words(row: StandardRow) -> str:
    """``your own: county inspector``, ``ANSI/AARST RMS-LB, s. 6.2.7.2, 2018``."""
    now = row.now
    parts = ", ".join(part for part in (now.source, now.section, now.edition) if part)
    return f"your own: {parts}" if now.is_own else f"{parts} (carried forward)" if now.is_projected else parts


def _searched(row: StandardRow) -> str:
    values = " ".join(f"{one.value} {one.source} {one.note}" for one in row.own)
    return search_text(
        row.group, row.label, value_words(row.now.value, row.unit), row.built_in.source, row.built_in.section,
        row.built_in.edition, values,
    )  # fmt: skip
