"""What the jobs of some days still need: which jobs those are, their quoted materials, and what was used and bought."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from sqlalchemy import BindParameter, Connection, Select, bindparam, case, select

from db.queries.buying.day_jobs import FIRST, LAST, given_days, wanted
from db.queries.buying.truck import truck
from db.queries.log_offers import in_budget
from db.records import columns_of
from db.tables import (
    customer,
    job,
    job_type,
    material_line,
    material_use,
    property_,
    purchase,
    quote,
)
from domain.actuals import MaterialUse
from domain.buying import (
    JobNeed,
    PullSheet,
    Purchase,
    ShoppingList,
    StockRow,
    WorkJob,
    job_needs,
    make_pull_sheet,
    make_shopping_list,
)
from domain.quoting.lines import MaterialLine

_JOBS: BindParameter[Any] = bindparam("jobs", expanding=True)


@dataclass(frozen=True, slots=True)
class DaysWork:
    """The jobs of some days, what each still needs, and the truck: what both lists are made from."""

    first: date
    last: date
    jobs: tuple[WorkJob, ...]
    needs: tuple[JobNeed, ...]
    truck: dict[int, StockRow]  # by item id

    def pull_sheet(self, without: Sequence[int] = ()) -> PullSheet:
        """The pull sheet of these jobs but some."""
        return make_pull_sheet(self.first, self._jobs(without), self.needs, self.truck)

    def shopping_list(self, without: Sequence[int] = ()) -> ShoppingList:
        """The shopping list of these jobs but some."""
        return make_shopping_list(self.first, self.last, self._jobs(without), self.needs, self.truck)

    def _jobs(self, without: Sequence[int]) -> list[WorkJob]:
        return [one for one in self.jobs if one.job_id not in without]


def days_work(conn: Connection, first: date, last: date, today: date) -> DaysWork:
    """Accepted jobs scheduled from `first` to `last`, and those begun before that likely go on; in five statements.

    The truck and its prices are today's.
    """
    given = given_days(first, last)
    jobs = tuple(WorkJob(*row) for row in conn.execute(_work_jobs(), given))
    ids = {"jobs": [one.job_id for one in jobs]}
    lines: dict[int, list[MaterialLine]] = defaultdict(list)
    uses: dict[int, list[MaterialUse]] = defaultdict(list)
    bought: dict[int, list[Purchase]] = defaultdict(list)
    for row in conn.execute(_lines(), ids):
        lines[row[0]].append(MaterialLine(*row[1:]))
    for row in conn.execute(_uses(), ids):
        uses[row.job_id].append(MaterialUse(*row))
    for row in conn.execute(_bought(), ids):
        bought[row.job_id].append(Purchase(*row))
    needs = [
        need
        for one in jobs
        for need in job_needs(one.job_id, lines[one.job_id], uses[one.job_id], bought[one.job_id])
    ]
    return DaysWork(first, last, jobs, tuple(needs), {row.item.id: row for row in truck(conn, today)})


@cache  # here and below: putting a statement together takes longer than SQLite takes to run it
def _work_jobs() -> Select[Any]:
    goes_on = case((job.c.scheduled_on.between(FIRST, LAST), False), else_=True)
    return (
        select(
            job.c.id, job.c.number, customer.c.name, case((job.c.title != "", job.c.title), else_=job_type.c.name),
            property_.c.street, job.c.scheduled_on, goes_on,
        )
        .join(customer, customer.c.id == job.c.customer_id)
        .join(job_type, job_type.c.id == job.c.job_type_id)
        .join(property_, property_.c.id == job.c.property_id)
        .where(wanted())
        .order_by(goes_on.desc(), job.c.scheduled_on, job.c.id)
    )  # fmt: skip


@cache
def _lines() -> Select[Any]:
    order = (case((quote.c.kind == "proposal", 0), else_=1), quote.c.version, material_line.c.position)
    return (
        select(quote.c.job_id, *columns_of(material_line, MaterialLine))
        .where(in_budget(material_line), quote.c.job_id.in_(_JOBS))
        .order_by(quote.c.job_id, *order, material_line.c.id)
    )


@cache
def _uses() -> Select[Any]:
    return (
        select(*columns_of(material_use, MaterialUse))
        .where(material_use.c.job_id.in_(_JOBS))
        .order_by(material_use.c.day, material_use.c.id)
    )


@cache
def _bought() -> Select[Any]:
    return (
        select(*columns_of(purchase, Purchase))
        .where(purchase.c.job_id.in_(_JOBS), ~purchase.c.onto_truck)
        .order_by(purchase.c.day, purchase.c.id)
    )
