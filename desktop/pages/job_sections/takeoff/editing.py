"""The takeoff on the screen: what is kept, the words being typed over it, and how a change is saved."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QObject, QTimer, Signal

from db.commands.takeoff import change_route
from db.edit import Edit
from desktop.desk import Desk
from desktop.pages.autosave import Autosave
from domain.airflow import AirLimits, FanCurve, air_limits
from domain.job_takeoff.air import JobAir, job_air
from domain.job_takeoff.curve_text import curve_of
from domain.job_takeoff.matching import Known
from domain.job_takeoff.reckoning import JobTakeoff, RouteSheet, TakeoffFacts, reckon, route_sheet, rules_of
from domain.job_takeoff.records import RouteRow
from domain.job_takeoff.sketch import fan_is_sold, main_routes
from domain.quoting.typed import item_label
from domain.routes.drawing import Drawing, draw_study
from domain.takeoff import QUICK, THOROUGH, TakeoffRules

SAVE_AFTER_MS = 2500
"""Words are saved when they are left, and after so long a pause."""


class TakeoffEditing(QObject):
    """Shared by the views of the takeoff section.

    Signals:
        shown: what is kept was read again; everything is to be shown.
        typed: the words of the current route changed; list, drawing and table follow.
        turned: another route is the current one.
        moved: another part of the current route is the chosen one.
    """

    shown = Signal()
    typed = Signal()
    turned = Signal()
    moved = Signal()

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.saver = Autosave(desk)
        self.facts: TakeoffFacts | None = None
        self.route_id = 0
        self.chosen: tuple[int, int] | None = None
        self._rules: TakeoffRules | None = None
        self._sheets: dict[int, tuple[RouteRow, RouteSheet]] = {}  # with the row they were made from
        self._typed: tuple[int, str] | None = None  # route, words
        self._counted: JobTakeoff | None = None
        self._known: Known = {}
        self._drawn: tuple[RouteSheet, Drawing] | None = None
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(SAVE_AFTER_MS)
        self._pause.timeout.connect(self.save_words)

    # What is shown.

    def show(self, facts: TakeoffFacts) -> None:
        """Take what was read; words still being typed stay on top of it."""
        before, self.facts = self.facts, facts
        if before is None or _rule_facts(before) != _rule_facts(facts):
            self._rules = rules_of(facts)
            self._sheets = {}
        if before is not None and before.job_id != facts.job_id:
            self._typed, self.route_id, self.chosen = None, 0, None
        if self._typed is not None and facts.route(self._typed[0]) is None:
            self._typed = None
        if facts.route(self.route_id) is None:
            built = [row for row in facts.routes if row.status == "proposed" and row.built]
            self.route_id = (built or list(facts.routes))[0].id if facts.routes else 0
        self._known = {}
        self._count(THOROUGH)
        self.shown.emit()

    @property
    def kept(self) -> TakeoffFacts:
        """What is stored."""
        assert self.facts is not None
        return self.facts

    @property
    def rules(self) -> TakeoffRules:
        """The rules of the day."""
        assert self._rules is not None
        return self._rules

    @property
    def sheets(self) -> list[RouteSheet]:
        """Every route, the one being typed as it stands now."""
        return [self._sheet(row.id) for row in self.kept.routes]

    @property
    def sheet(self) -> RouteSheet | None:
        """The current route; None where there is none."""
        if self.facts is None or self.facts.route(self.route_id) is None:
            return None
        return self._sheet(self.route_id)

    @property
    def counted(self) -> JobTakeoff:
        """The list as it stands now."""
        assert self._counted is not None
        return self._counted

    def drawing(self) -> Drawing | None:
        """The side drawing of the current route."""
        sheet = self.sheet
        if sheet is None:
            return None
        if self._drawn is None or self._drawn[0] is not sheet:
            self._drawn = (sheet, draw_study(sheet.study, self.kept.length_unit))
        return self._drawn[1]

    def air(self) -> JobAir:
        """The air of the current proposed route, or else of the one that is built, against the one found."""
        found, proposed = main_routes(self.sheets)
        sheet = self.sheet
        if sheet is not None and not sheet.is_empty:
            if sheet.row.status == "found":
                found = sheet.study.route
            else:
                proposed = sheet.study.route
        plan = self.kept.plan
        fan, present = self._curve(plan.fan_curve_id), self._curve(plan.present_fan_id)
        return job_air(found, proposed, fan, plan, self.kept.readings, self.limits, present, rules=self.rules.route)

    def fan_notes(self) -> list[str]:
        """That the fan reckoned with is not the one in the quote, so that its paper stays silent."""
        kept = self.kept
        fans = {row.id: row for row in kept.curves}
        fan = fans.get(kept.plan.fan_curve_id or 0)
        if fan is None or not kept.fans_sold:
            return []
        if fan_is_sold(fan, fans.get(kept.plan.present_fan_id or 0), kept.fans_sold):
            return []
        priced = [one for one in kept.picks.items if one.item.id in kept.fans_sold]
        sold = " and ".join(item_label(one) for one in priced) or "another fan"
        return [
            f"The air is reckoned with “{fan.name}”, the quote sells {sold}: the proposal "
            "says nothing of the air. Choose the fan that is sold, or say in the fan library as which item this one is "
            "bought."
        ]

    def _curve(self, curve_id: int | None) -> FanCurve | None:
        rows = [row for row in self.kept.curves if row.id == curve_id]
        return curve_of(rows[0]) if rows else None

    @property
    def limits(self) -> AirLimits:
        """How fast the air may go, on the day."""
        return air_limits(self.kept.day, self.kept.own)

    def _sheet(self, route_id: int) -> RouteSheet:
        row = self.kept.route(route_id)
        assert row is not None
        if self._typed is not None and self._typed[0] == route_id:
            row = replace(row, words=self._typed[1])
        made = self._sheets.get(route_id)
        if made is None or made[0] != row:
            made = self._sheets[route_id] = (row, route_sheet(row, self.rules))
        return made[1]

    def _count(self, steps: int) -> None:
        self._counted = reckon(self.kept, self.sheets, self.rules, steps, self._known)

    # Typing.

    def type_words(self, words: str) -> None:
        """The words of the current route as they stand in the field."""
        sheet = self.sheet
        if sheet is None or words == sheet.row.words:
            return
        self._typed = (self.route_id, words)
        self._count(QUICK)
        self._pause.start()
        self.typed.emit()

    def replace_words(self, words: str, label: str) -> str:
        """Words that come from the table or a key are saved at once; why not, "" when they were."""
        self._typed = (self.route_id, words)
        return self._save_words(label)

    def save_words(self) -> None:
        """Save what is being typed, where it differs."""
        sheet = self.sheet
        self._save_words(f"Change the route “{sheet.title}”" if sheet is not None else "Change a route")

    def _save_words(self, label: str) -> str:
        self._pause.stop()
        if self._typed is None or self.facts is None:
            return ""
        route_id, words = self._typed
        row = self.kept.route(route_id)
        if row is None or row.words == words:
            self._typed = None
            return ""
        problem = self.saver.refusal(label, lambda edit: change_route(edit, route_id, words=words))
        if not problem:
            self._typed = None
        return problem

    # Choosing.

    def turn_to(self, route_id: int) -> None:
        """Make another route the current one."""
        if route_id == self.route_id:
            return
        self.save_words()
        self.route_id, self.chosen = route_id, None
        self.turned.emit()

    def choose_part(self, part: tuple[int, int] | None) -> None:
        """The part the cursor is in, whichever view it is in."""
        if part != self.chosen:
            self.chosen = part
            self.moved.emit()

    # Saving.

    def save(self, label: str, work: Callable[[Edit], object], *, say: str = "", undo: bool = False) -> str:
        """Run one action; why it was refused, "" when it was saved."""
        return self.saver.refusal(label, work, say=say, undo=undo)


def _rule_facts(facts: TakeoffFacts) -> object:
    """What the rules depend on."""
    return facts.day, dict(facts.choices), facts.own
