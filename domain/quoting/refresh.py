"""What a draft would change if it were priced today: new prices, rates, standards and access conditions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from domain.firm import DayRates
from domain.library import LabourTask
from domain.money import format_money, format_unit_cost
from domain.quoting.change_words import LOGGED
from domain.quoting.lines import LabourLine, MaterialLine, OtherLine, Quote, QuoteDocument
from domain.quoting.quantities import standard_minutes
from domain.units import format_minutes


@dataclass(frozen=True, slots=True)
class TaskPick:
    """A labour task as it counts on one job: its factor is the product over the job's access conditions."""

    task: LabourTask
    factor_percent: Decimal
    conditions: tuple[str, ...]  # the names of those that make it longer
    weights: tuple[tuple[str, Decimal], ...] = ()  # each condition with its own percentage

    @property
    def why(self) -> str:
        """The conditions in words, for the line's reason: ``low crawl, mud``."""
        return ", ".join(self.conditions)


@dataclass(frozen=True, slots=True)
class DayFigures:
    """Everything a draft takes from the lists, as it stands on one day for one job."""

    rates: DayRates
    tasks: Mapping[int, TaskPick]
    unit_costs: Mapping[int, Decimal | None]  # by item; None: no price yet


@dataclass(frozen=True, slots=True)
class Refresh:
    """One thing that would change: kind is quote, labour, material or other; values are the new columns."""

    kind: str
    row_id: int
    label: str
    before: str
    after: str
    values: dict[str, Any]


def refreshes(document: QuoteDocument, figures: DayFigures) -> tuple[Refresh, ...]:
    """Every difference between a draft and the day's figures; what the owner typed over a standard is kept."""
    return (
        *_header(document.quote, figures.rates),
        *_labour(document.labour, figures),
        *_materials(document.materials, figures),
        *_travel(document.others, document.quote, figures.rates),
    )


def crew_rate(crew: str, owner_cents: int, helper_cents: int) -> int:
    """The hour of whoever does the line."""
    return owner_cents if crew == "owner" else helper_cents


def _header(quote: Quote, rates: DayRates) -> Iterator[Refresh]:
    hours = (
        ("Owner's hour", "owner_rate_cents", quote.owner_rate_cents, rates.owner_cents),
        ("Helper's hour", "helper_rate_cents", quote.helper_rate_cents, rates.helper_cents),
        ("Overhead an hour", "overhead_rate_cents", quote.overhead_rate_cents, rates.overhead_cents),
    )
    for label, column, before, after in hours:
        if before != after:
            yield Refresh("quote", quote.id, label, format_money(before), format_money(after), {column: after})
    if quote.mile_cost != rates.mile_cost:
        yield Refresh(
            "quote", quote.id, "A mile", format_unit_cost(quote.mile_cost), format_unit_cost(rates.mile_cost),
            {"mile_cost": rates.mile_cost},
        )  # fmt: skip


def _labour(lines: tuple[LabourLine, ...], figures: DayFigures) -> Iterator[Refresh]:
    for line in lines:
        pick = figures.tasks.get(line.task_id)
        if pick is None:
            continue
        rate = crew_rate(line.crew, figures.rates.owner_cents, figures.rates.helper_cents)
        factor = line.factor_percent if line.takeoff_key else pick.factor_percent  # by its spaces: the takeoff says it
        same = (line.unit_minutes, line.factor_percent) == (pick.task.standard_minutes, factor)
        if same and line.rate_cents == rate:
            continue
        standard = standard_minutes(line.quantity, pick.task.standard_minutes, factor)
        values: dict[str, Any] = {"rate_cents": rate}
        if not same:
            values |= {
                "unit_minutes": pick.task.standard_minutes,
                "factor_percent": factor,
                "standard_minutes": standard,
                "minutes": standard if line.override_minutes is None else line.override_minutes,
                "reason": line.reason if line.override_minutes is not None or line.takeoff_key else pick.why,
            }
        before = f"{format_minutes(line.standard_minutes)} at {format_money(line.rate_cents)}"
        after = f"{format_minutes(values.get('standard_minutes', line.standard_minutes))} at {format_money(rate)}"
        yield Refresh("labour", line.id, pick.task.name, before, after, values)


def _materials(lines: tuple[MaterialLine, ...], figures: DayFigures) -> Iterator[Refresh]:
    for line in lines:
        now = figures.unit_costs.get(line.item_id) if line.item_id is not None else None
        paid = line.reason.startswith(LOGGED)  # from the log: it stands as it was paid
        if now is not None and now != line.unit_cost and not paid:
            before, after = format_unit_cost(line.unit_cost), format_unit_cost(now)
            yield Refresh("material", line.id, line.description, before, after, {"unit_cost": now})


def _travel(lines: tuple[OtherLine, ...], quote: Quote, rates: DayRates) -> Iterator[Refresh]:
    """Travel lines that stand at the quote's rate for a mile follow it; a price typed by the owner stays."""
    for line in lines:
        follows = line.kind == "travel" and line.unit == "mile" and line.unit_cost == quote.mile_cost
        if follows and line.unit_cost != rates.mile_cost:
            before, after = format_unit_cost(line.unit_cost), format_unit_cost(rates.mile_cost)
            yield Refresh(
                "other", line.id, line.description or "Travel", before, after, {"unit_cost": rates.mile_cost}
            )
