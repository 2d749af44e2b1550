"""A made-up company of any size, written in bulk: for measuring, and for comparing SQL with the domain.

Ten quoted lines, twelve hour entries, twenty-five material entries and two other costs a job. Everything the
costing has to tell apart occurs: superseded versions, options chosen and left, change orders accepted and
declined, unquoted entries, returns, callbacks, helpers, goodwill, write-offs, all three treatments of tax, jobs
open, cancelled and never accepted.
"""

from __future__ import annotations

import random
from collections import defaultdict
from datetime import date, timedelta
from typing import Any

from sqlalchemy import Connection, select

from db import tables

FIRST_DAY = date(2016, 1, 4)
KINDS = ("permit", "subcontractor", "equipment", "travel", "other")
UNITS = ("ft", "each")


class _Rows:
    """Rows waiting to be written, in the order their tables were first named."""

    def __init__(self) -> None:
        self.waiting: dict[str, list[dict[str, Any]]] = defaultdict(list)
        self.last: dict[str, int] = defaultdict(int)

    def add(self, table: str, **values: Any) -> int:
        self.last[table] += 1
        self.waiting[table].append({"id": self.last[table], **values})
        return self.last[table]

    def write(self, conn: Connection) -> None:
        for table, rows in self.waiting.items():
            columns = list(rows[0])
            marks = ", ".join("?" * len(columns))
            conn.exec_driver_sql(
                f'INSERT INTO "{table}" ({", ".join(columns)}) VALUES ({marks})',
                [tuple(row.values()) for row in rows],
            )
        self.waiting.clear()


