"""A company in memory with the starting library, and one customer with a house and a job, for tests."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, create_engine, event
from sqlalchemy.pool import StaticPool

from db import tables
from db.commands.jobs import open_job
from db.commands.people import add_contact, add_customer, add_property
from db.company_file.company import Company
from db.edit import Edit
from db.starter import fill_new_company
from domain.words import fold

TODAY = date(2026, 5, 14)


@cache
def _template() -> sqlite3.Connection:
    """The starting library, written once for all tests."""
    raw = sqlite3.connect(":memory:", check_same_thread=False)
    engine = create_engine("sqlite://", poolclass=StaticPool, creator=lambda: raw)
    tables.METADATA.create_all(engine)
    with Company(Path(":memory:"), engine).action("New company") as edit:
        fill_new_company(edit, "Heron Hill Radon", "Ada Quill", date(2024, 3, 4))
    return raw


def empty_company(path: Path = Path(":memory:")) -> Company:
    """A new company without customers; `path` only says where photos go."""
    raw = sqlite3.connect(":memory:", check_same_thread=False)
    _template().backup(raw)
    raw.execute("PRAGMA foreign_keys = ON")
    return Company(path, create_engine("sqlite://", poolclass=StaticPool, creator=lambda: raw))


def statements(company: Company, work: Callable[[Connection], object]) -> int:
    """How many statements a question takes."""
    seen: list[str] = []

    def note(*args: Any) -> None:
        seen.append(args[2])

    event.listen(company.engine, "before_cursor_execute", note)
    with company.read() as conn:
        work(conn)
    event.remove(company.engine, "before_cursor_execute", note)
    return len(seen)


@dataclass(frozen=True, slots=True)
class OneJob:
    """The ids of what `add_one_job` made."""

    customer_id: int
    property_id: int
    job_id: int


def add_one_job(company: Company, name: str = "Wren Halloway", number: str | None = None) -> OneJob:
    """A customer with a phone, a mail, a house with a crawl space, and a rework job opened on May 4, 2026."""
    with company.action("Add one job") as edit:
        customer_id = add_customer(edit, name, date(2026, 5, 4))
        add_contact(edit, customer_id, "phone", "(207) 555-0143", "home")
        add_contact(edit, customer_id, "mail", f"{fold(name.split()[0])}@example.org")
        house = add_property(
            edit, customer_id, "12 Mill Road", town="Alder Falls", region="ME", postcode="04999", year_built=1962,
            crawl_space=True, existing_system=True, existing_by="a handyman",
        )  # fmt: skip
        job_id = open_job(edit, customer_id, house, 2, 1, "Rework of the crawl system", date(2026, 5, 4), number)
    company._done.clear()
    return OneJob(customer_id, house, job_id)


def add_proposal(edit: Edit, job_id: int, version: int = 1, **values: object) -> int:
    """A bare proposal row; the quoting commands have their own tests."""
    row: dict[str, object] = {
        "kind": "proposal", "created_on": date(2026, 5, 6), "pricing": "margin", "pricing_percent": Decimal(35),
        "minimum_charge_cents": 0, "rounding_cents": 1, "tax_treatment": "none", "tax_percent": Decimal(0),
        "deposit_percent": Decimal(0), "owner_rate_cents": 6000, "helper_rate_cents": 3500,
        "overhead_rate_cents": 2000, "mile_cost": Decimal("0.7"),
    }  # fmt: skip
    return edit.add(tables.quote, job_id=job_id, version=version, **{**row, **values})
