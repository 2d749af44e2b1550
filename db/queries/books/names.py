"""Names of customers by their own ids and by those of their payments."""

from __future__ import annotations

from sqlalchemy import Connection, select

from db.tables import customer, payment


def customer_names(conn: Connection) -> tuple[dict[int, str], dict[int, str]]:
    """By customer id, and by payment id. Two statements."""
    names = {row[0]: row[1] for row in conn.execute(select(customer.c.id, customer.c.name))}
    of_payments = {row[0]: names[row[1]] for row in conn.execute(select(payment.c.id, payment.c.customer_id))}
    return names, of_payments
