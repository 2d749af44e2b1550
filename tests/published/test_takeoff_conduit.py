"""Conduit fill: NEC Chapter 9, Table 1 (53, 31, 40%), Tables 4 and 5, Note 7; counts of Annex C for EMT.

Read second-hand in stored pages (Steel Tube Institute, a forum on Note 7, a page restating Annex C); the code itself
was not seen. EMT straps: 358.30, read in a trade journal's answer; PVC conduit: 352.30, read likewise.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from domain.errors import NotUnderstood
from domain.takeoff import Circuit, Wanted, take_off, takeoff_rules
from domain.takeoff.conduit import straps
from domain.takeoff.conduit_fill import allowed_percent, conduit_fill, most_wires

RULES = takeoff_rules(date(2026, 3, 2))
FILL = RULES.conduit.fill

ANNEX_C = {
    ("1/2", "14"): 12, ("3/4", "14"): 22, ("1", "14"): 35,
    ("1/2", "12"): 9, ("3/4", "12"): 16, ("1", "12"): 26,
    ("1/2", "10"): 5, ("3/4", "10"): 10, ("1", "10"): 16,
}  # fmt: skip


@pytest.mark.parametrize(("size", "gauge"), ANNEX_C)
def test_annex_c(size: str, gauge: str) -> None:
    assert most_wires("emt", size, gauge, FILL) == ANNEX_C[(size, gauge)]


def test_note_7_decides_two_of_them() -> None:
    # computed: 0.2132 / 0.0097 = 21.98 and 0.3456 / 0.0133 = 25.98; cut off they would be 21 and 25
    for size, gauge, rounded in (("3/4", "14", 22), ("1", "12", 26)):
        exact = FILL.conduit_in2[("emt", size)] * Decimal("0.40") / FILL.wire_in2[gauge]
        assert int(exact) == rounded - 1
        assert exact - int(exact) >= Decimal("0.8")
        assert most_wires("emt", size, gauge, FILL) == rounded
        assert conduit_fill("emt", size, [gauge] * rounded, FILL).fits
        assert not conduit_fill("emt", size, [gauge] * (rounded + 1), FILL).fits


def test_shares_by_number_of_wires() -> None:
    assert [allowed_percent(wires, FILL) for wires in (1, 2, 3, 9)] == [53, 31, 40, 40]
    assert allowed_percent(3, FILL, nipple=True) == 60


def test_the_usual_fan_circuit() -> None:
    # three 12 gauge wires in 1/2 in EMT: 0.0399 sq in of 0.304 is 13.1%
    fill = conduit_fill("emt", "1/2", ["12"] * 3, FILL)
    assert (fill.percent, fill.fits) == (Decimal("13.13"), True)


@pytest.mark.parametrize(
    ("feet", "number"),
    [("4", 1), ("6", 1), ("6.5", 2), ("16", 2), ("16.1", 3), ("26", 3)],
)
def test_straps_of_emt_by_358_30(feet: str, number: int) -> None:
    # by hand: one within 3 ft of each box, then every 10 ft; 26 ft: at 3, 13 and 23 ft
    assert straps(Decimal(feet), Decimal(10), Decimal(3)) == number


def test_straps_of_pvc_by_352_30() -> None:
    # by hand: within 3 ft of each box and every 3 ft; 15 ft: at 3, 6, 9 and 12 ft
    assert straps(Decimal(15), RULES.conduit.strap_ft["pvc"], RULES.conduit.box_strap_ft["pvc"]) == 4


def test_a_circuit_of_two_sections() -> None:
    found = take_off(Wanted(circuits=(Circuit("Fan", (Decimal(12), Decimal(5))),)), RULES)
    lines = {line.key: line.quantity for line in found.lines}
    assert lines == {
        "conduit:emt:1/2": 20,  # 12 ft is a stick and 2 ft; 2 ft and 5 ft come from one more
        "conduit_coupling:emt:1/2": 1,
        "conduit_connector:emt:1/2": 4,
        "conduit_strap:emt:1/2": 3,  # two and one
        "box": 3,
        "disconnect": 1,
        "wire:12": 59,  # 3 x (17 ft + 4 ends of 8 in)
    }
    assert all("licensed electrician" in line.caution for line in found.lines)


def test_pvc_conduit_joins_in_its_bells() -> None:
    found = take_off(Wanted(circuits=(Circuit("Fan", (Decimal(12),), kind="pvc"),)), RULES)
    assert found.line("conduit_coupling:pvc:1/2") is None


def test_a_conduit_too_full_is_said() -> None:
    found = take_off(Wanted(circuits=(Circuit("Fan", (Decimal(12),), gauges=("8",) * 4),)), RULES)
    assert found.notes == (
        "Fan: 4 wires fill 48.16% of 1/2 in metal conduit (EMT), 40% allowed: is too full: take the next size.",
    )


@pytest.mark.parametrize(
    ("circuit", "words"),
    [
        (Circuit("Fan", (Decimal(0),)), "no length of conduit"),
        (Circuit("Fan", (Decimal(5280),)), "no length of conduit"),
        (Circuit("Fan", (Decimal(5),), trade_size="5/8"), "Sizes are"),
        (Circuit("Fan", (Decimal(5),), gauges=("13",)), "13 gauge"),
        (Circuit("Fan", (Decimal(5),), gauges=()), "which wires"),
    ],
)
def test_what_cannot_be_is_refused_kindly(circuit: Circuit, words: str) -> None:
    with pytest.raises(NotUnderstood, match=words):
        take_off(Wanted(circuits=(circuit,)), RULES)
