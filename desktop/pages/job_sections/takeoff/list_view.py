"""The whole list: what to buy, what takes time, how the pipe is cut, and what to mind while doing it."""

from __future__ import annotations

from PySide6.QtWidgets import QAbstractItemView, QVBoxLayout, QWidget

from db.commands.offcuts import Kept, keep_offcuts
from desktop.pages.job_sections.takeoff.driven_table import DrivenTable
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.pages.job_sections.takeoff.list_table import ListTable
from desktop.widgets.cards import Card, Notice, button, label, scroll_page
from domain.job_takeoff.difference import work_key
from domain.money import format_money
from domain.routes.route import size_words
from domain.units import format_minutes
from domain.units.lengths import format_length

THE_RULE = (
    "Before the list goes into the quote you read what becomes of each line. A quantity of your own belongs here, "
    "beside the computed one. Waste is counted already; a job is costed by what it uses, whole packs are for the shop."
)


class ListView(QWidget):
    """Cards below each other on a page that scrolls."""

    def __init__(self, editing: TakeoffEditing) -> None:
        super().__init__()
        self.editing = editing
        self.blocked = Notice("caution")
        self.list = ListTable(editing)
        self.driven = DrivenTable(editing)
        for table in (self.list, self.driven):  # several lines may go into a change order together
            table.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
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
        self._cut_card = Card("How the pipe is cut", "offcuts on the truck first")
        self.keep = button(
            "Offcuts onto the truck", self.keep_offcuts, "quiet", "truck",
            "The pipe is cut: leftovers worth keeping go on the truck, what was used leaves it (Ctrl+Shift+O)",
        )  # fmt: skip
        self._cut_card.add_action(self.keep)
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
        used, shop = format_money(counted.cost_cents), format_money(counted.shop_cents)
        self.cost.setText(f"the job uses {used}  ·  at the shop {shop}{more}")
        self.minutes.setText(format_minutes(counted.minutes))
        self._show_cuts()
        cautions = dict.fromkeys(one.line.caution for one in counted.bought if one.line.caution)
        cautions |= dict.fromkeys(total.pick.task.caution for total in counted.totals if total.pick.task.caution)
        self.cautions.setText("\n".join(cautions))
        self._caution_card.setVisible(bool(cautions))

    def chosen_keys(self) -> set[str]:
        """Keys of the lines chosen in the table with the cursor; of both where it is elsewhere."""
        tables = (self.list, self.driven)
        here = [table for table in tables if table.hasFocus()] or tables
        materials = {row.bought.line.key for row in self.list.selected_rows() if self.list in here}
        rows = self.driven.selected_rows() if self.driven in here else []
        return materials | {work_key(one.pick.task.id) for one in rows if one.pick is not None}

    def keep_offcuts(self) -> None:
        """Put what the cut list leaves over on the truck, and take off it what the list uses."""
        desk, job_id = self.editing.desk, self.editing.kept.job_id
        kept: list[Kept] = []
        problem = self.editing.save(
            "Offcuts onto the truck", lambda edit: kept.append(keep_offcuts(edit, job_id, desk.today()))
        )
        desk.say(problem or _kept_words(kept[0]), "caution" if problem else "good")

    def _show_cuts(self) -> None:
        takeoff = self.editing.counted.takeoff
        lines = list(takeoff.notes) if takeoff is not None else []
        for cut in takeoff.cuts if takeoff is not None else ():
            lines.append(f"{size_words(cut.size)} pipe")
            lines += [f"    {row}" for row in cut.rows]
        self.cuts.setText("\n".join(lines))
        self._cut_card.setVisible(bool(lines))
        self.keep.setEnabled(bool(takeoff is not None and takeoff.cuts))


def _kept_words(kept: Kept) -> str:
    """``3 offcuts onto the truck, 14' 2"; 1 used of it.``"""
    pieces = "1 offcut" if kept.kept == 1 else f"{kept.kept} offcuts"
    left = f"{pieces} onto the truck, {format_length(kept.feet, 'ft-in')}" if kept.kept else "No offcut worth keeping"
    return f"{left}; {kept.used} of the truck's used." if kept.used else f"{left}."
