"""What happens when two entries of the same customer become one, said before it is done."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from domain.people import Contact, Customer


@dataclass(frozen=True, slots=True)
class MergePlan:
    """Two customers and what of the second goes to the first."""

    kept_name: str
    other_name: str
    properties: int
    jobs: int
    contacts: int  # phones and mails the kept one does not have yet
    same_contacts: int  # those it has already
    invoices: int
    payments: int
    papers: int
    note: str  # the kept customer's note afterwards
    note_grows: bool
    billing_taken: bool  # the kept customer's address for bills comes from the other
    after: Mapping[str, object]  # the kept customer's columns afterwards

    def words(self) -> tuple[str, ...]:
        """Sentences for the owner."""
        moved = [
            _count(count, one, many)
            for count, one, many in (
                (self.properties, "property", "properties"), (self.jobs, "job", "jobs"),
                (self.contacts, "phone or email", "phones and emails"), (self.invoices, "invoice", "invoices"),
                (self.payments, "payment", "payments"), (self.papers, "paper issued", "papers issued"),
            )
            if count
        ]  # fmt: skip
        said = [
            f"{self.kept_name} stays and gets {_joined(moved)}." if moved else f"{self.kept_name} stays as it is.",
            f"The entry “{self.other_name}” is then gone.",
        ]
        if self.same_contacts:
            both = _count(self.same_contacts, "phone or email", "phones and emails")
            said.append(f"Kept once, as both have it: {both}.")
        if self.note_grows:
            said.append("What was noted on both stands in one note.")
        if self.billing_taken:
            said.append("Bills go to the other entry's address, as this one has none.")
        if self.properties:
            said.append("Properties move as they are, also when both entries have the same street.")
        said.append("Quotes, logs and amounts do not change; papers already issued keep the name they were issued to.")
        return tuple(said)


def _billing(kept: Customer, other: Customer) -> str:
    return kept.billing_address if kept.billing_address.strip() else other.billing_address


def _note(kept: Customer, other: Customer) -> str:
    differs = other.billing_address.strip() and other.billing_address != _billing(kept, other)
    return merged_note(kept.note, other.note, kept.name, other.name, other.billing_address if differs else "")


CUSTOMER_RULES: Mapping[str, Callable[[Customer, Customer], object]] = {
    "kind": lambda kept, _: kept.kind,
    "name": lambda kept, _: kept.name,  # the other's stands in the note where it differs
    "billing_address": _billing,
    "note": _note,
    "created_on": lambda kept, other: min(kept.created_on, other.created_on),
    "archived_on": lambda kept, other: None if None in (kept.archived_on, other.archived_on) else kept.archived_on,
}
"""What each column of the kept entry holds afterwards; a column without a rule is one nobody decided on."""

CONTACT_RULES: Mapping[str, Callable[[Contact, Contact], object]] = {
    "customer_id": lambda kept, _: kept.customer_id,
    "kind": lambda kept, _: kept.kind,
    "label": lambda kept, other: kept.label if kept.label.strip() else other.label,
    "value": lambda kept, _: kept.value,
}
"""The same for a phone or mail that both have."""


def merged_note(kept: str, other: str, kept_name: str, other_name: str, other_billing: str = "") -> str:
    """One note of two: nothing is lost, nothing stands twice."""
    kept, other = kept.strip(), other.strip()
    more = [other] if other and other not in kept else []
    if other_billing.strip():
        more.append(f"Bills went to {', '.join(other_billing.split(chr(10)))}")
    known = " ".join(other_name.split()).casefold() == " ".join(kept_name.split()).casefold()
    if not more and (known or other_name in kept):
        return kept
    told = f"From the entry “{other_name}”: {'; '.join(more)}" if more else f"Was entered as “{other_name}”, too."
    return "\n".join([*([kept] if kept else []), told])


def _count(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"


def _joined(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
