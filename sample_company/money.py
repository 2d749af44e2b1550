"""Tells how a job was invoiced and paid: deposit on acceptance, final invoice, what was given up, how money came."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from zlib import crc32

from sqlalchemy import select

from db.commands import jobs
from db.commands.billing.crediting import credit_invoice
from db.commands.billing.drafts import change_draft, draft_invoice
from db.commands.billing.issuing import issue_invoice
from db.commands.billing.payments import number_receipt, take_payment
from db.commands.write_offs import write_off
from db.edit import Edit
from db.queries.billing.contracts import job_contract
from db.queries.billing.open_items import open_cents, open_invoices
from db.tables import invoice, job, party
from domain.money import cents_of
from sample_company.story import Story

Deed = Callable[[Edit], object]

CLOSING_OFFICE = "Lantern Street Closing Office"
"""The invented office that pays from escrow when a house is sold."""

INVOICES_SINCE = date(2025, 1, 1)
"""Jobs opened before were invoiced on paper; the company only knows the days."""

_MEANS = ("check", "check", "check", "card", "transfer")
_PROMPT = timedelta(days=4)
"""So long a deposit is on its way when nothing says otherwise."""


@dataclass(slots=True)
class Money:
    """The money side of one story; `job_id` is known once the job is open."""

    story: Story
    job_id: int = 0
    final_id: int = 0

    def deeds(self) -> Iterator[tuple[date, Deed]]:
        """What was invoiced, given up and paid, with its day."""
        story, quote = self.story, self.story.quote
        if story.opened < INVOICES_SINCE:
            yield from self._by_hand()
            return
        if quote and quote.accepted and not self.at_closing and not story.cancelled:
            yield quote.accepted, self._deposit
            first_day = min(story.work.days) if story.work and story.work.days else None
            comes = min(one for one in (quote.accepted + _PROMPT, first_day, story.invoiced) if one)
            if comes <= _known_until(story):
                yield comes, lambda edit: self._pay(edit, comes)
        if invoiced := story.invoiced:
            yield invoiced, self._final
        if given_up := story.write_off:
            yield given_up.on, self._give_up
        if paid := story.paid:
            yield paid, lambda edit: self._pay(edit, paid)

    def _by_hand(self) -> Iterator[tuple[date, Deed]]:
        story = self.story
        if invoiced := story.invoiced:
            yield invoiced, lambda edit: jobs.mark_invoiced(edit, self.job_id, invoiced)
        if given_up := story.write_off:
            yield given_up.on, self._give_up
        if paid := story.paid:
            yield paid, lambda edit: jobs.mark_paid(edit, self.job_id, paid)

    @property
    def at_closing(self) -> bool:
        """A house sale: escrow pays at closing, and no deposit is asked for."""
        sides = {one.role for one in self.story.parties}
        return bool(sides & {"buyer", "seller"}) and any("closing" in one.reason for one in self.story.deadlines)

    def _agreed(self, edit: Edit) -> bool:
        return job_contract(edit.conn, self.job_id) is not None

    def _deposit(self, edit: Edit) -> None:
        contract = job_contract(edit.conn, self.job_id)
        assert self.story.quote is not None
        on = self.story.quote.accepted
        if contract is None or contract.deposit_cents <= 0 or on is None:
            return
        issue_invoice(edit, draft_invoice(edit, "deposit", on, job_id=self.job_id), on)

    def _final(self, edit: Edit) -> None:
        on = self.story.invoiced
        assert on is not None
        if not self._agreed(edit):
            jobs.mark_invoiced(edit, self.job_id, on)
            return
        self.final_id = draft_invoice(edit, "final", on, job_id=self.job_id)
        given_up = self.story.write_off
        if given_up and given_up.on < on:
            raise ValueError(f"{self.story.number}: given up before it was invoiced; tell a discount instead")
        if self.at_closing:
            payer = edit.conn.execute(
                select(party.c.id).where(party.c.job_id == self.job_id, party.c.name == CLOSING_OFFICE)
            ).scalar()
            if payer is None:
                payer = jobs.add_party(edit, self.job_id, "other", CLOSING_OFFICE, note="pays from escrow")
            change_draft(edit, self.final_id, payer_id=payer, payer_reference=self._escrow)
        issue_invoice(edit, self.final_id, on)

    def _give_up(self, edit: Edit) -> None:
        given_up = self.story.write_off
        assert given_up is not None
        cents = cents_of(given_up.amount)
        if self.final_id and open_cents(edit.conn, self.final_id) >= cents:
            credit_invoice(edit, self.final_id, given_up.on, given_up.reason, gives_up=True, amount_cents=cents)
        else:
            write_off(edit, self.job_id, given_up.on, cents, given_up.reason, today=given_up.on)

    def _pay(self, edit: Edit, on: date) -> None:
        owed = sum(one.open_cents for one in open_invoices(edit.conn, invoice.c.job_id == self.job_id))
        if owed == 0:
            if self.story.paid == on and not self.final_id:
                jobs.mark_paid(edit, self.job_id, on)
            return
        customer_id = edit.conn.execute(select(job.c.customer_id).where(job.c.id == self.job_id)).scalar_one()
        turn = crc32(f"{self.story.number}{on}".encode())
        closing = self.at_closing
        means = "escrow" if closing else _MEANS[turn % len(_MEANS)]
        reference = self._escrow if closing else str(1000 + turn % 8000) if means == "check" else ""
        paid = take_payment(
            edit, customer_id, on, owed, means, job_id=self.job_id, payer=CLOSING_OFFICE if closing else "",
            reference=reference, twice=True, today=on,
        )  # fmt: skip
        number_receipt(edit, paid, on)

    @property
    def _escrow(self) -> str:
        return f"LS-{self.story.number.replace('-', '')}"


def _known_until(story: Story) -> date:
    return story.closed or story.paid or date(2026, 11, 12)
