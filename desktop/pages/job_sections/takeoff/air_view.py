"""What the route costs in air: fan and suction, found against proposed, what each elbow costs, readings, fans."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from db.commands.takeoff import set_air_plan
from desktop.pages.job_sections.quote.lines_table import LinesTable
from desktop.pages.job_sections.takeoff.editing import TakeoffEditing
from desktop.pages.job_sections.takeoff.fan_library import FanLibrary
from desktop.pages.job_sections.takeoff.readings_card import ReadingsCard
from desktop.sketch.on_screen import AirPlot
from desktop.widgets.cards import Card, button, label, scroll_page, segments, set_tone
from desktop.widgets.form import ChoiceField, Form, QuantityField
from desktop.widgets.half import half_entries_in
from desktop.widgets.table import Column, RowsModel
from domain.job_takeoff.air import AirCase, JobAir, elbows_of
from domain.job_takeoff.air_rows import air_figures, loss_rows

METHODS = [
    (("coefficients", True), "loss coefficients"),
    (("lengths", True), "published equivalent lengths, sharp elbows"),
    (("lengths", False), "published equivalent lengths, sweep elbows"),
]
BAND = "The bars at the foot show the band of the estimate: losses measured in practice scatter."
FOUND, PROPOSED = "found", "proposed"


class AirView(QWidget):
    """Fan, readings and fans at the left; what comes of them at the right."""

    def __init__(self, editing: TakeoffEditing) -> None:
        super().__init__()
        self.editing = editing
        self._air: JobAir | None = None
        self.form = Form()
        self.fan = self.form.add("Fan", ChoiceField(placeholder="Choose a fan"))
        self.present = self.form.add(
            "Fan there now", ChoiceField(placeholder="the same fan"), "where another one runs on the route as found"
        )
        self.suction = self.form.add(
            "Suction wanted", QuantityField("Pa", required=True), "at the suction point, while nothing was measured"
        )
        self.method = self.form.add("Fittings by", ChoiceField(METHODS, required=True))
        saver = editing.saver
        saver.bind(self.fan, "Choose the fan", lambda edit, v: self._plan(edit, fan_curve_id=v), self._record)
        saver.bind(
            self.present, "Say which fan is there now", lambda edit, v: self._plan(edit, present_fan_id=v), self._record
        )
        saver.bind(
            self.suction, "Say the suction wanted", lambda edit, v: self._plan(edit, suction_wanted=v), self._record
        )
        saver.bind(
            self.method, "Choose the method", lambda edit, v: self._plan(edit, method=v[0], sharp_elbows=v[1]),
            self._record,
        )
        self.library = FanLibrary(editing)
        self.readings = ReadingsCard(editing)
        self.sentence = label("", "strong", wrap=True)
        self.notes = label("", "body", "over", wrap=True)
        self.figures = _figures_table()
        self.plot = AirPlot()
        self.plot.setMinimumHeight(250)
        self.of_route = segments([(FOUND, "as found"), (PROPOSED, "proposed")], self._show_losses, "Route")
        self.losses = _losses_table()
        self._later = QTimer(self)  # typing comes first: the plot follows a moment later
        self._later.setSingleShot(True)
        self._later.setInterval(120)
        self._later.timeout.connect(self.show_results)
        editing.typed.connect(lambda: self._later.start() if self.isVisible() else None)
        editing.turned.connect(lambda: self.show_results() if self.isVisible() else None)
        self._arrange()

    def _arrange(self) -> None:
        plan = Card("Fan and suction")
        self.edit_fans = button("Fans…", self._toggle_library, "quiet", "fan", "Enter and change the points of fans")
        plan.add_action(self.edit_fans)
        plan.add(self.form)
        self.library.hide()
        self.result = Card("As found and proposed", "an estimate")
        for part in (self.sentence, self.notes, self.figures, self.plot, label(BAND, "small", "soft", wrap=True)):
            self.result.add(part)
        self.loss_card = Card("Where the pressure goes")
        self.loss_card.add_action(self.of_route)
        self.loss_card.add(self.losses)
        left, right = QVBoxLayout(), QVBoxLayout()
        for column, cards in ((left, (plan, self.library, self.readings)), (right, (self.result, self.loss_card))):
            column.setSpacing(10)
            for card in cards:
                column.addWidget(card)
            column.addStretch(1)
        inside = QWidget()
        line = QHBoxLayout(inside)
        line.setContentsMargins(0, 0, 8, 16)
        line.setSpacing(10)
        line.addLayout(left, 4)
        line.addLayout(right, 5)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))

    def _record(self) -> object:
        return ("air of job", self.editing.kept.job_id)

    # Showing.

    def show_air(self) -> None:
        """Show plan, readings and fans as they are kept, and what comes of them."""
        saver, kept = self.editing.saver, self.editing.kept
        chosen = kept.plan.fan_curve_id
        present = kept.plan.present_fan_id
        for field, own in ((self.fan, chosen), (self.present, present)):
            field.set_choices([(row.id, row.name) for row in kept.curves if not row.archived or row.id == own])
            saver.show(field, own)
        saver.show(self.suction, kept.plan.suction_wanted)
        saver.show(self.method, (kept.plan.method, kept.plan.sharp_elbows or kept.plan.method == "coefficients"))
        self.readings.show_readings()
        self.library.show_fans()
        if not kept.curves and self.library.isHidden():
            self.library.show()
        self.show_results()

    def show_results(self) -> None:
        """Reckon the air of the routes as they stand and show it."""
        if self.editing.facts is None:
            return
        air = self._air = self.editing.air()
        limits = self.editing.limits
        said = air.comparison.sentence if air.comparison is not None else ""
        if not said and air.cases:
            said = "With a route as found and a proposed one, the gain is said here in a sentence for the customer."
        self.sentence.setText(said)
        self.sentence.setVisible(bool(said))
        cases = ((air.found, "As found"), (air.proposed, "Proposed"))
        notes = [f"{word}: {note}" for case, word in cases if case is not None for note in case.notes]
        notes += air.notes
        notes += self.editing.fan_notes()
        self.notes.setText(air.problem or "\n".join(notes))
        self.notes.setVisible(bool(self.notes.text()))
        set_tone(self.notes, "soft" if air.problem else "over")
        shown = bool(air.cases)
        for part in (self.figures, self.plot, self.loss_card):
            part.setVisible(shown)
        if shown:
            self.figures.rows_model().set_rows(air_figures(air, limits))
            self.plot.set_air(air)
            self._show_losses(self.of_route.value())

    def _show_losses(self, which: Any) -> None:
        air = self._air
        if air is None or air.curve is None:
            return
        case: AirCase | None = air.found if which == FOUND else air.proposed
        if case is None:
            which = PROPOSED if which == FOUND else FOUND
            case = air.found if which == FOUND else air.proposed
        self.of_route.set_value(which)
        if case is not None:
            self.losses.rows_model().set_rows(loss_rows(case, elbows_of(case, air)))

    # Doing.

    def _plan(self, edit: Any, **values: Any) -> None:
        set_air_plan(edit, self.editing.kept.job_id, **values)

    def _toggle_library(self) -> None:
        shown = self.library.isHidden()
        self.library.setVisible(shown)
        if shown:
            if not half_entries_in(self.library):  # what was half typed there comes back as it was
                self.library.show_fan(self.editing.kept.plan.fan_curve_id)
            self.library.name.setFocus()


def _figures_table() -> LinesTable:
    columns = [
        Column("label", "", stretch=2), Column("found", "As found", "right"),
        Column("proposed", "Proposed", "right"),
    ]  # fmt: skip
    model = RowsModel(
        columns, row_id=lambda row: row.label,
        tone={"label": lambda _: "ink_soft", "found": lambda row: row.found_tone,
              "proposed": lambda row: row.proposed_tone},
    )  # fmt: skip
    return LinesTable(model, "Air as found and proposed", "label")


def _losses_table() -> LinesTable:
    columns = [
        Column("words", "Leg or fitting", stretch=2),
        Column("pa", "Loss", "right", width=72),
        Column("band", "Likely", "right", tooltip="Losses measured in practice scatter so far"),
        Column("share", "Share", "right", width=58),
        Column("costs", "Costs", "right", width=72, tooltip="More air if this elbow were straight pipe"),
    ]
    model = RowsModel(
        columns, row_id=lambda row: row.key,
        tone={"band": lambda _: "ink_soft", "costs": lambda _: "over"},
        tip={"words": lambda row: f"{row.words}; {row.speed} ft a minute"},
    )  # fmt: skip
    return LinesTable(model, "Where the pressure goes", "words")
