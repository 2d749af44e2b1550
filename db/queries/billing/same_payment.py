"""Is a payment entered already? Asked before one is kept, so that none counts twice by mistake."""

from __future__ import annotations

from datetime import date, timedelta

from sqlalchemy import Connection

from db.records import fetch_all
from db.tables import payment
from domain.billing.matching import bare_reference
from domain.billing.records import Payment

NEAR_DAYS = 3
"""The same amount within so many days is asked about, when the references do not tell the two apart."""


def same_payments(
    conn: Connection, customer_id: int, amount_cents: int, received_on: date, reference: str
) -> list[Payment]:
    """Payments of this customer that may be this one: the same amount, and the same reference or about the same day.

    Two that name different references are two payments. The newest first.
    """
    known = fetch_all(
        conn, Payment, payment, payment.c.customer_id == customer_id, payment.c.amount_cents == amount_cents,
        payment.c.kind == "payment", order=(payment.c.received_on.desc(), payment.c.id.desc()),
    )  # fmt: skip
    wanted = bare_reference(reference)
    near = timedelta(days=NEAR_DAYS)

    def same(one: Payment) -> bool:
        theirs = bare_reference(one.reference)
        if wanted and theirs:
            return wanted == theirs
        return abs(one.received_on - received_on) <= near

    return [one for one in known if same(one)]
