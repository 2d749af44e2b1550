"""A bill's lines as they are typed: what for, words, which job, how much."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from domain.bills import BILL_LINE_KINDS, FOR_A_JOB, BillLineDraft
from domain.errors import NotUnderstood, as_typed
from domain.money import parse_money

NO_JOB = "no job"


@dataclass(frozen=True, slots=True)
class TypedBillLine:
    """One line; ``id`` 0 is the empty one at the foot."""

    id: int
    kind: str = "materials"
    description: str = ""
    job_id: int | None = None
    net_cents: int = 0
    purchase_id: int | None = None
    material_use_id: int | None = None
    other_cost_id: int | None = None

    @property
    def draft(self) -> BillLineDraft:
        """As the command takes it."""
        return BillLineDraft(
            self.kind, self.net_cents, self.description, self.job_id, self.purchase_id, self.material_use_id,
            self.other_cost_id,
        )  # fmt: skip


def bill_line_typed(line: TypedBillLine, key: str, text: str, jobs: Mapping[int, str]) -> TypedBillLine:
    """The line with one cell typed anew: kind, description, job or amount. Raises NotUnderstood."""
    if key == "description":
        return replace(line, description=" ".join(text.split()))
    if key == "kind":
        kind = _kind(text)
        return replace(line, kind=kind, job_id=line.job_id if kind in FOR_A_JOB else None)
    if key == "amount":
        cents = parse_money(text)
        if cents <= 0:
            raise NotUnderstood("An amount is more than nothing. What comes back is entered as a credit.", text)
        return replace(line, net_cents=cents)
    job_id = job_typed(text, jobs)
    if job_id is not None and line.kind not in FOR_A_JOB:
        raise NotUnderstood(f"{BILL_LINE_KINDS[line.kind]} belongs to no job. Change what it is for first.", text)
    return replace(line, job_id=job_id)


def job_typed(text: str, jobs: Mapping[int, str]) -> int | None:
    """A job by its number or any part of its label; None for no job. Raises NotUnderstood."""
    wanted = " ".join(text.casefold().split())
    if not wanted or NO_JOB.startswith(wanted):
        return None
    found = [job_id for job_id, words in jobs.items() if wanted in " ".join(words.casefold().split())]
    if len(found) != 1:
        why = f"fits {len(found)} jobs. Type more of it." if found else "is no job that is offered here."
        raise NotUnderstood(f"{as_typed(text)} {why}", text)
    return found[0]


def _kind(text: str) -> str:
    wanted = " ".join(text.casefold().split())
    found = [key for key, words in BILL_LINE_KINDS.items() if wanted and words.casefold().startswith(wanted)]
    if len(found) != 1:
        raise NotUnderstood(f"{as_typed(text)} is none of {', '.join(BILL_LINE_KINDS.values())}.", text)
    return found[0]
