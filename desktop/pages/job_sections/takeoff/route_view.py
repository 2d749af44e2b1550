"""One route: its words with help beside them, what is wrong, the side drawing, the parts, and the list growing."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.pages.job_sections.takeoff.parts_table import PartsTable
from desktop.pages.job_sections.takeoff.quantities import QuantitiesTable
from desktop.pages.job_sections.takeoff.route_tabs import RouteTabs
from desktop.pages.job_sections.takeoff.words_field import WordsField
from desktop.pages.job_sections.takeoff.words_help import WordsHelp
from desktop.sketch.on_screen import RouteSketch
from desktop.widgets.cards import label, panes, set_tone
from domain.job_takeoff.reckoning import RouteSheet
from domain.money import format_money
from domain.units import format_minutes

MOST_PROBLEMS = 3
DRAW_AFTER_MS = 20
"""So long behind a keystroke the drawing follows; too short to be seen, long enough not to slow fast typing."""


class RouteView(QWidget):
    """The workplace of a route."""

    def __init__(self, editing: TakeoffEditing) -> None:
        super().__init__()
        self.editing = editing
        self.tabs = RouteTabs(editing)
        self.words = WordsField()
        self.help = WordsHelp()
        self.problems = label("", "small", "soft", wrap=True)
        self.problems.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
        self.problems.setAccessibleName("What to put right or to look at")
        self.sketch = RouteSketch()
        self.parts = PartsTable(editing)
        self.quantities = QuantitiesTable(editing)
        self.sum = label("", "strong")
        self._draw_later = QTimer(self)  # words and quantities first, the drawing a moment behind them
        self._draw_later.setSingleShot(True)
        self._draw_later.setInterval(DRAW_AFTER_MS)
        self._draw_later.timeout.connect(self._show_drawing)
        self._arrange()
        self.words.typed.connect(editing.type_words)
        self.words.left.connect(editing.save_words)
        self.words.part_chosen.connect(editing.choose_part)
        self.sketch.part_chosen.connect(lambda run, part: editing.choose_part((run, part)))
        editing.typed.connect(self._show_typed)
        editing.moved.connect(self._show_chosen)
        editing.turned.connect(lambda: self.show_route(fresh=True))

    def _arrange(self) -> None:
        typing = panes(self.words, self.help, shares=(5, 3))
        upper = QWidget()
        column = QVBoxLayout(upper)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(typing, 1)
        column.addWidget(self.problems)
        left = panes(upper, self.sketch, (2, 3), Qt.Orientation.Vertical)
        listed = QWidget()
        column = QVBoxLayout(listed)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.quantities, 1)
        column.addWidget(self.sum, 0, Qt.AlignmentFlag.AlignRight)
        right = panes(self.parts, listed, (3, 3), Qt.Orientation.Vertical)
        both = panes(left, right, shares=(1, 1))
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.setSpacing(6)
        outer.addWidget(self.tabs)
        self.tabs.begun.connect(self.words.setFocus)
        outer.addWidget(both, 1)

    # Showing.

    def show_route(self, fresh: bool) -> None:
        """Everything of the current route; ``fresh``: another route than before."""
        self.tabs.show_routes()
        self.words.show_sheet(self.editing.sheet, fresh)
        self.words.setEnabled(self.editing.sheet is not None)
        self._show_typed()
        self._show_drawing()

    def _show_typed(self) -> None:
        sheet = self.editing.sheet
        self.words.mark(sheet)
        self._show_problems(sheet)
        self.parts.show_parts()
        self.quantities.show_quantities()
        self._show_sum()
        self._draw_later.start()

    def _show_chosen(self) -> None:
        chosen = self.editing.chosen
        if chosen is not None:
            self.words.go_to(chosen)
        self.parts.show_chosen()
        self._show_drawing()

    def _show_drawing(self) -> None:
        self._draw_later.stop()
        drawing = self.editing.drawing()
        self.sketch.setVisible(drawing is not None)
        if drawing is not None:
            self.sketch.set_drawing(drawing, self.editing.chosen)

    def _show_problems(self, sheet: RouteSheet | None) -> None:
        stops, looks = problem_words(sheet)
        shown = [*stops, *looks][:MOST_PROBLEMS]
        more = len(stops) + len(looks) - len(shown)
        lines = [*shown, f"… and {more} more, marked in the drawing"] if more else shown
        self.problems.setText("\n".join(lines))
        set_tone(self.problems, "error" if stops else "over" if looks else "soft")
        self.problems.setVisible(bool(lines))
        self.sketch.describe(". ".join((*stops, *looks)) or "Nothing to put right")

    def _show_sum(self) -> None:
        counted = self.editing.counted
        missing = len(counted.open_lines)
        words = f"{format_money(counted.cost_cents)} of material, {format_minutes(counted.minutes)} of work"
        self.sum.setText(f"{words}; {missing} without a price" if missing else words)


def problem_words(sheet: RouteSheet | None) -> tuple[list[str], list[str]]:
    """What has to be put right, and what is only to be looked at, each with the word it is about."""
    if sheet is None:
        return [], []
    words = sheet.row.words
    stops = [f"✗ {mistake.message}" for mistake in sheet.reading.mistakes]
    looks = []
    for problem in sheet.study.problems:
        if sheet.is_empty and problem.part is None and not words.strip():
            continue
        place = None
        if problem.run is not None and problem.part is not None:
            place = sheet.reading.place_of(problem.run, problem.part)
        at = f"{words[place.start : place.end]}: " if place is not None else ""
        line = f"{at}{problem.message}"
        if problem.severity == "stop":
            stops.append(f"✗ {line}")
        else:
            looks.append(f"! {line}")
    return stops, looks
