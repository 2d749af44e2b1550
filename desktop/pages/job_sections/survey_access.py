"""Access conditions of a job as ticks, each with what it does to the minutes and, when ticked, its caution."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from db.commands.jobs import set_conditions
from desktop.desk import Desk
from desktop.widgets.as_typed import set_tip
from desktop.widgets.buttons import Tick
from desktop.widgets.cards import label, set_tone
from domain.library import AccessCondition
from domain.units import format_percent

Effects = dict[int, tuple[int, Decimal]]


class AccessTicks(QWidget):
    """One tick for each condition in use."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self._desk, self._job_id = desk, 0
        self._shown: list[AccessCondition] = []
        self.ticks: dict[int, Tick] = {}
        self.cautions: dict[int, QLabel] = {}
        self._none = label("No access conditions are kept. Add them on the Firm page.", "body", "soft", wrap=True)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(2)
        self._column.addWidget(self._none)
        self._body: QWidget | None = None

    def show_conditions(
        self, job_id: int, conditions: list[AccessCondition], ticked: frozenset[int], effects: Effects
    ) -> None:
        """Show the conditions of a job."""
        self._job_id = job_id
        if conditions != self._shown:
            self._build(conditions, effects)
        for key, tick in self.ticks.items():
            tick.setChecked(key in ticked)
            set_tone(self.cautions[key], "over" if key in ticked else "faint")

    def _build(self, conditions: list[AccessCondition], effects: Effects) -> None:
        self._shown = conditions
        if self._body is not None:
            self._column.removeWidget(self._body)
            self._body.hide()
            self._body.deleteLater()
        self.ticks, self.cautions, self._body = {}, {}, QWidget()
        grid = QGridLayout(self._body)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(1, 1)
        for row, condition in enumerate(conditions):
            tick = self.ticks[condition.id] = Tick(condition.name)
            tick.setAccessibleDescription(condition.caution)
            set_tip(tick, condition.caution)
            tick.clicked.connect(lambda on, one=condition: self._save(one, on))
            effect = label(_effect_words(effects.get(condition.id)), "small", "soft")
            caution = self.cautions[condition.id] = label(condition.caution, "small", "faint", wrap=True)
            caution.setContentsMargins(29, 0, 0, 6)
            caution.setVisible(bool(condition.caution))  # ticked or not: a tick moves nothing under the pointer
            grid.addWidget(tick, row * 2, 0)
            grid.addWidget(effect, row * 2, 1, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            grid.addWidget(caution, row * 2 + 1, 0, 1, 2)
        self._column.addWidget(self._body)
        self._none.setVisible(not conditions)

    def _save(self, condition: AccessCondition, on: bool) -> None:
        wanted = {key for key, tick in self.ticks.items() if tick.isChecked()}
        words = f"{'Tick' if on else 'Untick'} {condition.name}"
        self._desk.do(words, lambda edit: set_conditions(edit, self._job_id, wanted))


def _effect_words(effect: tuple[int, Decimal] | None) -> str:
    if effect is None:
        return "no task takes longer"
    count, factor = effect
    tasks = "1 task" if count == 1 else f"{count} tasks"
    return f"{tasks} up to {format_percent(factor)} of the usual time"
