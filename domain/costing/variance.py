"""Quoted against actual of one job, split so that every cent of the difference has one place.

The formulas are those of standard costing ("Principles of Accounting, Volume 2: Managerial Accounting",
OpenStax, chapter 8), with what was quoted as the standard, favourable positive:

    efficiency or usage = quoted cost - actual amount at the quoted rate
    rate or price       = actual amount at the quoted rate - actual cost

The amount at the quoted rate is rounded once, per task or item; the other terms are sums of lines already in
whole cents. So the two add up to quoted - actual without a remainder.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar

from domain.costing.figures import CALLBACK, JobFigures, LoggedLabour, Material, OtherDirect, QuotedLabour
from domain.costing.tree import CostVariance, ItemVariance, TaskVariance, Unquoted, VarianceTree
from domain.money import round_cents

Key = TypeVar("Key", bound=Hashable)
Row = TypeVar("Row")


def at_quoted_rate(actual: int | Decimal, quoted: int | Decimal, quoted_cents: int) -> int:
    """Cost of the actual minutes or quantity at the rate quoted: actual x quoted cost / quoted, rounded once.

    Nothing quoted has no rate, and allows nothing: 0.
    """
    if not quoted:
        return 0
    return round_cents(Fraction(actual) * quoted_cents / Fraction(quoted))


def variance_tree(figures: JobFigures) -> VarianceTree:
    """Split the difference between quoted and actual margin of a job.

    A quoted task or material that was not logged counts as time or quantity saved. Logged work is unquoted
    when its entry says so or when neither the proposal nor a change order has a line of that task (material
    and unit, kind of cost). Callback tasks stand apart whatever their entries say.
    """
    sold = figures.sold
    quoted_labour = [line for quote in sold for line in quote.labour]
    tasks, unquoted_hours = _labour(
        [line for line in quoted_labour if line.role != CALLBACK],
        [entry for entry in figures.labour if entry.role != CALLBACK],
    )
    items, unquoted_materials = _materials([line for quote in sold for line in quote.materials], figures.materials)
    others, unquoted_others = _others([line for quote in sold for line in quote.others], figures.others)
    own = [entry for entry in figures.labour if entry.own]
    overhead_cents = sum(entry.overhead_cents for entry in figures.labour)
    proposal = figures.proposal
    return VarianceTree(
        quoted_price_cents=proposal.price_cents if proposal else 0,
        quoted_cost_cents=proposal.cost_cents if proposal else 0,
        change_order_price_cents=sum(order.price_cents for order in figures.change_orders),
        change_order_cost_cents=sum(order.cost_cents for order in figures.change_orders),
        goodwill_given_cents=sum(quote.goodwill_cents for quote in sold),
        written_off_cents=figures.write_off_cents,
        actual_cost_cents=sum(entry.cents for entry in figures.labour)
        + sum(use.cents for use in figures.materials)
        + sum(cost.cents for cost in figures.others)
        + overhead_cents
        + figures.purchase_tax_cents,
        tasks=tasks,
        items=items,
        others=others,
        callbacks=_callbacks(quoted_labour, figures.labour),
        unquoted_hours=unquoted_hours,
        unquoted_materials=unquoted_materials,
        unquoted_others=unquoted_others,
        purchase_tax=CostVariance(
            "Sales tax on purchases",
            sum(quote.purchase_tax_cents for quote in sold),
            figures.purchase_tax_cents,
        ),
        overhead=CostVariance("Overhead on the hours", sum(quote.overhead_cents for quote in sold), overhead_cents),
        quoted_minutes=sum(line.minutes for line in quoted_labour),
        actual_minutes=sum(entry.minutes for entry in figures.labour),
        own_minutes=sum(entry.minutes for entry in own),
        own_labour_cents=sum(entry.cents for entry in own),
    )


def _grouped(rows: Iterable[tuple[Key, Row]]) -> dict[Key, list[Row]]:
    groups: dict[Key, list[Row]] = defaultdict(list)
    for key, row in rows:
        groups[key].append(row)
    return groups


def _labour(
    quoted: list[QuotedLabour], logged: list[LoggedLabour]
) -> tuple[tuple[TaskVariance, ...], tuple[Unquoted, ...]]:
    budget = _grouped((line.task_id, line) for line in quoted)
    with_time = {task for task, lines in budget.items() if sum(line.minutes for line in lines)}
    planned = _grouped((e.task_id, e) for e in logged if not e.unquoted and e.task_id in with_time)
    beyond = _grouped((e.task_id, e) for e in logged if e.unquoted or e.task_id not in with_time)
    tasks = []
    for task_id, lines in budget.items():
        entries = planned.get(task_id, [])
        quoted_minutes, quoted_cents = sum(li.minutes for li in lines), sum(li.cents for li in lines)
        actual_minutes = sum(entry.minutes for entry in entries)
        tasks.append(
            TaskVariance(
                task_id=task_id,
                task=lines[0].task,
                quoted_minutes=quoted_minutes,
                actual_minutes=actual_minutes,
                quoted_cents=quoted_cents,
                allowed_cents=at_quoted_rate(actual_minutes, quoted_minutes, quoted_cents),
                actual_cents=sum(entry.cents for entry in entries),
            )
        )
    unquoted = tuple(
        Unquoted(entries[0].task, sum(e.cents for e in entries), sum(e.minutes for e in entries))
        for entries in beyond.values()
    )
    return tuple(tasks), unquoted


def _materials(
    quoted: Iterable[Material], used: Iterable[Material]
) -> tuple[tuple[ItemVariance, ...], tuple[Unquoted, ...]]:
    budget = _grouped((line.key, line) for line in quoted)
    with_amount = {key for key, lines in budget.items() if sum(line.quantity for line in lines)}
    used = list(used)
    planned = _grouped((u.key, u) for u in used if not u.unquoted and u.key in with_amount)
    beyond = _grouped((u.key, u) for u in used if u.unquoted or u.key not in with_amount)
    items = []
    for key, lines in budget.items():
        uses = planned.get(key, [])
        quoted_quantity, actual_quantity = _total(lines), _total(uses)
        quoted_cents = sum(line.cents for line in lines)
        items.append(
            ItemVariance(
                item_id=lines[0].item_id,
                name=lines[0].name,
                unit=lines[0].unit,
                quoted_quantity=quoted_quantity,
                actual_quantity=actual_quantity,
                quoted_cents=quoted_cents,
                allowed_cents=at_quoted_rate(actual_quantity, quoted_quantity, quoted_cents),
                actual_cents=sum(use.cents for use in uses),
            )
        )
    unquoted = tuple(
        Unquoted(uses[0].name, sum(u.cents for u in uses), quantity=_total(uses), unit=uses[0].unit)
        for uses in beyond.values()
    )
    return tuple(items), unquoted


def _total(rows: Iterable[Material]) -> Decimal:
    return sum((row.quantity for row in rows), Decimal(0))


def _others(
    quoted: Iterable[OtherDirect], paid: Iterable[OtherDirect]
) -> tuple[tuple[CostVariance, ...], tuple[Unquoted, ...]]:
    budget = _grouped((line.kind, line.cents) for line in quoted)
    paid = list(paid)
    planned = _grouped((cost.kind, cost.cents) for cost in paid if not cost.unquoted and cost.kind in budget)
    beyond = _grouped((cost.kind, cost.cents) for cost in paid if cost.unquoted or cost.kind not in budget)
    rows = tuple(CostVariance(kind, sum(cents), sum(planned.get(kind, []))) for kind, cents in budget.items())
    return rows, tuple(Unquoted(kind, sum(cents)) for kind, cents in beyond.items())


def _callbacks(quoted: Iterable[QuotedLabour], logged: Iterable[LoggedLabour]) -> tuple[CostVariance, ...]:
    budget = _grouped((line.task_id, line) for line in quoted if line.role == CALLBACK)
    done = _grouped((entry.task_id, entry) for entry in logged if entry.role == CALLBACK)
    rows = []
    for task_id in dict.fromkeys((*budget, *done)):
        lines, entries = budget.get(task_id, []), done.get(task_id, [])
        rows.append(
            CostVariance(
                lines[0].task if lines else entries[0].task,
                sum(line.cents for line in lines),
                sum(entry.cents for entry in entries),
                sum(line.minutes for line in lines),
                sum(entry.minutes for entry in entries),
            )
        )
    return tuple(rows)
