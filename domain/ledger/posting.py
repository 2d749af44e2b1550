"""What each paper and payment posts, as pairs of account role and cents (debit above nothing, credit below).

Double entry: every event posts to at least two accounts, and its debits equal its credits (common practice; the
tests hold the published examples). A deposit is owed to the customer until the final invoice turns it into a sale.
"""

from __future__ import annotations

from collections.abc import Iterable

COST_ROLES = {
    "materials": "job_materials",
    "truck_stock": "truck_stock",
    "subcontractor": "subcontractors",
    "permit": "permits",
    "equipment": "equipment",
    "overhead": "overhead",
}
"""The account of each kind of bill line."""

Pairs = list[tuple[str, int]]


def post_invoice(kind: str, net_cents: int, tax_cents: int, deposit_cents: int) -> Pairs:
    """An issued invoice, or a credit note, whose amounts are below nothing.

    Args:
        deposit_cents: the part of the net amount that is deposit: asked for (positive) or taken off (negative), as
            `domain.billing.invoiced.deposit_part` tells it.
    """
    sold = "sales_credits" if kind == "credit_note" else "sales"
    return [
        ("receivable", net_cents + tax_cents),
        ("customer_deposits", -deposit_cents),
        (sold, deposit_cents - net_cents),
        ("sales_tax_payable", -tax_cents),
    ]


def post_payment(amount_cents: int) -> Pairs:
    """Money that came in; a refund or returned check is below nothing."""
    return [("bank", amount_cents), ("receivable", -amount_cents)]


def post_bad_debt(net_cents: int, tax_cents: int) -> Pairs:
    """What will not come of an invoice."""
    return [("bad_debts", net_cents), ("sales_tax_payable", tax_cents), ("receivable", -net_cents - tax_cents)]


def post_bill(lines: Iterable[tuple[str, int]], tax_cents: int) -> Pairs:
    """A bill or receipt by its lines (kind, net cents); a supplier's credit is below nothing."""
    costs = [(COST_ROLES[kind], cents) for kind, cents in lines]
    owed = sum(cents for _, cents in costs) + tax_cents
    return [*costs, ("sales_tax_paid", tax_cents), ("payable", -owed)]


def post_bill_payment(amount_cents: int) -> Pairs:
    """Money paid on a bill; a supplier's money back is below nothing."""
    return [("payable", amount_cents), ("bank", -amount_cents)]
