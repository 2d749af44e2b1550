"""What a value of each column can be: its type, its range, and, where only some words are known, those words."""

from __future__ import annotations

from functools import cache

from sqlalchemy import Boolean, Column, Date, Integer, LargeBinary, String, Table, Text
from sqlalchemy.types import TypeDecorator

MOMENTS = {("action", "made_at"), ("paper", "issued_at"), ("timer", "started_at")}
"""Texts that are moments, ISO 8601."""

NUMBERS = {("own_standard", "value")}
"""Texts that are decimal numbers."""

JSON_TEXTS = {("change", "before"), ("change", "after")}

_LARGEST = 10**13  # cents, thousandths or minutes: no firm of this trade has a figure like it
_MONTH = "GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]'"


def condition(table: Table, column: Column[object]) -> str:
    """The SQL condition a stored value meets; NULL where the column allows it."""
    name = f'"{column.name}"'
    rule = _rule(table.name, column, name)
    return f"({name} IS NULL OR {rule})" if column.nullable else f"({name} IS NOT NULL AND {rule})"


def _rule(table: str, column: Column[object], name: str) -> str:
    kind = column.type
    if isinstance(kind, Boolean):
        return f"(typeof({name}) = 'integer' AND {name} IN (0, 1))"
    if isinstance(kind, Date):
        real = f"date({name}, '+0 days') IS {name}"  # reckoned with, a February 31 becomes a day in March
        return f"(typeof({name}) = 'text' AND length({name}) = 10 AND {real} AND {name} > '0001')"
    if isinstance(kind, LargeBinary):
        return f"typeof({name}) = 'blob'"
    if isinstance(kind, Integer | TypeDecorator):
        least = "1" if column.primary_key else str(-_LARGEST)
        return f"(typeof({name}) = 'integer' AND {name} BETWEEN {least} AND {_LARGEST})"
    if (table, column.name) in JSON_TEXTS:
        return f"(typeof({name}) = 'text' AND json_valid({name}))"
    if (table, column.name) == ("closed_month", "month"):
        return f"(typeof({name}) = 'text' AND {name} {_MONTH})"
    if (words := known_words().get((table, column.name))) is not None:
        listed = ", ".join("'" + word.replace("'", "''") + "'" for word in words)
        return f"(typeof({name}) = 'text' AND {name} IN ({listed}))"
    return f"typeof({name}) = 'text'"


def is_text(column: Column[object]) -> bool:
    """Whether the column holds words."""
    return isinstance(column.type, String | Text)


@cache
def known_words() -> dict[tuple[str, str], tuple[str, ...]]:
    """Columns that hold one of a few words, each list from the room that owns it."""
    from domain.airflow.fittings import METHODS
    from domain.billing.records import INVOICE_KINDS, LINE_KINDS, MEANS, PAYMENT_KINDS
    from domain.bills import BILL_KINDS, BILL_LINE_KINDS, BILL_MEANS, SET_OFF
    from domain.calendar.visits import VISIT_KINDS
    from domain.closeout.records import ANSWERS, OUTCOMES, PHASES
    from domain.job_takeoff.parts import CLASSES
    from domain.job_takeoff.records import READING_KINDS
    from domain.jobs import PARTY_ROLES
    from domain.ledger.roles import ROLES
    from domain.log_entry import SOURCES
    from domain.papers.kinds import PAPER_KINDS
    from domain.price_list import COSTED_BY, ITEM_CLASSES
    from domain.quoting.lines import OTHER_KINDS, PRICINGS, TAX_TREATMENTS
    from domain.routes.route import STATUSES
    from domain.units.radon import BQ, PCI

    taxes = tuple(TAX_TREATMENTS)
    return {
        ("company", "unit_system"): ("us", "metric"),
        ("company", "radon_unit"): (PCI, BQ),
        ("company", "tax_treatment"): taxes,
        ("quote", "tax_treatment"): taxes,
        ("invoice", "tax_treatment"): taxes,
        ("quote", "kind"): ("proposal", "change_order"),
        ("quote", "pricing"): tuple(PRICINGS),
        ("labour_line", "crew"): ("owner", "helper"),
        ("person", "role"): ("owner", "helper"),
        ("labour_task", "role"): ("work", "travel", "callback"),
        ("other_line", "kind"): tuple(OTHER_KINDS),
        ("other_cost", "kind"): tuple(OTHER_KINDS),
        ("material_use", "source"): tuple(SOURCES),
        ("item", "item_class"): tuple(ITEM_CLASSES),
        ("item", "costed_by"): tuple(COSTED_BY),
        ("takeoff_extra", "item_class"): tuple(ITEM_CLASSES),
        ("takeoff_part", "kind"): tuple(CLASSES),
        ("site_reading", "kind"): tuple(READING_KINDS),
        ("air_plan", "method"): tuple(METHODS),
        ("customer", "kind"): ("person", "firm"),
        ("contact", "kind"): ("phone", "mail"),
        ("party", "role"): tuple(PARTY_ROLES),
        ("invoice", "kind"): tuple(INVOICE_KINDS),
        ("invoice_line", "kind"): tuple(LINE_KINDS),
        ("payment", "kind"): tuple(PAYMENT_KINDS),
        ("payment", "means"): tuple(MEANS),
        ("bill", "kind"): tuple(BILL_KINDS),
        ("bill_line", "kind"): tuple(BILL_LINE_KINDS),
        ("bill_payment", "means"): (*BILL_MEANS, SET_OFF),
        ("visit", "kind"): tuple(VISIT_KINDS),
        ("check_point", "phase"): tuple(PHASES),
        ("check_answer", "answer"): tuple(ANSWERS),
        ("defect", "outcome"): tuple(OUTCOMES),
        ("paper", "kind"): tuple(kind.key for kind in PAPER_KINDS),
        ("ledger_account", "role"): tuple(role.key for role in ROLES),
        ("route", "status"): tuple(STATUSES),
        ("radon_test", "purpose"): ("before", "after"),
    }
