"""Double entry: each event on two sides, and what stands on the accounts afterwards.

The rule that every entry's debits equal its credits, and which side an account grows on: common practice, no source
seen. The month below is our own, worked out by hand here.
"""

from __future__ import annotations

from datetime import date

from domain.ledger import (
    accounts_named,
    entry,
    post_bad_debt,
    post_bill,
    post_bill_payment,
    post_invoice,
    post_payment,
    trial_balance,
)

DAY = date(2026, 6, 1)


def test_a_month_by_hand() -> None:
    events = [
        post_invoice("deposit", 50_000, 0, 50_000),  # asked for 500.00 ahead
        post_payment(50_000),  # and got it
        post_bill([("materials", 30_000), ("truck_stock", 10_000)], 2_200),  # bought for 422.00
        post_bill_payment(20_000),  # 200.00 paid of it
        post_invoice("final", 70_000, 1_800, -50_000),  # work of 1,200.00 and tax 18.00, the deposit taken off
        post_payment(60_000),  # 600.00 of 718.00
        post_invoice("credit_note", -5_000, -75, 0),  # 50.75 given up
        post_bad_debt(6_640, 85),  # 67.25 lost
    ]
    opening: dict[str, int] = {}
    for number, pairs in enumerate(events):
        for posting in entry(DAY, "invoice", number, pairs).postings:
            opening[posting.role] = opening.get(posting.role, 0) + posting.cents
    books = trial_balance(accounts_named([]), opening, {})
    assert {row.account.role.key: row.closing_cents for row in books.rows if row.closing_cents} == {
        "bank": 90_000,
        "truck_stock": 10_000,
        "payable": -22_200,
        "sales_tax_payable": -1_640,
        "sales": -120_000,
        "sales_credits": 5_000,
        "job_materials": 30_000,
        "sales_tax_paid": 2_200,
        "bad_debts": 6_640,
    }
