"""Draws every widget on two sheets, for the tests and for the eye.

python -m tests.desktop.widgets.gallery DIR     # light and dark, 1280x800 and 1920x1080
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

import shiboken6
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QApplication, QButtonGroup, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desktop.look.icons import icon
from desktop.look.theme import apply_theme
from desktop.widgets.cards import (
    Card,
    EmptyPage,
    Figure,
    FlowLayout,
    Notice,
    PageHead,
    Saved,
    SearchBox,
    StatePill,
    button,
    column,
    label,
    row,
    segments,
    tool_button,
)
from desktop.widgets.form import (
    ChoiceField,
    DateField,
    DurationField,
    Form,
    MoneyField,
    NotesField,
    PercentField,
    QuantityField,
    RadonField,
    SwitchField,
    TextField,
)
from desktop.widgets.quoted_actual_bar import QuotedActualBar
from desktop.widgets.table import Column, RowsModel, RowsTable
from desktop.widgets.waterfall import WaterfallStep, WaterfallView
from domain.money import format_money
from domain.units import format_minutes


@dataclass(frozen=True)
class JobRow:
    """A row of the gallery's table."""

    id: int
    title: str
    kind: str
    state: str
    tone: str
    quoted: int
    actual: int
    margin_cents: int


JOBS = [
    JobRow(1, "Alder Court 14, Weller", "New system", "Paid", "good", 900, 845, 92150),
    JobRow(2, "Quarry Road 207, Tamm", "Rework of an existing system", "Installed", "over", 480, 745, -11840),
    JobRow(3, "Hollow Lane 9, Birchfield", "Crawl-space membrane", "Invoiced", "info", 1320, 1335, 74025),
    JobRow(4, "Station Street 3, Osei", "Fan replacement", "Paid", "good", 150, 120, 21060),
    JobRow(5, "Mill Pond 88, Ferrante", "Rework of an existing system", "Accepted", "plain", 540, 0, 0),
    JobRow(6, "Ridge Top 41, Lindqvist", "Service call", "Tested", "goodwill", 0, 95, -9500),
]


def jobs_table() -> RowsTable:
    """A table with every kind of column."""
    scale = max(max(j.quoted, j.actual) for j in JOBS)
    model = RowsModel(
        [
            Column("title", "Job", stretch=2),
            Column("kind", "Job type", stretch=1),
            Column("state", "State", kind="state"),
            Column("quoted", "Quoted", "right"),
            Column("actual", "Actual", "right"),
            Column("bar", "Hours", kind="bar", width=170),
            Column("margin", "Margin", "right"),
        ],
        text={
            "quoted": lambda j: format_minutes(j.quoted),
            "actual": lambda j: format_minutes(j.actual),
            "margin": lambda j: format_money(j.margin_cents),
        },
        sort_key={
            "quoted": lambda j: j.quoted,
            "actual": lambda j: j.actual,
            "bar": lambda j: j.actual - j.quoted,
            "margin": lambda j: j.margin_cents,
        },
        bar=lambda j: (j.quoted, j.actual, scale),
        tone={"state": lambda j: j.tone, "margin": lambda j: "over" if j.margin_cents < 0 else None},
        row_id=lambda j: j.id,
    )
    table = RowsTable(model, name="Jobs")
    model.set_rows(JOBS)
    return table


def steps() -> list[WaterfallStep]:
    """A waterfall with every kind of step."""
    rows = [
        ("Quoted margin", 82000, "total", "", ""),
        ("Hours", -21500, "step", "3 h 10 more in the crawl, most of it slope correction", "hours"),
        ("Hourly cost", 1250, "step", "", "rate"),
        ("Materials used", 2215, "step", "Less pipe than quoted", "materials"),
        ("Material prices", -640, "step", "", "prices"),
        ("Work not quoted", -6400, "step", "Old suction point dug out", "unquoted"),
        ("Goodwill", -4000, "step", "", "goodwill"),
        ("Change orders", 9000, "step", "", "change_orders"),
        ("Actual margin", 61925, "total", "", ""),
    ]
    return [
        WaterfallStep(name, cents, kind, note, key, format_money(cents, signed=kind == "step"))  # type: ignore[arg-type]
        for name, cents, kind, note, key in rows
    ]


