"""What happens when two entries of the same customer become one, said before it is done."""

from __future__ import annotations

from dataclasses import dataclass


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
    billing_address: str  # the kept customer's afterwards
    billing_taken: bool  # it comes from the other

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


def merged_note(kept: str, other: str, other_name: str, other_billing: str = "") -> str:
    """One note of two: nothing is lost, nothing stands twice."""
    kept, other = kept.strip(), other.strip()
    more = [other] if other and other not in kept else []
    if other_billing.strip():
        more.append(f"Bills went to {', '.join(other_billing.split(chr(10)))}")
    if not more:
        return kept
    return "\n".join([*([kept] if kept else []), f"From the entry “{other_name}”: " + "; ".join(more)])


def _count(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"


def _joined(parts: list[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
