"""A small company on one evening, made through the program's own commands: for the log, Tonight and their pictures."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace

from sqlalchemy import select

from db.commands.firm import add_person, add_person_cost
from db.commands.jobs import add_deadline, mark_installed, open_job, schedule_job
from db.commands.log import log_hours, log_material, log_other_cost
from db.commands.people import add_customer, add_property
from db.commands.quotes import accept_quote, add_other, send_quote, start_quote
from db.company_file import create_company
from db.company_file.company import Company
from db.edit import Edit
from db.queries.firm import day_rates, firm
from db.tables import cause, item, job_type, labour_task, person

TODAY = date(2026, 11, 12)


def empty_company(folder: Path) -> Company:
    """A new company with the starting library and nothing else."""
    return create_company(folder / "Evening.riserbook", "Juniper Ridge Radon", "Wren Osei", TODAY)


def evening_company(folder: Path) -> tuple[Company, SimpleNamespace]:
    """A company in which everything Tonight can show is there once, and the ids of its jobs by what they are."""
    company = create_company(folder / "Evening.riserbook", "Juniper Ridge Radon", "Wren Osei", date(2026, 1, 2))
    ids = SimpleNamespace()
    with company.action("An evening", undoable=False) as edit:
        ids.owner = edit.conn.execute(select(person.c.id)).scalar_one()
        ids.helper = add_person(edit, "Tam Birch")
        add_person_cost(
            edit, ids.helper, date(2026, 1, 2), wage_cents=2100, paid_hours=1200, billable_hours=900,
            workers_comp_percent=Decimal(6), state_unemployment_percent=Decimal(2),
            state_unemployment_base_cents=1_200_000, other_cents_per_year=0,
        )  # fmt: skip
        ids.task = dict(edit.conn.execute(select(labour_task.c.name, labour_task.c.id)).all())
        ids.item = dict(edit.conn.execute(select(item.c.code, item.c.id)).all())
        ids.cause = dict(edit.conn.execute(select(cause.c.name, cause.c.id)).all())
        kinds = dict(edit.conn.execute(select(job_type.c.name, job_type.c.id)).all())
        job = _opener(edit, kinds)

        ids.today = job("Ada Quill", "9 Alder Court", "Rework of an existing system", 30)
        _accepted(edit, ids.today, 20)
        schedule_job(edit, ids.today, TODAY)

        ids.over = job("Osei Tannery", "207 Quarry Road", "Rework of an existing system", 40)
        _accepted(edit, ids.over, 30)
        schedule_job(edit, ids.over, TODAY - timedelta(days=2))
        add_deadline(edit, ids.over, TODAY + timedelta(days=6), "closing date")
        for days, name, minutes in (
            (2, "Assess what is there", 70), (2, "Remove old pipe", 95), (2, "Correct the slope at joints", 260),
            (1, "Dig out the old suction point", 240), (1, "Run pipe in basement", 140),
        ):  # fmt: skip
            log_hours(edit, ids.over, TODAY - timedelta(days=days), ids.task[name], ids.owner, minutes)
        log_hours(
            edit, ids.over, TODAY - timedelta(days=1), ids.task["Find the fault"], ids.owner, 95, unquoted=True,
            note="second suction point under the stairs",
        )  # fmt: skip
        log_material(edit, ids.over, TODAY - timedelta(days=1), ids.item["P3-40"], "", Decimal(24))
        log_other_cost(edit, ids.over, TODAY - timedelta(days=1), "travel", "", Decimal(38))

        ids.silent = job("Lindqvist & Søn", "41 Ridge Top", "Fan replacement", 25)
        _accepted(edit, ids.silent, 15)
        schedule_job(edit, ids.silent, TODAY - timedelta(days=3))
        mark_installed(edit, ids.silent, TODAY - timedelta(days=3))

        ids.draft = job("Ferrante", "88 Mill Pond", "New system", 6)
        _quote(edit, ids.draft, 5)
        ids.waiting = job("Brandt", "3 Station Street", "Crawl-space membrane", 14)
        send_quote(edit, _quote(edit, ids.waiting, 9), TODAY - timedelta(days=8))
        ids.expiring = job("Kowal", "14 Hollow Lane", "New system", 40)
        send_quote(edit, _quote(edit, ids.expiring, 29), TODAY - timedelta(days=28))
        ids.fresh = job("Pell", "6 Weir Lane", "Fan replacement", 3)
        send_quote(edit, _quote(edit, ids.fresh, 2), TODAY - timedelta(days=1))
        ids.next_week = job("Nadir", "22 Tanner Row", "New system", 20)
        _accepted(edit, ids.next_week, 12)
        schedule_job(edit, ids.next_week, TODAY + timedelta(days=5))
    return company, ids


def _opener(edit: Edit, kinds: dict[str, int]) -> Callable[[str, str, str, int], int]:
    def opened(name: str, street: str, kind: str, days_ago: int) -> int:
        on = TODAY - timedelta(days=days_ago)
        who = add_customer(edit, name, on)
        house = add_property(edit, who, street, town="Weller", basement=True, existing_system="Rework" in kind)
        return open_job(edit, who, house, kinds[kind], None, "", on)

    return opened


def _quote(edit: Edit, job_id: int, days_ago: int) -> int:
    on = TODAY - timedelta(days=days_ago)
    quote_id = start_quote(edit, job_id, on, day_rates(edit.conn, on), firm(edit.conn))
    add_other(edit, quote_id, "travel", Decimal(36))
    add_other(edit, quote_id, "permit", Decimal(1), Decimal("85.0000"), description="town hall")
    return quote_id


def _accepted(edit: Edit, job_id: int, days_ago: int) -> None:
    quote_id = _quote(edit, job_id, days_ago + 2)
    send_quote(edit, quote_id, TODAY - timedelta(days=days_ago + 1))
    accept_quote(edit, quote_id, TODAY - timedelta(days=days_ago))
