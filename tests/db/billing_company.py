"""A company with customers and agreed jobs of every tax treatment, for the tests of invoices and payments."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from sqlalchemy import create_engine, select
from sqlalchemy.pool import StaticPool

from db.commands import jobs, people
from db.commands.quotes import accept_quote, send_quote
from db.company_file.company import Company
from db.edit import Edit
from db.queries.billing.contracts import job_contract, job_invoiced, job_invoices
from db.records import fetch_one
from db.tables import invoice, invoice_line, job, material_line, other_line, property_, quote, quote_option
from domain.billing.contract import Contract
from domain.billing.invoiced import Invoiced
from domain.billing.records import Invoice, InvoiceLine
from domain.jobs import Job
from tests.small_company import add_proposal, empty_company

OPENED, AGREED, DONE = date(2026, 3, 2), date(2026, 3, 9), date(2026, 3, 20)


@dataclass(frozen=True, slots=True)
class AgreedJob:
    """How a job is to be agreed: its price in cents, tax, options chosen, goodwill, deposit."""

    price_cents: int = 180_000
    treatment: str = "none"
    percent: str = "0"
    options: Sequence[int] = ()
    goodwill_cents: int = 0
    deposit_percent: str = "40"
    installed: bool = True


@dataclass
class BillingCompany:
    """A company in memory, and short ways to act on it and to ask it."""

    company: Company = field(default_factory=empty_company)

    def copy(self) -> BillingCompany:
        """Another company in memory with the same content, and nothing to undo."""
        raw = sqlite3.connect(":memory:", check_same_thread=False)
        with self.company.raw() as mine:
            mine.backup(raw)
        raw.execute("PRAGMA foreign_keys = ON")
        return BillingCompany(
            Company(Path(":memory:"), create_engine("sqlite://", poolclass=StaticPool, creator=lambda: raw))
        )

    def do(self, command: Any, *args: Any, **named: Any) -> Any:
        """Run one command as one action."""
        with self.company.action(command.__name__) as edit:
            return command(edit, *args, **named)

    def ask(self, query: Any, *args: Any, **named: Any) -> Any:
        """Ask one question."""
        with self.company.read() as conn:
            return query(conn, *args, **named)

    def customer(self, name: str = "Wren Halloway") -> int:
        """A new customer with a house."""
        with self.company.action("Customer") as edit:
            customer_id = people.add_customer(edit, name, OPENED)
            people.add_property(edit, customer_id, "12 Mill Road", town="Alder Falls", region="ME", postcode="04999")
        return customer_id

    def job(self, customer_id: int, agreed: AgreedJob = AgreedJob()) -> int:
        """A job with an accepted proposal, done unless said otherwise."""
        with self.company.action("Job") as edit:
            house = edit.conn.execute(
                select(property_.c.id).where(property_.c.customer_id == customer_id)
            ).scalar_one()
            job_id = jobs.open_job(edit, customer_id, house, 2, 1, "Rework of the crawl system", OPENED)
            _proposal(edit, job_id, agreed)
            if agreed.installed:
                jobs.mark_installed(edit, job_id, DONE)
        return job_id

    def invoice(self, invoice_id: int) -> Invoice:
        """The invoice as kept."""
        one: Invoice = self.ask(fetch_one, Invoice, invoice, invoice_id)
        return one

    def lines(self, invoice_id: int) -> list[InvoiceLine]:
        """Its lines in their order."""
        with self.company.read() as conn:
            rows = conn.execute(
                select(invoice_line).where(invoice_line.c.invoice_id == invoice_id).order_by(invoice_line.c.position)
            )
            return [InvoiceLine(*row) for row in rows]

    def contract(self, job_id: int) -> Contract:
        """What was agreed on a job."""
        found: Contract = self.ask(job_contract, job_id)
        return found

    def invoiced(self, job_id: int) -> Invoiced:
        """What stands of its invoices."""
        found: Invoiced = self.ask(job_invoiced, job_id)
        return found

    def issued(self, job_id: int) -> list[Invoice]:
        """Its issued invoices and credit notes."""
        return [one for one in self.ask(job_invoices, job_id)[0] if one.issued]

    def kept_job(self, job_id: int) -> Job:
        """The job's own days."""
        one: Job = self.ask(fetch_one, Job, job, job_id)
        return one


def _proposal(edit: Edit, job_id: int, agreed: AgreedJob) -> None:
    quote_id = add_proposal(
        edit, job_id, pricing="fixed", fixed_price_cents=agreed.price_cents, goodwill_cents=agreed.goodwill_cents,
        tax_treatment=agreed.treatment, tax_percent=Decimal(agreed.percent),
        deposit_percent=Decimal(agreed.deposit_percent), created_on=OPENED,
    )  # fmt: skip
    edit.add(
        material_line, quote_id=quote_id, description="Pipe and fan", net_quantity=Decimal(1), waste_percent=Decimal(0),
        quantity=Decimal(1), unit="each", unit_cost=Decimal("313.37"),
    )  # fmt: skip
    edit.add(
        other_line, quote_id=quote_id, kind="permit", description="Permit",
        quantity=Decimal(1), unit="each", unit_cost=Decimal("271.5"),
    )  # fmt: skip
    option_ids = []
    for place, cents in enumerate(agreed.options):
        option_id = edit.add(quote_option, quote_id=quote_id, position=place, name=f"Option {place + 1}")
        edit.add(
            material_line, quote_id=quote_id, option_id=option_id, description="Alarm", net_quantity=Decimal(1),
            waste_percent=Decimal(0), quantity=Decimal(1), unit="each", unit_cost=Decimal(cents).scaleb(-2),
        )  # fmt: skip
        option_ids.append(option_id)
    send_quote(edit, quote_id, AGREED)
    accept_quote(edit, quote_id, AGREED, option_ids)


def change_order(edit: Edit, job_id: int, price_cents: int, on: date) -> int:
    """An accepted change order at a price, which may be below nothing, with the tax of its proposal."""
    basis = edit.conn.execute(
        select(quote.c.tax_treatment, quote.c.tax_percent).where(quote.c.job_id == job_id, quote.c.kind == "proposal")
    ).one()
    count = len(edit.conn.execute(select(quote.c.id).where(quote.c.job_id == job_id)).all())
    quote_id = add_proposal(
        edit, job_id, version=count, kind="change_order", pricing="fixed", fixed_price_cents=price_cents,
        tax_treatment=basis.tax_treatment, tax_percent=basis.tax_percent, created_on=on, title="What was found",
    )  # fmt: skip
    edit.add(
        material_line, quote_id=quote_id, description="Sealant", net_quantity=Decimal(1), waste_percent=Decimal(0),
        quantity=Decimal(1), unit="each", unit_cost=Decimal("41.19"),
    )  # fmt: skip
    send_quote(edit, quote_id, on)
    accept_quote(edit, quote_id, on)
    return quote_id
