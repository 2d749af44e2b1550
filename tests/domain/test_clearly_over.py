"""Ten percent beyond the quote is not marked yet, the next minute is."""

from __future__ import annotations

from domain.costing.over import clearly_over


def test_ten_percent_is_the_line() -> None:
    assert not clearly_over(110, 100)
    assert clearly_over(111, 100)
    assert clearly_over(1, 0)
    assert not clearly_over(0, 0)
