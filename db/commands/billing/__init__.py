"""What the owner does about money owed: invoices, credits, payments, refunds, bad debts."""

from db.commands.billing.crediting import credit_invoice
from db.commands.billing.debts import write_off_bad_debt
from db.commands.billing.draft_lines import add_line, change_line, remove_line
from db.commands.billing.drafts import change_draft, delete_draft_invoice, draft_invoice, refresh_draft
from db.commands.billing.issuing import issue_invoice
from db.commands.billing.matching import apply_credit, match_payment, unmatch_payment
from db.commands.billing.payments import (
    change_payment,
    number_receipt,
    refund_payment,
    remove_payment,
    return_payment,
    take_payment,
)

__all__ = [
    "add_line",
    "apply_credit",
    "change_draft",
    "change_line",
    "change_payment",
    "credit_invoice",
    "delete_draft_invoice",
    "draft_invoice",
    "issue_invoice",
    "match_payment",
    "number_receipt",
    "refresh_draft",
    "refund_payment",
    "remove_line",
    "remove_payment",
    "return_payment",
    "take_payment",
    "unmatch_payment",
    "write_off_bad_debt",
]
