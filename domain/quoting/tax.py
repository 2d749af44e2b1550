"""Sales tax on a quote: the rounding rule and the three ways a contractor can stand towards it.

Which treatment is right depends on the state and on the kind of work; the owner chooses it and asks the
state's revenue office or an adviser when in doubt.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from domain.money import divide_cents

NONE, LUMP_SUM, SEPARATED = "none", "lump_sum", "separated"

TREATMENT_WORDS = {
    NONE: "No sales tax",
    LUMP_SUM: "Lump sum: tax paid on purchases",
    SEPARATED: "Materials separated: tax on materials",
}


def tax_of(cents: int, percent: Decimal) -> int:
    """Tax on an amount, in cents: carried to the third decimal of a dollar, up when that is more than four.

    Rule: Rhode Island General Laws 44-18.1-25 (Streamlined Sales and Use Tax Agreement), by which 0.1249 counts
    as 0.124 and gives 0.12. Cutting at the third decimal and then rounding gives for every amount the
    same cent as plain half up (`domain.money.percent_of`), so costs and tax follow one rule; a test holds that.
    An amount below nothing (a credit) is treated as its mirror image.
    """
    mills = Fraction(abs(cents)) * Fraction(percent) / 10  # percent / 100, and ten mills to the cent
    whole, third = divmod(int(mills), 10)
    tax = whole + 1 if third > 4 else whole
    return tax if cents >= 0 else -tax


def materials_share(price_cents: int, materials_cents: int, cost_cents: int) -> int:
    """The selling price of the materials: price x materials / cost, rounded half up.

    Materials are sold at the same ratio of price to cost as the whole job, so minimum charge, rounding and
    goodwill reach them in proportion (our rule; states differ, common practice, no source). 0 without a cost.
    """
    return divide_cents(price_cents * materials_cents, cost_cents) if cost_cents else 0
