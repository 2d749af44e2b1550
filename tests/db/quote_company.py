"""A fresh company in memory with one surveyed job, for the tests of quotes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, create_engine, select
from sqlalchemy.pool import StaticPool

from db import tables
from db.commands import jobs, people, quotes
from db.company_file.company import Company
from db.queries.firm import firm
from db.queries.quotes import quote_document, rates_on
from db.starter import fill_new_company
from domain.firm import DayRates, Firm
from domain.quoting.lines import QuoteDocument

STARTED = date(2026, 1, 5)
TODAY = date(2026, 3, 3)


@dataclass
class QuoteCompany:
    """The company, its one job, and short ways to act on it."""

    company: Company
    job_id: int

    def do(self, command: Any, *args: Any, **named: Any) -> Any:
        """Run one command as one action."""
        with self.company.action(command.__name__) as edit:
            return command(edit, *args, **named)

    def document(self, quote_id: int) -> QuoteDocument:
        """The quote as stored."""
        with self.company.read() as conn:
            return quote_document(conn, quote_id)

    @property
    def firm(self) -> Firm:
        """The firm's settings."""
        with self.company.read() as conn:
            return firm(conn)

    def rates(self, on: date = TODAY) -> DayRates:
        """The rates of a day."""
        with self.company.read() as conn:
            return rates_on(conn, on)

    def start(self, on: date = TODAY, **named: Any) -> int:
        """Begin a proposal for the job."""
        quote_id: int = self.do(quotes.start_quote, self.job_id, on, self.rates(on), self.firm, **named)
        return quote_id

    def id_of(self, table: Any, name: str) -> int:
        """The id of the row with this name."""
        with self.company.read() as conn:
            return conn.execute(select(table.c.id).where(table.c.name == name)).scalar_one()

    def first_id(self, table: Any, *where: Any) -> int:
        """The lowest id that meets the conditions."""
        with self.company.read() as conn:
            return conn.execute(select(table.c.id).where(*where).order_by(table.c.id)).scalars().first()


def _fresh() -> Engine:
    return create_engine("sqlite://", poolclass=StaticPool)


@cache
def _template(customer_name: str) -> tuple[Engine, int]:
    """The company as it is before a test begins, made once."""
    engine = _fresh()
    tables.METADATA.create_all(engine)
    company = Company(Path(":memory:"), engine)
    with company.action("New company") as edit:
        fill_new_company(edit, "Heron Hill Radon", "Ada Quill", STARTED)
    with company.action("New job") as edit:
        customer_id = people.add_customer(edit, customer_name, STARTED)
        house_id = people.add_property(
            edit, customer_id, street="14 Alder Row", town="Fenwick", region="PA", postcode="00000", crawl_space=True
        )
        type_id = edit.conn.execute(
            select(tables.job_type.c.id).order_by(tables.job_type.c.position, tables.job_type.c.id).limit(1)
        ).scalar_one()
        job_id = jobs.open_job(edit, customer_id, house_id, type_id, None, "", TODAY)
    return engine, job_id


def make_quote_company(customer_name: str = "Łukasz & Søn <Ltd>") -> QuoteCompany:
    """A company with the starting library, one customer, one house with a crawl space, one job."""
    template, job_id = _template(customer_name)
    engine = _fresh()
    source, target = template.raw_connection(), engine.raw_connection()
    source.driver_connection.backup(target.driver_connection)
    source.close()
    target.close()
    return QuoteCompany(Company(Path(":memory:"), engine), job_id)