def fill_big_company(conn: Connection, jobs: int, *, seed: int = 1, days: int = 3650) -> None:
    """Write so many jobs, opened over so many days, into a company that has a library but no customers."""
    rng = random.Random(seed)
    rows = _Rows()
    library = {
        name: list(conn.execute(select(tables.METADATA.tables[name].c.id)).scalars())
        for name in ("job_type", "lead_source", "access_condition", "item", "cause")
    }
    library["task"] = list(conn.execute(select(tables.labour_task.c.id)).scalars())
    rows.last["person"] = max(conn.execute(select(tables.person.c.id)).scalars())
    rows.add("person", name="Tove Brandal", role="helper")
    rows.write(conn)
    for number in range(jobs):
        _add_job(rows, rng, library, number, FIRST_DAY + timedelta(days=number * days // jobs))
        if len(rows.waiting["material_use"]) > 50_000:
            rows.write(conn)
    rows.write(conn)
    _fill_truck(conn)
    _fill_calendar(conn)
    _fill_money(conn)


def _fill_truck(conn: Connection) -> None:
    """Uses are in the unit of their item, but for a few; every item was counted long ago and is bought again since."""
    conn.exec_driver_sql(
        "UPDATE material_use SET unit = (SELECT unit FROM item WHERE item.id = item_id) "
        "WHERE item_id IS NOT NULL AND id % 400"
    )
    counted = "INSERT INTO stock_count (item_id, counted_on, quantity) SELECT id, '2023-06-01', 40000 FROM item"
    conn.exec_driver_sql(counted)
    conn.exec_driver_sql("INSERT INTO stock_rule (item_id, reorder_at, fill_to) SELECT id, 4000, 30000 FROM item")
    conn.exec_driver_sql(
        "INSERT INTO purchase (day, item_id, quantity, unit, unit_cost) "
        "SELECT '2024-05-06', id, 900000, unit, 20000 FROM item CROSS JOIN (VALUES (1), (2), (3), (4), (5))"
    )


def _fill_calendar(conn: Connection) -> None:
    """Four visits a job, all done; and from today on what the jobs that are open still have to do, five a day."""
    columns = "job_id, kind, day, starts_at, minutes, travel_minutes, done_on, uid"
    for kind, days in (("survey", 0), ("work", 7), ("test_placed", 9), ("test_picked_up", 11)):
        day = f"date(opened_on, '+{days} days')"
        conn.exec_driver_sql(
            f"INSERT INTO visit ({columns}) SELECT id, '{kind}', {day}, 480, 90, 30, {day}, '{kind}-' || id FROM job"
        )
    for kind, minute in (("work", 480), ("test_placed", 600), ("electrician", 780)):
        conn.exec_driver_sql(
            f"INSERT INTO visit ({columns}) SELECT id, '{kind}', date('now', (id / 7% 300 - 20) || ' days'), "
            f"{minute}, 120, 30, NULL, 'next-{kind}-' || id FROM job WHERE closed_on IS NULL AND cancelled_on IS NULL"
        )
    conn.exec_driver_sql(
        "INSERT INTO deadline (job_id, due_on, reason, met) SELECT id, date('now', (id / 7% 300) || ' days'), "
        "'closing date', 0 FROM job WHERE closed_on IS NULL AND cancelled_on IS NULL"
    )


def _fill_money(conn: Connection) -> None:
    """A deposit and a final invoice a job, each paid but for the finals of every fiftieth; some paid too much."""
    columns = (
        "kind, number, customer_id, job_id, created_on, issued_on, due_on, tax_treatment, tax_percent, net_cents,"
        " taxable_cents, tax_cents"
    )
    for kind, days, cents in (("deposit", 3, 60_000), ("final", 12, 120_000)):
        day, due = f"date(opened_on, '+{days} days')", f"date(opened_on, '+{days + 14} days')"
        conn.exec_driver_sql(
            f"INSERT INTO invoice ({columns}) SELECT '{kind}', '{kind}-' || id, customer_id, id, {day}, {day}, {due},"
            f" 'none', 0, {cents}, 0, 0 FROM job WHERE id IN (SELECT job_id FROM quote WHERE accepted_on IS NOT NULL)"
        )
    conn.exec_driver_sql(
        "INSERT INTO invoice_line (invoice_id, kind, description, quantity, unit_price, net_cents)"
        " SELECT id, CASE kind WHEN 'deposit' THEN 'deposit' ELSE 'contract' END, 'Agreed', 1000, net_cents * 100,"
        " net_cents FROM invoice"
    )
    conn.exec_driver_sql(
        "INSERT INTO payment (id, customer_id, job_id, received_on, kind, means, amount_cents, reference)"
        " SELECT id, customer_id, job_id, date(issued_on, '+9 days'), 'payment', 'check',"
        " net_cents + (id % 200 = 0) * 500, 'check ' || id FROM invoice WHERE kind = 'deposit' OR job_id % 50"
    )
    conn.exec_driver_sql(
        "INSERT INTO settlement (invoice_id, settled_on, amount_cents, payment_id)"
        " SELECT invoice.id, received_on, net_cents, payment.id FROM invoice JOIN payment ON payment.id = invoice.id"
    )


def _add_job(rows: _Rows, rng: random.Random, library: dict[str, list[int]], number: int, opened: date) -> None:
    slab, basement, crawl = rng.choice([(1, 0, 0), (0, 1, 0), (0, 0, 1), (0, 1, 1), (0, 0, 0)])
    customer = rows.add("customer", kind="person", name=f"Customer {number:05}", created_on=opened.isoformat())
    house = rows.add(
        "property",
        customer_id=customer,
        street=f"{number} Mill Road",
        slab=slab,
        basement=basement,
        crawl_space=crawl,
    )
    closed = opened + timedelta(days=rng.randint(5, 60))
    cancelled = rng.random() < 0.03
    job = rows.add(
        "job",
        number=f"{opened:%y}-{number:05}",
        customer_id=customer,
        property_id=house,
        job_type_id=rng.choice(library["job_type"]),
        lead_source_id=rng.choice([None, *library["lead_source"]]),
        title="A job",
        opened_on=opened.isoformat(),
        closed_on=closed.isoformat() if rng.random() < 0.95 else None,
        cancelled_on=closed.isoformat() if cancelled else None,
    )
    for condition in rng.sample(library["access_condition"], rng.choice([0, 0, 1, 2])):
        rows.add("job_condition", job_id=job, condition_id=condition)
    tasks, items = rng.sample(library["task"], 8), rng.sample(library["item"], 12)
    _add_quotes(rows, rng, job, opened, tasks, items)
    _add_log(rows, rng, library, job, opened, tasks, items)
    if rng.random() < 0.1:
        rows.add(
            "price_adjustment",
            job_id=job,
            day=closed.isoformat(),
            kind="write_off",
            amount_cents=rng.randint(500, 20_000),
        )


def _add_quotes(
    rows: _Rows, rng: random.Random, job: int, opened: date, tasks: list[int], items: list[int]
) -> None:
    accepted = rng.random() < 0.95
    sent = opened.isoformat()
    treatment = rng.choice(["none", "lump_sum", "separated"])
    if rng.random() < 0.1:
        _add_quote(rows, rng, job, "proposal", 1, sent, None, treatment)
    # once in a while a revised version is accepted after the first was: the last one counts
    first = sent if accepted and rng.random() < 0.02 else None
    if first:
        _add_quote(rows, rng, job, "proposal", 2, sent, first, treatment)
    quote = _add_quote(rows, rng, job, "proposal", 3, sent, sent if accepted else None, treatment)
    chosen = rows.add("quote_option", quote_id=quote, name="Quiet fan", chosen=rng.randint(0, 1))
    _add_lines(rows, rng, quote, chosen, tasks[:4], items[:5])
    if rng.random() < 0.15:
        took = rng.random() < 0.8
        order = _add_quote(rows, rng, job, "change_order", 1, sent, sent if took else None, treatment)
        _add_lines(rows, rng, order, None, tasks[3:5], items[4:6])


def _add_quote(
    rows: _Rows,
    rng: random.Random,
    job: int,
    kind: str,
    version: int,
    sent: str,
    accepted: str | None,
    treatment: str,
) -> int:
    return rows.add(
        "quote",
        job_id=job,
        kind=kind,
        version=version,
        created_on=sent,
        sent_on=sent,
        accepted_on=accepted,
        declined_on=None,
        pricing="margin",
        pricing_percent=35_000,
        minimum_charge_cents=0,
        rounding_cents=1,
        goodwill_cents=rng.choice([0, 0, 0, 2_500, 4_000]),
        tax_treatment=treatment,
        tax_percent=rng.choice([0, 5_500, 7_125]),
        deposit_percent=30_000,
        owner_rate_cents=5200,
        helper_rate_cents=3400,
        overhead_rate_cents=rng.randint(900, 1_500),
        mile_cost=7000,
        price_cents=rng.randint(40_000, 350_000),
    )


def _add_lines(
    rows: _Rows, rng: random.Random, quote: int, option: int | None, tasks: list[int], items: list[int]
) -> None:
    for place, task in enumerate(tasks):
        minutes = rng.randint(0, 30) * 15
        rows.add(
            "labour_line",
            quote_id=quote,
            option_id=option if place == 0 else None,
            task_id=task,
            crew=rng.choice(["owner", "helper"]),
            quantity=1000,
            unit_minutes=minutes * 1000,
            factor_percent=100_000,
            standard_minutes=minutes,
            minutes=minutes,
            rate_cents=rng.randint(3_000, 6_000),
        )
    for place, item in enumerate(items):
        amount = rng.randint(0, 60_000)
        rows.add(
            "material_line",
            quote_id=quote,
            option_id=option if place == 0 else None,
            item_id=item if place < 4 else None,
            description="" if place < 4 else "Odd fitting",
            net_quantity=amount,
            waste_percent=0,
            quantity=amount,
            unit=UNITS[item % 2],
            unit_cost=rng.randint(1, 90_000),
        )
    rows.add(
        "other_line",
        quote_id=quote,
        option_id=None,
        kind=rng.choice(KINDS),
        quantity=rng.randint(1, 40_000),
        unit="each",
        unit_cost=rng.randint(1, 400_000),
    )


def _add_log(
    rows: _Rows,
    rng: random.Random,
    library: dict[str, list[int]],
    job: int,
    opened: date,
    tasks: list[int],
    items: list[int],
) -> None:
    def entry() -> dict[str, Any]:
        return {
            "job_id": job,
            "day": (opened + timedelta(days=rng.randint(1, 5))).isoformat(),
            "unquoted": int(rng.random() < 0.08),
            "cause_id": rng.choice([None, None, *library["cause"]]),
        }

    for _ in range(12):
        rows.add(
            "hours_entry",
            **entry(),
            task_id=rng.choice(tasks),
            person_id=rng.choice([1, 1, 2]),
            minutes=rng.randint(5, 240),
            rate_cents=rng.randint(3_000, 6_000),
            overhead_rate_cents=rng.randint(900, 1_500),
        )
    for _ in range(25):
        item = rng.choice(items)
        odd = rng.random() < 0.1
        rows.add(
            "material_use",
            **entry(),
            item_id=None if odd else item,
            description=rng.choice(["odd fitting", "Straps"]) if odd else "",
            quantity=rng.randint(-4_000, 30_000),
            unit=UNITS[item % 2],
            unit_cost=rng.randint(1, 90_000),
            source="stock",
        )
    for _ in range(2):
        rows.add(
            "other_cost",
            **entry(),
            kind=rng.choice(KINDS),
            quantity=rng.randint(1, 40_000),
            unit="each",
            unit_cost=rng.randint(1, 400_000),
        )
