"""Sales tax on invoices, and how old open amounts are.

Tax: Rhode Island General Laws 44-18.1-25, "Uniform rule for tax rounding",
webserver.rilegislature.gov/Statutes/TITLE44/44-18.1/44-18.1-25.HTM; seen: carry to the third decimal, up to the next
cent when it is greater than four, on the item or on the invoice as the seller chooses. Ours is the invoice.

Treatments: Texas Administrative Code, title 34, 3.291 (a)(1) and (b)(3)(A), texreg.sos.state.tx.us; seen: under a
lump-sum contract the contractor pays the tax on purchases and must not charge it to the customer; under a separated
contract tax is collected on the materials, markup on them included. The amounts below are computed from the rules.

Aging by current, 1-30, 31-60, 61-90 and over 90 days past the due day: common practice, no source.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import ROUND_DOWN, Decimal

import pytest

from domain.billing.aging import aging
from domain.billing.contract import contract_of
from domain.billing.drafting import NewLine, amounts_of, final_lines, progress_line
from domain.billing.invoiced import Invoiced
from domain.billing.matching import OpenInvoice
from domain.quoting.lines import QuoteDocument
from tests.domain.test_quote_price import plain_job

ACCEPTED = date(2026, 3, 9)


def agreed(treatment: str, percent: str) -> QuoteDocument:
    return plain_job(
        tax_treatment=treatment, tax_percent=Decimal(percent), sent_on=ACCEPTED, accepted_on=ACCEPTED,
        price_cents=66_667,
    )  # fmt: skip


@pytest.mark.parametrize("net", [107, 1_249, 1_250, 33_333, 66_667])
def test_an_invoice_carries_its_tax_to_the_third_decimal_once(net: int) -> None:
    percent = Decimal("8.875")
    lines = [NewLine("extra", "", cents, cents) for cents in (net, net, net)]
    tax = amounts_of("other", lines, "separated", percent).tax_cents
    carried = (Decimal(3 * net) / 100 * percent / 100).quantize(Decimal("0.001"), ROUND_DOWN)
    assert tax == int(carried * 100) + (int(carried * 1000) % 10 > 4)


def test_a_lump_sum_invoice_charges_no_tax_and_a_separated_one_taxes_the_materials() -> None:
    for treatment, taxable, tax in (("lump_sum", 0, 0), ("none", 0, 0), ("separated", 33_334, 2_000)):
        contract = contract_of([agreed(treatment, "6")])
        assert contract is not None
        lines, nothing = final_lines(contract, Invoiced(())), Invoiced(())
        amounts = amounts_of("final", lines, treatment, Decimal(6), contract, nothing)
        assert (amounts.net_cents, amounts.taxable_cents, amounts.tax_cents) == (66_667, taxable, tax)


def test_a_progress_invoice_bears_the_tax_of_its_share_of_the_materials() -> None:
    contract = contract_of([agreed("separated", "6")])
    assert contract is not None
    line = progress_line(contract, 20_000)  # 30% of the price: 30% of 333.34 is 100.00, of which 6% is 6.00
    assert amounts_of("progress", [line], "separated", Decimal(6)).tax_cents == 600


def test_open_amounts_stand_in_the_column_of_their_age() -> None:
    day = date(2026, 6, 30)
    ages = {0: 10_000, 15: 20_000, 45: 30_000, 75: 40_000, 120: 50_000, -10: 5_000}
    invoices = [
        OpenInvoice(place, "final", "", 1, None, day, day - timedelta(days=age), "", cents, cents)
        for place, (age, cents) in enumerate(ages.items())
    ]
    made = aging(day, invoices, {1: 7_000}, {1: "Wren"})
    assert made.rows[0].buckets == (15_000, 20_000, 30_000, 40_000, 50_000)
    assert (made.open_cents, made.overdue_cents, made.balance_cents) == (155_000, 140_000, 148_000)
