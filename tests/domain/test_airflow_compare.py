"""As found against proposed, and the sentence that says what the change buys."""

from __future__ import annotations

import pytest

from domain.airflow import FanCurve, SiteReading, changes, compare, operating_point
from domain.airflow.compare import EACH_POINT_ALIKE
from domain.airflow.compare_words import ONLY_THE_TEST
from domain.routes.reading import parse_route
from tests.domain.test_airflow_losses import FOUND, TWO_POINTS

FAN = FanCurve([(0, 2.0), (40, 1.7), (80, 1.1), (120, 0.3), (140, 0)])
STRONGER = FanCurve([(0, 4.0), (100, 2.5), (200, 0)])
TWO_45S = parse_route("""proposed: New
A: pit at -7', basement 3in up 6'6", 45, along 12', along 10', 45, along 3', outside flex to 4in, fan, flex to 3in,
   up 16', out""")
WIDE = parse_route("proposed: Wide\nA: pit at -7', basement 4in up 6'6\", 90, along 12', 90, outside fan, up 16', out")


def test_four_90s_for_two_45s() -> None:
    compared = compare(FOUND, TWO_45S, FAN, 125)
    before, after = operating_point(FAN, FOUND, 125), operating_point(FAN, TWO_45S, 125)
    assert compared.found == before
    assert compared.proposed == after
    assert compared.gain_cfm == pytest.approx(after.flow_cfm - before.flow_cfm)
    assert 0 < compared.low_gain_cfm < compared.gain_cfm < compared.high_gain_cfm
    assert compared.sentence == (
        "With the same kind of fan as now and the suction wanted, four 90° elbows replaced by two 45° elbows could let "
        "up to about "
        f"{after.flow_cfm:.0f} cfm of air through instead of about {before.flow_cfm:.0f} (an estimate: "
        f"{compared.low_gain_cfm:.1f} to {compared.high_gain_cfm:.1f} cfm more, the less the harder the ground gives "
        f"its air, which nobody has measured). {ONLY_THE_TEST}"
    )


def test_the_other_way_round_is_said_to_be_worse() -> None:
    sentence = compare(TWO_45S, FOUND, FAN, 125).sentence
    assert "two 45° elbows replaced by four 90° elbows should let only about" in sentence
    assert "cfm less" in sentence


def test_nothing_changed_promises_nothing() -> None:
    same = compare(FOUND, FOUND, FAN, 125)
    assert "the proposed route should make no difference you could measure" in same.sentence
    assert (same.gain_cfm, same.low_gain_cfm, same.high_gain_cfm) == (0, 0, 0)


def test_another_fan_is_called_new() -> None:
    compared = compare(FOUND, TWO_45S, FAN, 125, proposed_curve=STRONGER)
    assert compared.sentence.startswith("The new fan alone")
    assert compared.by_fan is not None
    assert compared.by_pipe is not None
    assert compared.by_fan.cfm + compared.by_pipe.cfm == pytest.approx(compared.gain_cfm)
    alone = operating_point(STRONGER, FOUND, 125).flow_cfm - operating_point(FAN, FOUND, 125).flow_cfm
    assert compared.by_fan.cfm == pytest.approx(alone)
    assert compared.proposed == operating_point(STRONGER, TWO_45S, 125)
    assert compare(FOUND, TWO_45S, FAN, 125, proposed_curve=FAN).sentence.startswith("With the same kind of fan as now")


def test_a_suction_out_of_reach_is_said_plainly() -> None:
    assert "cannot be reached on the proposed route" in compare(FOUND, TWO_45S, FAN, 800).sentence
    before = compare(FOUND, TWO_45S, FAN, 700, proposed_curve=STRONGER).sentence
    assert "where none passed before" in before


def test_beyond_the_sheet_nothing_is_claimed() -> None:
    short = FanCurve([(0, 4.0), (30, 3.5)])
    assert "cannot be compared" in compare(FOUND, TWO_45S, short, 50).sentence
    near_end = operating_point(FAN, FOUND, 125).flow_cfm + 1
    cut = FanCurve([*zip(FAN.flows[:2], FAN.pressures[:2], strict=True), (near_end, FAN.pressure_pa(near_end))], "Pa")
    assert "should let at least" in compare(FOUND, TWO_45S, cut, 125).sentence


def test_what_was_measured_takes_the_place_of_the_estimate() -> None:
    reading = SiteReading(47, 150)
    compared = compare(FOUND, TWO_45S, FAN, 125, found_reading=reading)
    assert compared.found.measured
    assert compared.found.flow_cfm == 47
    assert "instead of the 47 measured" in compared.sentence
    assert "same suction" not in compared.sentence
    assert f"about {compared.proposed.below_pa / 249.08891:.2f} inches of water, after 0.60" in compared.sentence
    # the ground as it was measured: at the flow that was measured it asks for the suction that was measured
    again = operating_point(FAN, TWO_45S, 125, site=None)
    assert compared.proposed != again
    ratio = compared.proposed.below_pa / 150
    assert ratio == pytest.approx((compared.proposed.flow_cfm / 47) ** 1.5)


def test_more_suction_points_than_were_measured_is_a_stated_guess() -> None:
    compared = compare(FOUND, TWO_POINTS, FAN, 125, found_reading=SiteReading(47, 150))
    assert compared.sentence.endswith(EACH_POINT_ALIKE)
    assert EACH_POINT_ALIKE not in compare(FOUND, TWO_45S, FAN, 125, found_reading=SiteReading(47, 150)).sentence


def test_what_changed_in_words() -> None:
    assert changes(FOUND, TWO_45S) == "four 90° elbows replaced by two 45° elbows"
    assert changes(FOUND, WIDE) == "two 90° elbows taken out, 4 in instead of 3 in pipe and 13 ft less pipe"
    assert changes(WIDE, FOUND) == "two 90° elbows more, 3 in instead of 4 in pipe and 13 ft more pipe"
    assert (
        changes(FOUND, TWO_POINTS)
        == "two 90° elbows taken out and two suction points instead of one, less what 24 ft more pipe costs,"
    )
    assert changes(FOUND, FOUND) == "the proposed route"


def test_the_level_is_never_promised() -> None:
    for proposed in (TWO_45S, WIDE, TWO_POINTS, FOUND):
        sentence = compare(FOUND, proposed, FAN, 125).sentence
        assert ONLY_THE_TEST in sentence
        assert "estimate" in sentence
        assert "pCi" not in sentence
