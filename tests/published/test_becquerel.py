"""1 pCi/L = 37 Bq/m3 exactly, for 1 Ci is 3.7e10 Bq by definition (computed: 3.7e10 x 1e-12 x 1000).

Printed beside it: EPA, "What is EPA's Action Level", a newer stored copy, read: 4 pCi/L as 150 Bq/m3, 2 as 75,
1.3 as 50, 0.4 as 15. Those are rounded; this program keeps the exact figure.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from domain.units import bq_to_pci, format_radon, parse_radon, pci_to_bq


@pytest.mark.parametrize(
    ("pci", "becquerels"), [("1", "37"), ("4", "148"), ("2", "74"), ("1.3", "48.1"), ("0.4", "14.8")]
)
def test_thirty_seven(pci: str, becquerels: str) -> None:
    assert pci_to_bq(Decimal(pci)) == Decimal(becquerels)
    assert bq_to_pci(Decimal(becquerels)) == Decimal(pci)
    assert parse_radon(f"{becquerels} Bq/m3") == Decimal(pci)


def test_the_definition() -> None:
    becquerels_per_curie, litres_per_cubic_metre = 37 * 10**9, 1000
    assert pci_to_bq(Decimal(10**12)) == becquerels_per_curie * litres_per_cubic_metre


@pytest.mark.parametrize(("becquerels", "pci"), [("100", "2.703"), ("300", "8.108")])
def test_reference_levels_in_picocuries(becquerels: str, pci: str) -> None:
    # 100 and 300 Bq/m3: WHO levels as given by ICRPaedia, read; picocuries computed
    assert bq_to_pci(Decimal(becquerels)) == Decimal(pci)


@pytest.mark.parametrize(("pci", "printed"), [("4", 150), ("2", 75), ("1.3", 50), ("0.4", 15)])
def test_the_printed_figures_are_the_exact_ones_rounded_to_five(pci: str, printed: int) -> None:
    exact = pci_to_bq(Decimal(pci))
    assert abs(exact - printed) <= Decimal("2.5")


def test_shown_to_the_whole_becquerel_not_as_printed() -> None:
    assert format_radon(Decimal(4), "Bq/m3") == "148 Bq/m³"
