"""Standard-cost variances: the quote is the standard, favourable is positive.

Sources and what was seen of them:

- "Principles of Accounting, Volume 2: Managerial Accounting", OpenStax, chapter 8, key terms,
  https://openstax.org/books/principles-managerial-accounting/pages/8-key-terms: the definitions were read, i.e.
  direct labour time variance = (standard hours - actual hours) x standard rate, direct labour rate variance =
  (standard rate - actual rate) x actual hours, and their sum is the total labour variance. The worked examples of
  sections 8.2 and 8.3 were not readable in the copy at hand and are not used.
- An exercise on 4,220 actual and 4,160 standard hours, seen only as a secondary copy, answered at
  answer.ya.guru/questions/493999.
- The two small cases at the end are computed by hand from the definitions; they have no other source.
"""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from domain.costing import JobFigures, LoggedLabour, Material, QuotedLabour, SoldQuote, VarianceTree, variance_tree
from domain.money import labour_cents, line_cents


def labour(quoted_minutes: int, quoted_rate: int, actual_minutes: int, actual_rate: int) -> VarianceTree:
    line = QuotedLabour(1, "Assembly", "work", quoted_minutes, labour_cents(quoted_minutes, quoted_rate))
    entry = LoggedLabour(1, "Assembly", "work", actual_minutes, labour_cents(actual_minutes, actual_rate), 0)
    return variance_tree(JobFigures(SoldQuote(0, labour=(line,)), labour=(entry,)))


def material(quoted: str, quoted_cost: str, used: str, paid: str) -> VarianceTree:
    amount, taken = Decimal(quoted), Decimal(used)
    line = Material(1, "Pipe", "ft", amount, line_cents(amount, Decimal(quoted_cost)))
    use = Material(1, "Pipe", "ft", taken, line_cents(taken, Decimal(paid)))
    return variance_tree(JobFigures(SoldQuote(0, materials=(line,)), materials=(use,)))


# Whole hours and whole-cent rates: nothing is rounded, so the key terms' formulas hold to the cent.
@given(st.integers(1, 5000), st.integers(0, 20_000), st.integers(0, 5000), st.integers(0, 20_000))
def test_the_definitions_of_the_textbook_s_key_terms(
    standard_hours: int, standard_rate: int, actual_hours: int, actual_rate: int
) -> None:
    row = labour(standard_hours * 60, standard_rate, actual_hours * 60, actual_rate).tasks[0]
    assert row.efficiency_cents == (standard_hours - actual_hours) * standard_rate
    assert row.rate_cents == (standard_rate - actual_rate) * actual_hours
    assert row.cents == row.efficiency_cents + row.rate_cents


# Secondary copy of a textbook exercise, see above.
def test_four_thousand_hours_of_assembly() -> None:
    row = labour(4160 * 60, 4600, 4220 * 60, 4450).tasks[0]
    assert row.efficiency_cents == -276_000  # 2,760 unfavourable
    assert row.rate_cents == 633_000  # 6,330 favourable
    assert row.cents == 357_000  # 3,570 favourable


# Computed by hand: 390 min at 48.00 is 312.00; 564 min at 48.00 is 451.20, at 49.50 is 465.30.
def test_nine_hours_twenty_four_on_a_quote_of_six_and_a_half() -> None:
    row = labour(390, 4800, 564, 4950).tasks[0]
    assert (row.efficiency_cents, row.rate_cents, row.cents) == (-13_920, -1_410, -15_330)


# Computed by hand: 62 x 2.10 is 130.20; 70 x 2.10 is 147.00, 70 x 2.25 is 157.50.
def test_seventy_feet_of_pipe_on_a_quote_of_sixty_two() -> None:
    row = material("62", "2.10", "70", "2.25").items[0]
    assert (row.usage_cents, row.price_cents, row.cents) == (-1_680, -1_050, -2_730)
