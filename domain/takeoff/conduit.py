"""The fan's circuit: conduit, couplings, connectors, straps, boxes, disconnect and wire; a check whether it all fits.

Takeoff and price only. The work itself is for a licensed electrician wherever local rules ask for one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from domain.errors import NotUnderstood
from domain.takeoff.conduit_fill import CONDUITS, ConduitFill, conduit_fill
from domain.takeoff.cutting import CutList, cut_list
from domain.takeoff.lines import Need, counted
from domain.takeoff.pieces import sixteenths
from domain.takeoff.rules import ConduitRules, TakeoffRules
from domain.units.lengths import format_length
from domain.units.measured import measured
from domain.units.numbers import plain

CAUTION = "For a licensed electrician where local rules ask for one. Circuit off, checked dead, permit drawn."
LONGEST_FT = Decimal(1000)
ONE = Decimal(1)
PARTS_OF = {"pvc": "PVC conduit"}
"""What the couplings, connectors and straps of a conduit are called: PVC is cemented, metal is screwed or pressed."""
BELLED = frozenset({"pvc"})
"""Conduit whose sticks have a bell at one end, so that they join without a coupling: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Circuit:
    """A run of conduit from box to box: the feet of each section in order, so one box more than sections.

    ``gauges`` is one entry a wire, the ground counted. ``kind`` is emt or pvc, ``trade_size`` as ``1/2``.
    """

    label: str
    sections_ft: tuple[Decimal, ...]
    kind: str = "emt"
    trade_size: str = "1/2"
    gauges: tuple[str, ...] = ("12", "12", "12")
    disconnect: bool = True

    @property
    def boxes(self) -> int:
        """One at each end of each section."""
        return len(self.sections_ft) + 1


def straps(feet: Decimal, spacing_ft: Decimal, box_ft: Decimal) -> int:
    """Straps of a section between two boxes: one within ``box_ft`` of each, and none farther apart than ``spacing_ft``.

    A section of at most twice ``box_ft`` takes one, in reach of both boxes; any other two and what the spacing asks
    between them: ceil((feet - 2 x box) / spacing) + 1 (NEC 358.30 and 352.30, figures of the standards table).
    Raises NotUnderstood for a length or a spacing that cannot be.
    """
    section = measured(feet, "A section of conduit", most=LONGEST_FT)
    between = section - 2 * measured(box_ft, "The way from a box to its strap")
    if between <= 0:
        return 1
    spacing = measured(spacing_ft, "The spacing of straps", some=True)
    return int((between / spacing).to_integral_value(ROUND_CEILING)) + 1


def conduit_cuts(circuit: Circuit, rules: TakeoffRules, steps: int) -> CutList:
    """The sticks of conduit the sections are cut from. Raises NotUnderstood for a section of nothing."""
    for feet in circuit.sections_ft:
        if not 0 < measured(feet, f"{circuit.label}: a section") <= LONGEST_FT:
            raise NotUnderstood(f"{format_length(feet)} is no length of conduit. Check the section.", f"{feet}")
    stick = sixteenths(rules.conduit.stick_ft)
    lengths = [max(1, sixteenths(feet)) for feet in circuit.sections_ft]
    return cut_list(lengths, stick, sixteenths(rules.kerf_in / 12), (), steps)


def circuit_needs(circuit: Circuit, rules: TakeoffRules, steps: int) -> Iterator[Need]:
    """Everything a circuit takes. Raises NotUnderstood for a section or a size that cannot be."""
    if not circuit.sections_ft:
        return
    plan = conduit_cuts(circuit, rules, steps)
    part = PARTS_OF.get(circuit.kind, "Conduit")
    name, trade = CONDUITS.get(circuit.kind, circuit.kind), circuit.trade_size
    fill = circuit_fill(circuit, rules.conduit)
    feet = sum(circuit.sections_ft, Decimal(0))
    sections = counted(len(circuit.sections_ft), "section")
    stick_ft = rules.conduit.stick_ft

    def need(kind: str, words: str, number: Decimal | int, why: str) -> Need:
        reason = f"{circuit.label}: {why}"
        return Need(
            f"{kind}:{circuit.kind}:{trade}", "electrical", words, Decimal(number), "each", reason, ONE, CAUTION
        )

    sticks = f"{counted(plan.new_sticks, 'stick')} of {plain(stick_ft.normalize())} ft"
    why = f"{circuit.label}: {sticks} for {plain(feet)} ft in {sections}; {fill.words}"
    words = f"{name[0].upper()}{name[1:]}, {trade} in"
    key = f"conduit:{circuit.kind}:{trade}"
    yield Need(key, "electrical", words, plan.new_sticks * stick_ft, "ft", why, stick_ft, CAUTION, used=feet)
    if plan.joints and circuit.kind not in BELLED:
        why = f"{counted(plan.joints, 'place')} where sticks join"
        yield need("conduit_coupling", f"{part} coupling, {trade} in", plan.joints, why)
    connectors = 2 * len(circuit.sections_ft)
    yield need("conduit_connector", f"{part} connector, {trade} in", connectors, f"{connectors}, two for {sections}")
    number, why = _strap_words(circuit, rules.conduit)
    yield need("conduit_strap", f"{part} strap, {trade} in", number, why)
    why = f"{circuit.label}: {circuit.boxes}, one at each end of {sections}"
    yield Need("box", "electrical", "Box with cover", Decimal(circuit.boxes), "each", why, ONE, CAUTION)
    if circuit.disconnect:
        why = f"{circuit.label}: 1 in sight of the fan"
        yield Need("disconnect", "electrical", "Disconnect switch", ONE, "each", why, ONE, CAUTION)
    yield from _wire(circuit, feet, rules.conduit)


def circuit_fill(circuit: Circuit, rules: ConduitRules) -> ConduitFill:
    """Whether the wires of a circuit fit its conduit; a run no longer than a nipple is one."""
    nipple = bool(circuit.sections_ft) and max(circuit.sections_ft) * 12 <= rules.fill.nipple_in
    return conduit_fill(circuit.kind, circuit.trade_size, circuit.gauges, rules.fill, nipple)


def _strap_words(circuit: Circuit, rules: ConduitRules) -> tuple[int, str]:
    spacing, box = rules.strap_ft[circuit.kind], rules.box_strap_ft[circuit.kind]
    number = sum(straps(feet, spacing, box) for feet in circuit.sections_ft)
    return number, f"{number}, within {plain(box.normalize())} ft of each box and each {plain(spacing.normalize())} ft"


def _wire(circuit: Circuit, feet: Decimal, rules: ConduitRules) -> Iterator[Need]:
    slack = 2 * len(circuit.sections_ft) * rules.slack_in / 12
    for gauge in dict.fromkeys(circuit.gauges):
        number = circuit.gauges.count(gauge)
        why = (
            f"{circuit.label}: {counted(number, 'wire')} of {plain(feet)} ft in "
            f"{counted(len(circuit.sections_ft), 'section')} and "
            f"{plain(rules.slack_in.normalize())} in to spare at each end"
        )
        yield Need(
            f"wire:{gauge}", "electrical", f"Wire, {gauge} gauge, single conductor", number * (feet + slack), "ft", why,
            caution=CAUTION,
        )  # fmt: skip


def circuits_notes(circuits: Sequence[Circuit], rules: ConduitRules) -> Iterator[str]:
    """Conduits that are too full, in words."""
    for circuit in circuits:
        if circuit.sections_ft:
            fill = circuit_fill(circuit, rules)
            if not fill.fits:
                yield f"{circuit.label}: {fill.words}."
