"""Inside diameters of Schedule 40 pipe.

ASTM D1785, table of dimensions, read in stored copies: outside diameter 1.900, 2.375, 3.500, 4.500, 6.625 in, least
wall 0.145, 0.154, 0.216, 0.237, 0.280 in. Average inside diameters 3.042 and 3.998 in: a page on measuring drain
pipe, second-hand. The ``fluids`` library keeps the same pipe in millimetres,
rounded to a tenth or so: 0.002 in.
"""

from __future__ import annotations

from decimal import Decimal

import fluids.piping
import pytest

from domain.airflow import inside_diameter_in, pipe_loss
from domain.airflow.bores import SCHEDULE_40
from domain.errors import NotUnderstood
from domain.routes.route import PIPE_SIZES

PRINTED = {"1.5": (1.900, 0.145), "2": (2.375, 0.154), "3": (3.500, 0.216), "4": (4.500, 0.237), "6": (6.625, 0.280)}


@pytest.mark.parametrize("size", PRINTED)
def test_outside_less_two_least_walls(size: str) -> None:
    outside, wall = PRINTED[size]
    assert inside_diameter_in(Decimal(size)) == pytest.approx(outside - 2 * wall, abs=1e-9)


@pytest.mark.parametrize("size", PRINTED)
def test_another_library_has_the_same_pipe(size: str) -> None:
    _, bore, outside, _ = fluids.piping.nearest_pipe(NPS=float(size), schedule="40")
    assert inside_diameter_in(Decimal(size)) == pytest.approx(bore / 0.0254, abs=0.002)
    assert SCHEDULE_40[Decimal(size)].outside_in == pytest.approx(outside / 0.0254, abs=0.002)


@pytest.mark.parametrize(("size", "average"), [(3, 3.042), (4, 3.998)])
def test_the_average_pipe_is_a_little_narrower(size: int, average: float) -> None:
    assert inside_diameter_in(size, "average") == pytest.approx(average, abs=1e-9)
    more = pipe_loss(60, average, 100) / pipe_loss(60, inside_diameter_in(size), 100)
    assert 1.03 < more < 1.05


def test_every_size_that_can_be_typed_has_a_bore() -> None:
    assert set(SCHEDULE_40) == set(PIPE_SIZES)


def test_another_size_is_refused_with_those_that_are_known() -> None:
    with pytest.raises(NotUnderstood, match=r"No 5 in pipe is known\. Choose 1\.5, 2, 3, 4, 6 in\."):
        inside_diameter_in(5)