def rail() -> QWidget:
    """The five places, as the window will have them."""
    made = QWidget()
    made.setFixedWidth(208)
    layout = QVBoxLayout(made)
    layout.setContentsMargins(0, 18, 0, 12)
    layout.setSpacing(2)
    group = QButtonGroup(made)
    for number, (name, words) in enumerate(
        [
            ("tonight", "Tonight"),
            ("people", "Customers"),
            ("job", "Jobs"),
            ("margins", "Margins"),
            ("company", "Firm"),
        ]
    ):
        one = QPushButton(words)
        one.setIcon(icon(name, gap=10))
        one.setIconSize(QSize(28, 18))
        one.setProperty("kind", "rail")
        one.setCheckable(True)
        group.addButton(one)
        one.setChecked(number == 2)
        layout.addWidget(one)
    layout.addStretch(1)
    return made


def page_sheet() -> QWidget:
    """A page with head, figures, bars, table and waterfall."""
    sheet = QWidget()
    sheet.setObjectName("page")
    across = QHBoxLayout(sheet)
    across.setContentsMargins(0, 0, 0, 0)
    across.addWidget(rail())
    body = QVBoxLayout()
    body.setContentsMargins(20, 18, 24, 18)
    body.setSpacing(12)
    across.addLayout(body, 1)
    saved = Saved()
    saved.show_saved("21:04")
    body.addWidget(
        PageHead(
            "Quarry Road 207",
            "Rework of an existing system for Tamm, accepted Mar 3",
            [
                saved,
                StatePill("Installed", "over"),
                button("Log hours", kind="primary"),
                button("Proposal", icon_name="paper"),
            ],
        )
    )
    body.addWidget(
        Notice("caution", "265 minutes logged that no quote covers.", ("Make a change order", lambda: None))
    )
    figures = QWidget()
    flow = FlowLayout(figures, 8)
    for words, value, note, tone in [
        ("Price", "$2,840.00", "before tax", ""),
        ("Quoted margin", "$820.00", "28.87% of price", ""),
        ("Actual margin", "$619.25", "21.80% of price", "over"),
        ("Own hour", "$31.40", "wage in the firm's costs: $38.00", "over"),
        ("Goodwill", "$40.00", "given on purpose", "goodwill"),
        ("Materials", "$22.15", "under quote", "under"),
    ]:
        flow.addWidget(Figure(words, value, note, tone))
    card = Card("Quoted against actual", "closed job")
    card.add_action(segments([("h", "Hours"), ("m", "Money")], lambda _: None, "Measure"))
    card.add(figures)
    for values in ((480, 745, 900, None, None), (900, 610, 900, None, None), (540, None, 900, 480, 800)):
        bar = QuotedActualBar(format_minutes)
        bar.set_values(*values)
        card.add(bar)
    upper = QHBoxLayout()
    upper.setSpacing(12)
    card.body.addStretch(1)
    upper.addWidget(card, 1)
    body.addLayout(upper, 0)
    table_card = column(
        row(
            SearchBox("Search jobs"),
            None,
            tool_button("filter", "Filter"),
            button("Workbook", icon_name="table"),
        ),
        jobs_table(),
    )
    body.addWidget(table_card, 1)
    falls = Card("From quoted to actual margin")
    view = WaterfallView()
    view.set_steps(steps())
    falls.add(view, 1)
    upper.addWidget(falls, 1)
    return sheet


