"""The kinds of paper the firm hands out, and what each is called."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PaperKind:
    """One kind of paper.

    Attributes:
        key: as it is stored.
        title: as it stands on the paper and in lists.
        for_whom: who reads it, for the list's filter and the owner's texts.
    """

    key: str
    title: str
    for_whom: str


PAPER_KINDS: tuple[PaperKind, ...] = (
    PaperKind("proposal", "Proposal", "customer"),
    PaperKind("change_order", "Change order", "customer"),
    PaperKind("invoice", "Invoice", "customer"),
    PaperKind("credit_note", "Credit note", "customer"),
    PaperKind("receipt", "Receipt", "customer"),
    PaperKind("statement", "Statement of account", "customer"),
    PaperKind("reminder", "Payment reminder", "customer"),
    PaperKind("closeout", "Closeout pack", "customer"),
    PaperKind("label", "System label", "house"),
    PaperKind("letter", "Letter about the system", "buyer or agent"),
    PaperKind("pull_sheet", "Pull sheet", "ourselves"),
    PaperKind("shopping_list", "Shopping list", "ourselves"),
)

_BY_KEY = {kind.key: kind for kind in PAPER_KINDS}


def kind_of(key: str) -> PaperKind:
    """The kind with this key. Raises KeyError for an unknown one."""
    return _BY_KEY[key]
