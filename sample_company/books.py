"""What the teller of the stories looks up over and over: ids by name, prices and rates by day."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal

from sqlalchemy import Connection, Table, select

from db.queries.firm import company_costs, firm, people
from db.records import fetch_all
from db.tables import access_condition, cause, item, item_price, job_type, labour_task, lead_source, supplier
from db.tables import task_factor as factors
from domain.company_costs.rates import CompanyCosts, rates_on
from domain.firm import DayRates, Firm
from domain.library import LabourTask, TaskFactor
from domain.price_list import Item, ItemPrice
from domain.quoting.quantities import combined_factor
from domain.quoting.refresh import TaskPick
from sample_company.story import Many


@dataclass(slots=True)
class Books:
    """The company's lists as they stand after its founding."""

    firm: Firm
    types: dict[str, int]
    conditions: dict[str, int]
    causes: dict[str, int]
    leads: dict[str, int]
    people: dict[str, int]
    owner: int
    region: str
    tasks: dict[str, LabourTask]
    task_names: dict[int, str]
    items: dict[str, Item]
    item_codes: dict[int, str]
    suppliers: dict[int, str]
    costs: CompanyCosts
    _factors: list[TaskFactor]
    _prices: dict[str, list[ItemPrice]]
    _turns: list[date]
    usual: dict[int, tuple[Many, Many]] = field(default_factory=dict)
    _rates: dict[int, DayRates] = field(default_factory=dict)
    _picks: dict[frozenset[str], dict[str, TaskPick]] = field(default_factory=dict)
    minutes: dict[tuple[int, date], int] = field(default_factory=dict)
    """What each person has logged on each day so far."""

    def cause(self, name: str) -> int | None:
        """The id of a cause; None for no cause."""
        return self.causes[name] if name else None

    def rates(self, on: date) -> DayRates:
        """Rates of a day; they only turn on the days when a cost, a tax year or a person begins."""
        turn = bisect_right(self._turns, on)
        if turn not in self._rates:
            self._rates[turn] = rates_on(self.costs, on)
        return replace(self._rates[turn], on=on)

    def price(self, code: str, on: date) -> Decimal:
        """The price in force on a day; before the first one, the first."""
        prices = self._prices[code]
        begun = [price for price in prices if price.starts_on <= on]
        return (begun or prices[:1])[-1].unit_cost

    def picks(self, conditions: Iterable[str]) -> dict[str, TaskPick]:
        """The tasks with the factors they have under these access conditions, by name."""
        wanted = frozenset(conditions)
        if wanted not in self._picks:
            self._picks[wanted] = {name: self._pick(task, wanted) for name, task in self.tasks.items()}
        return self._picks[wanted]

    def _pick(self, task: LabourTask, conditions: frozenset[str]) -> TaskPick:
        names = {self.conditions[name]: name for name in conditions}
        mine = [one for one in self._factors if one.task_id == task.id and one.condition_id in names]
        mine.sort(key=lambda one: one.condition_id)
        return TaskPick(
            task,
            combined_factor(one.factor_percent for one in mine),
            tuple(names[one.condition_id] for one in mine),
        )


def open_books(conn: Connection) -> Books:
    """Read the lists of a founded company."""
    tasks = fetch_all(conn, LabourTask, labour_task)
    items = fetch_all(conn, Item, item)
    codes = {one.id: one.code for one in items}
    prices: dict[str, list[ItemPrice]] = {}
    for price in fetch_all(conn, ItemPrice, item_price, order=(item_price.c.starts_on,)):
        prices.setdefault(codes[price.item_id], []).append(price)
    costs = company_costs(conn)
    return Books(
        firm=firm(conn),
        types=_ids(conn, job_type),
        conditions=_ids(conn, access_condition),
        causes=_ids(conn, cause),
        leads=_ids(conn, lead_source),
        people={one.name: one.id for one in people(conn, archived=True)},
        owner=next(one.id for one in people(conn) if one.role == "owner"),
        region=firm(conn).tax_place.partition(",")[0],
        tasks={one.name: one for one in tasks},
        task_names={one.id: one.name for one in tasks},
        items={one.code: one for one in items},
        item_codes=codes,
        suppliers={row.id: row.name for row in conn.execute(select(supplier.c.id, supplier.c.name))},
        costs=costs,
        _factors=fetch_all(conn, TaskFactor, factors),
        _prices=prices,
        _turns=_turns(costs),
    )


def _ids(conn: Connection, table: Table) -> dict[str, int]:
    return {row.name: row.id for row in conn.execute(select(table.c.id, table.c.name))}


def _turns(costs: CompanyCosts) -> list[date]:
    starts = {row.starts_on for row in costs.person_costs} | {row.starts_on for row in costs.overhead}
    starts |= {row.starts_on for row in costs.overhead_bases} | {row.starts_on for row in costs.mile_costs}
    after = {row.ends_on + timedelta(days=1) for row in costs.overhead if row.ends_on}
    years = {date(year, 1, 1) for year in range(min(starts).year, 2100)}
    return sorted(starts | after | years)
