"""Friction in a straight pipe, against three outside sources.

Colebrook's equation in Darcy form and the example of Swamee and Jain's formula (Reynolds number 60,000, roughness over
diameter 0.0023: 0.027): the reference pages of an R package of environmental engineering, read. The ``fluids``
library: its own solutions of Colebrook and Haaland, over the whole range. Table of losses in 100 ft of Schedule 40
pipe: computed apart from this program with that library, not published.
"""

from __future__ import annotations

from math import log10, sqrt

import fluids.friction
import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.airflow import friction_factor, inwc_from_pa, pipe_loss, reynolds, velocity_fpm
from domain.airflow.pipe import AIR_DENSITY, AIR_VISCOSITY, PIPE_ROUGHNESS_M, haaland

turbulent = st.floats(2400, 1e8)
roughnesses = st.one_of(st.just(0.0), st.floats(1e-8, 0.05))


def test_the_published_example() -> None:
    assert friction_factor(60_000, 0.0023) == pytest.approx(0.027, abs=0.0005)


@given(turbulent, roughnesses)
def test_colebrook_as_another_library_solves_it(number: float, roughness: float) -> None:
    assert friction_factor(number, roughness) == pytest.approx(fluids.friction.Colebrook(number, roughness), rel=1e-9)


@given(turbulent, roughnesses)
def test_the_factor_satisfies_the_equation_as_printed(number: float, roughness: float) -> None:
    factor = friction_factor(number, roughness)
    right = -2 * log10(roughness / 3.7 + 2.51 / (number * sqrt(factor)))
    assert 1 / sqrt(factor) == pytest.approx(right, rel=1e-12)


@given(st.floats(4000, 1e8), roughnesses)
def test_haalands_start_is_as_another_library_has_it(number: float, roughness: float) -> None:
    assert haaland(number, roughness) == pytest.approx(fluids.friction.Haaland(number, roughness), rel=1e-9)


@given(st.floats(1e-3, 2299.9), roughnesses)
def test_laminar_flow_knows_no_roughness(number: float, roughness: float) -> None:
    assert friction_factor(number, roughness) == pytest.approx(fluids.friction.friction_laminar(number), rel=1e-12)


@given(st.floats(2300, 2400), roughnesses)
def test_between_the_two_it_climbs_without_a_step(number: float, roughness: float) -> None:
    laminar, full = 64 / 2300, fluids.friction.Colebrook(2400, roughness)
    assert friction_factor(number, roughness) == pytest.approx(laminar + (number - 2300) / 100 * (full - laminar))


REFERENCE = (
    # bore in, cfm, fpm, Reynolds number, Colebrook, Pa in 100 ft, inWC in 100 ft
    (2.067, 20, 858.3, 15102, 0.02781, 184.78, 0.7418),
    (3.068, 20, 389.6, 10174, 0.03077, 28.38, 0.1139),
    (3.068, 40, 779.2, 20349, 0.02582, 95.23, 0.3823),
    (3.068, 60, 1168.7, 30523, 0.02344, 194.56, 0.7811),
    (4.026, 40, 452.5, 15507, 0.02760, 26.17, 0.1050),
    (4.026, 60, 678.7, 23260, 0.02498, 53.29, 0.2139),
    (4.026, 100, 1131.2, 38767, 0.02217, 131.38, 0.5274),
    (6.065, 200, 996.9, 51467, 0.02079, 63.52, 0.2550),
)


@pytest.mark.parametrize(("bore", "cfm", "fpm", "number", "factor", "pa", "inwc"), REFERENCE)
def test_losses_in_a_hundred_feet(
    bore: float, cfm: float, fpm: float, number: float, factor: float, pa: float, inwc: float
) -> None:
    assert velocity_fpm(cfm, bore) == pytest.approx(fpm, abs=0.06)
    assert reynolds(cfm, bore) == pytest.approx(number, abs=1)
    assert friction_factor(reynolds(cfm, bore), PIPE_ROUGHNESS_M / (bore * 0.0254)) == pytest.approx(factor, abs=6e-6)
    assert pipe_loss(cfm, bore, 100) == pytest.approx(pa, abs=0.006)
    assert inwc_from_pa(pipe_loss(cfm, bore, 100)) == pytest.approx(inwc, abs=6e-5)


@given(st.floats(0.5, 500), st.floats(1.5, 8), st.floats(0.1, 500))
def test_the_whole_loss_as_another_library_has_it(cfm: float, bore: float, feet: float) -> None:
    metres = bore * 0.0254
    number = reynolds(cfm, bore)
    expected = fluids.one_phase_dP(
        cfm * 0.3048**3 / 60 * AIR_DENSITY, AIR_DENSITY, AIR_VISCOSITY, metres, PIPE_ROUGHNESS_M, feet * 0.3048
    )
    if 2040 <= number <= 2400:  # there the library already has turbulent flow
        assert pipe_loss(cfm, bore, feet) <= expected * (1 + 1e-9)
    else:
        assert pipe_loss(cfm, bore, feet) == pytest.approx(expected, rel=1e-6)