def form_sheet() -> QWidget:
    """Forms, notices, buttons, an empty page and an empty table."""
    sheet = QWidget()
    sheet.setObjectName("page")
    across = QHBoxLayout(sheet)
    across.setContentsMargins(24, 18, 24, 18)
    across.setSpacing(14)
    left = Card("Survey")
    left.add(filled_form())
    left.body.addStretch(1)
    across.addWidget(left, 3)
    right = QVBoxLayout()
    across.addLayout(right, 2)
    for kind, text in (
        ("info", "A sent quote stays as it was sent. Revise makes the next version."),
        ("good", "Backup checked: every job adds up to the cent."),
        (
            "caution",
            "Lead paint is possible in a house built before 1978. Follow the rules that apply where you work.",
        ),
        ("error", "The firm's file is open in another window. Close it there, then try again."),
    ):
        right.addWidget(Notice(kind, text))
    buttons = QWidget()
    flow = FlowLayout(buttons, 8)
    for one in (
        button("Send the quote", kind="primary", icon_name="check"),
        button("Revise", icon_name="edit"),
        button("Delete", kind="danger", icon_name="trash"),
        button("More", kind="quiet", icon_name="more"),
        button("Open the job", kind="link"),
    ):
        flow.addWidget(one)
    off = button("Not yet")
    off.setEnabled(False)
    flow.addWidget(off)
    for tone in ("plain", "info", "good", "over", "goodwill", "error"):
        flow.addWidget(StatePill(tone.title(), tone))
    right.addWidget(buttons)
    table = RowsTable(
        RowsModel([Column("name", "Item", stretch=1), Column("price", "Price", "right")]), name="Items"
    )
    table.set_empty(
        "No items yet", "Materials you buy often, with what you last paid for them.", "Bring in a list", print
    )
    right.addWidget(table, 1)
    right.addWidget(
        EmptyPage(
            "Nothing left tonight",
            "Quotes to finish and hours to log will stand here.",
            "Start a quote",
            icon_name="tonight",
        ),
        1,
    )
    return sheet


def filled_form() -> Form:
    """A form with every field, one of them wrong."""
    form = Form(columns=2)
    form.add("Customer", TextField()).set_value("Łukasz & Søn")
    form.add("Surveyed", DateField(lambda: date(2026, 3, 14))).set_value(date(2026, 3, 14))
    form.add("Radon", RadonField(), hint="Long-term test, lowest lived-in level").set_value(Decimal("7.9"))
    form.add("Foundation", ChoiceField([(1, "Slab"), (2, "Basement"), (3, "Crawl space")])).set_value(3)
    form.add("Price", MoneyField()).set_value(284000)
    form.add("Margin", PercentField(), hint="On price").set_value(Decimal("28.87"))
    form.add("Pipe", QuantityField("ft")).set_value(Decimal("62.5"))
    form.add("Hours", DurationField()).set_value(745)
    form.add_heading("Around the job")
    form.add("Existing system", SwitchField()).set_value(True)
    wrong = form.add("Deadline", DateField(lambda: date(2026, 3, 14)))
    wrong.setText("31/12")
    wrong.setModified(True)
    wrong.commit()
    form.add("Notes", NotesField("What did you see?"), wide=True).set_value(
        "Low crawl, wet at the north wall."
    )
    form.add_wide(
        label("Power off at the breaker and locked out before the fan is wired.", "small", "soft", wrap=True)
    )
    return form


def main(folder: Path) -> None:
    """Write the sheets as PNG files."""
    app = QApplication.instance() or QApplication([])
    folder.mkdir(parents=True, exist_ok=True)
    for choice in ("light", "dark"):
        apply_theme(app, choice)  # type: ignore[arg-type]
        for width, height in ((1280, 800), (1920, 1080)):
            for build in (page_sheet, form_sheet):
                sheet = build()
                sheet.resize(width, height)
                sheet.show()
                app.processEvents()
                sheet.grab().save(str(folder / f"{build.__name__}-{choice}-{width}.png"))
                sheet.close()
                shiboken6.delete(sheet)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
