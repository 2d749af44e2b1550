"""Making one customer of two entries of the same one."""

from __future__ import annotations

from sqlalchemy import select

from db.company_file.problems import Refused
from db.edit import Edit
from db.queries.merging import merge_plan, sorted_contacts
from db.tables import METADATA, contact, customer
from domain.merging import CONTACT_RULES


def merge_customers(edit: Edit, kept_id: int, other_id: int) -> None:
    """Move everything of the other customer to the kept one and take the other entry away. Undo parts them again.

    Phones and mails that both have are kept once; notes and addresses for bills are never lost.

    Raises:
        LookupError: one of them is not there.
        Refused: it is the same customer, or an invoice or payment to be moved is in a closed month.
    """
    if kept_id == other_id:
        raise Refused("That is the same customer.", "Choose the other entry.")
    plan = merge_plan(edit.conn, kept_id, other_id)
    _, same = sorted_contacts(edit.conn, kept_id, other_id)
    for had, one in same:
        edit.change(contact, had.id, **{name: rule(had, one) for name, rule in CONTACT_RULES.items()})
        edit.remove(contact, one.id)
    for table in METADATA.sorted_tables:  # all that points at a customer, whatever is added to the file later
        for column in table.c:
            if column.references(customer.c.id):
                for row_id in edit.conn.execute(select(table.c.id).where(column == other_id)).scalars().all():
                    edit.change(table, row_id, **{column.name: kept_id})
    edit.change(customer, kept_id, **plan.after)
    edit.remove(customer, other_id)
