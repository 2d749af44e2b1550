"""The whole list: what to buy, what takes time, how the pipe is cut, and what to mind while doing it."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.pages.job_sections.takeoff.driven_table import DrivenTable
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.pages.job_sections.takeoff.list_table import ListTable
from desktop.widgets.cards import Card, Notice, label, scroll_page
from domain.money import format_money
from domain.routes.route import size_words
from domain.units import format_minutes

THE_RULE = (
    "Taking the list into the quote again sets the lines it made anew; lines that were typed there are left alone. "
    "A quantity of your own belongs here, beside the computed one. Waste and packs are counted already."
)


class ListView(QWidget):
    """Cards below each other on a page that scrolls."""

    def __init__(self, editing: TakeoffEditing) -> None:
        super().__init__()
        self.editing = editing
        self.blocked = Notice("caution")
        self.list = ListTable(editing)
        self.driven = DrivenTable(editing)
        self.cost, self.minutes = label("", "strong"), label("", "strong")
        self.cuts = label("", "small", "soft", wrap=True)
        self.cautions = label("", "small", "soft", wrap=True)
        self._list_card = Card("To buy", "with the routes that are built")
        self._list_card.add_action(self.cost)
        self._list_card.add(self.list)
        self._list_card.add(label(THE_RULE, "small", "soft", wrap=True))
        self._work_card = Card("What takes time", "under the access conditions of this job")
        self._work_card.add_action(self.minutes)
        self._work_card.add(self.driven)
        self._cut_card = Card("How the pipe is cut")
        self._cut_card.add(self.cuts)
        self._caution_card = Card("Before anyone works here")
        self._caution_card.add(self.cautions)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 8, 16)
        column.setSpacing(10)
        for part in (self.blocked, self._list_card, self._work_card, self._cut_card, self._caution_card):
            column.addWidget(part)
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))

    def show_list(self) -> None:
        """The list as it stands."""
        counted = self.editing.counted
        self.blocked.set_words("caution", "\n".join(counted.in_the_way[:3]))
        self.list.show_list()
        self.driven.show_driven()
        missing = len(counted.open_lines)
        more = f"   ({missing} without a price)" if missing else ""
        self.cost.setText(format_money(counted.cost_cents) + more)
        self.minutes.setText(format_minutes(counted.minutes))
        self._show_cuts()
        cautions = dict.fromkeys(one.line.caution for one in counted.bought if one.line.caution)
        cautions |= dict.fromkeys(total.pick.task.caution for total in counted.totals if total.pick.task.caution)
        self.cautions.setText("\n".join(cautions))
        self._caution_card.setVisible(bool(cautions))

    def _show_cuts(self) -> None:
        takeoff = self.editing.counted.takeoff
        lines = list(takeoff.notes) if takeoff is not None else []
        for cut in takeoff.cuts if takeoff is not None else ():
            lines.append(f"{size_words(cut.size)} pipe")
            lines += [f"    {row}" for row in cut.rows]
        self.cuts.setText("\n".join(lines))
        self._cut_card.setVisible(bool(lines))
