"""The Company page: its parts in a list at the left, the chosen one beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from importlib import import_module

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from desktop.desk import Desk
from desktop.look.theme import current_tokens
from desktop.pages.company.part import Part
from desktop.pages.page import Page
from desktop.pages.tab_order import first_field
from desktop.readying import Ahead, Step, inside_steps
from desktop.widgets.cards import button, label

_GROUPS = (
    (
        "The firm",
        (
            ("firm", "Name and terms", "note"),
            ("hour", "Cost of an hour", "clock"),
            ("standards", "Standards", "edit"),
            ("exposure", "Exposure log", "warning"),
        ),
    ),
    (
        "Lists",
        (
            ("job_types", "Job types", "job"),
            ("tasks", "Labor tasks", "timer"),
            ("checklist", "Checklist", "check"),
            ("conditions", "Access conditions", "warning"),
            ("causes", "Causes", "info"),
            ("lead_sources", "Lead sources", "phone"),
        ),
    ),
    (
        "Buying",
        (
            ("prices", "Price list", "table"),
            ("changes", "Price changes", "money"),
            ("suppliers", "Suppliers", "house"),
            ("stock", "Truck stock", "truck"),
            ("pull", "Pull sheet", "paper"),
            ("shopping", "Shopping list", "check"),
        ),
    ),
    (
        "Money",
        (
            ("owed", "What is owed", "money"),
            ("payments", "Payments", "check"),
            ("bills", "Bills", "paper"),
            ("miles", "Miles", "truck"),
            ("subcontractors", "Subcontractors", "people"),
        ),
    ),
    (
        "Books",
        (
            ("close", "Close a month", "archive"),
            ("accounts", "Accounts", "table"),
            ("ties", "Ties", "check"),
            ("history", "Journal", "clock"),
        ),
    ),
    ("Papers", (("papers", "Papers issued", "paper"), ("wordings", "Words on papers", "note"))),
    ("Keeping", (("safe", "Safe keeping", "save"), ("appearance", "Appearance", "settings"))),
)

PARTS: dict[str, str] = {key: title for _, entries in _GROUPS for key, title, _ in entries}
"""Key and title of each part, in the order of the list."""

_CLASSES = {
    "firm": ("firm_part", "FirmPart"),
    "hour": ("hour_part", "HourPart"),
    "standards": ("standards_part", "StandardsPart"),
    "job_types": ("job_types_part", "JobTypesPart"),
    "tasks": ("tasks_part", "TasksPart"),
    "exposure": ("exposure_part", "ExposurePart"),
    "checklist": ("checklist_part", "ChecklistPart"),
    "conditions": ("named_lists", "ConditionsPart"),
    "causes": ("named_lists", "CausesPart"),
    "lead_sources": ("named_lists", "LeadSourcesPart"),
    "prices": ("prices_part", "PricesPart"),
    "changes": ("price_changes_part", "PriceChangesPart"),
    "suppliers": ("suppliers_part", "SuppliersPart"),
    "stock": ("stock_part", "StockPart"),
    "pull": ("pull_part", "PullPart"),
    "shopping": ("shopping_part", "ShoppingPart"),
    "owed": ("owed_part", "OwedPart"),
    "payments": ("payments_part", "PaymentsPart"),
    "bills": ("bills_part", "BillsPart"),
    "miles": ("miles_part", "MilesPart"),
    "subcontractors": ("subcontractors_part", "SubcontractorsPart"),
    "close": ("close_part", "ClosePart"),
    "accounts": ("accounts_part", "AccountsPart"),
    "ties": ("ties_part", "TiesPart"),
    "history": ("history_part", "HistoryPart"),
    "papers": ("papers_part", "PapersPart"),
    "wordings": ("wordings_part", "WordingsPart"),
    "safe": ("safe_part", "SafePart"),
    "appearance": ("appearance_part", "AppearancePart"),
}


class CompanyPage(Page):
    """The company. `show_key(part)` or `show_key(None, part)` shows one of PARTS.

    Signals:
        recover_asked: (company file): the firm is to be closed and recovered.
        restore_asked: (Wish): a backup is to be put in the firm's place.
        open_asked: (company file): a copy is to be opened in place of this one.
        appearance_asked: system, light or dark.
    """

    restore_asked = Signal(object)
    recover_asked = Signal(object)
    open_asked = Signal(object)
    appearance_asked = Signal(str)

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.setObjectName("page")
        self._parts: dict[str, Part] = {}
        self._rail = _Rail(self.show_part)
        self._stack = QStackedWidget()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self._rail)
        row.addWidget(self._stack, 1)
        self._shown = "firm"
        self.ahead = Ahead(self._steps_ahead(), self)

    def _steps_ahead(self) -> Iterator[Step]:
        """Whoever looks at one part looks at others: they are built while he reads the first."""
        for key in PARTS:
            if key not in self._parts:
                yield lambda key=key: import_module(f"desktop.pages.company.{_CLASSES[key][0]}")  # type: ignore[misc]
                yield from inside_steps(
                    self.desk, lambda key=key: self.part(key), lambda key=key: self.part(key).refresh()  # type: ignore[misc]
                )

    @property
    def shown(self) -> str:
        """Key of the part that is shown."""
        return self._shown

    def part(self, key: str) -> Part:
        """One part, made when it is first asked for."""
        if key not in self._parts:
            module, name = _CLASSES[key]
            made: Part = getattr(import_module(f"desktop.pages.company.{module}"), name)(self.desk)
            for signal in ("restore_asked", "recover_asked", "open_asked", "appearance_asked"):
                if hasattr(made, signal):
                    getattr(made, signal).connect(getattr(self, signal))
            self._parts[key] = made
            self._stack.addWidget(made)
        return self._parts[key]

    def parts_to_ready(self) -> Mapping[str, Callable[[], QWidget]]:
        return {self._shown: lambda: self.part(self._shown)}

    def show_part(self, key: str) -> None:
        """Turn to a part and read it."""
        self._shown = key
        self._rail.choose(key)
        part = self.part(key)
        self._stack.setCurrentWidget(part)
        part.refresh()

    def show_key(self, key: object, section: str = "") -> None:
        wanted = section if section in PARTS else key
        if isinstance(wanted, str) and wanted in PARTS:
            self.show_part(wanted)
            self._begin_in(self.part(wanted))
        else:
            self.refresh()

    def _begin_in(self, part: Part) -> None:
        """Put the cursor where one types in a part that was asked for by name."""
        field = first_field(part)
        if field is not None:
            field.setFocus(Qt.FocusReason.TabFocusReason)

    def showEvent(self, event: QShowEvent) -> None:
        """Begin on the list of parts, unless the cursor is in the page already."""
        super().showEvent(event)
        self.ahead.begin()
        now = self.window().focusWidget()
        if now is None or not self.isAncestorOf(now):
            self._rail.take_focus()

    def hideEvent(self, event: QHideEvent) -> None:
        """Elsewhere nothing is built for here."""
        super().hideEvent(event)
        self.ahead.rest()

    def refresh(self) -> None:
        if self._stack.count() == 0:
            self.show_part(self._shown)
        else:
            self.part(self._shown).refresh()


class _Rail(QScrollArea):
    """The list of parts; Up and Down move through it. In a window too low for all of them it scrolls."""

    def __init__(self, choose: Callable[[str], None]) -> None:
        super().__init__()
        tokens = current_tokens()
        self.setFixedWidth(tokens.rail_width)
        self.setAccessibleName("Parts of the firm")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        inner = QWidget()
        inner.setObjectName("page")
        self.setWidget(inner)
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, tokens.space.small, 0, tokens.space.small)
        column.setSpacing(0)
        self._group = QButtonGroup(self)
        self._buttons: dict[str, QPushButton] = {}
        for title, entries in _GROUPS:
            heading = label(title, "small", "faint")
            heading.setContentsMargins(18, tokens.space.tight, 0, tokens.space.hair)
            column.addWidget(heading)
            for key, text, icon_name in entries:
                column.addWidget(self._entry(key, text, icon_name, choose))
        column.addStretch(1)

    def _entry(self, key: str, text: str, icon_name: str, choose: Callable[[str], None]) -> QWidget:
        one = button(text, lambda: choose(key), "rail", icon_name)
        one.setCheckable(True)
        one.setSizePolicy(one.sizePolicy().Policy.Expanding, one.sizePolicy().Policy.Fixed)
        self._group.addButton(one)
        self._buttons[key] = one
        return one

    def choose(self, key: str) -> None:
        """Mark a part as the one shown."""
        self._buttons[key].setChecked(True)
        self.ensureWidgetVisible(self._buttons[key], 0, 40)

    def take_focus(self) -> None:
        """Put the cursor on the part that is shown."""
        for one in self._buttons.values():
            if one.isChecked():
                one.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()))
        keys = list(self._buttons)
        if step is None or not isinstance(self.focusWidget(), QPushButton):
            super().keyPressEvent(event)
            return
        now = next((n for n, key in enumerate(keys) if self._buttons[key].hasFocus()), 0)
        target = self._buttons[keys[max(0, min(len(keys) - 1, now + step))]]
        target.setFocus()
        target.click()
