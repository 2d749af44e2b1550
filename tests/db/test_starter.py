"""A new company starts with a whole, usable library: nothing half filled in, nothing pointing nowhere."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import create_engine, func, select
from sqlalchemy.pool import StaticPool

from db import tables
from db.company_file.company import Company
from db.records import fetch_all
from db.starter import fill_new_company
from domain.firm import Firm, MileCost
from domain.library import AccessCondition, JobType, LabourTask
from domain.price_list import ITEM_CLASSES, Item

DAY = date(2024, 3, 4)


@pytest.fixture(scope="module")
def company() -> Iterator[Company]:
    engine = create_engine("sqlite://", poolclass=StaticPool)
    tables.METADATA.create_all(engine)
    made = Company(Path(":memory:"), engine)
    with made.action("New company") as edit:
        fill_new_company(edit, "Heron Hill Radon", "Ada Quill", DAY)
    yield made
    made.close()


def test_the_firm_is_there_once_with_its_texts(company: Company) -> None:
    with company.read() as conn:
        (firm,) = fetch_all(conn, Firm, tables.company)
    assert (firm.id, firm.name, firm.owner_name) == (1, "Heron Hill Radon", "Ada Quill")
    texts = (firm.not_included_text, firm.warranty_text, firm.above_action_text, firm.caution_text, firm.terms_text)
    assert all(text and text == text.strip() for text in texts)
    assert firm.tax_treatment == "none"


def test_every_agreed_job_type_is_there_and_starts_from_lines(company: Company) -> None:
    with company.read() as conn:
        types = fetch_all(conn, JobType, tables.job_type)
        with_tasks = set(conn.execute(select(tables.job_type_task.c.job_type_id)).scalars())
        with_items = set(conn.execute(select(tables.job_type_item.c.job_type_id)).scalars())
    assert [entry.name for entry in types] == [
        "New system", "Rework of an existing system", "Crawl-space membrane", "Fan replacement",
        "Passive activation", "Sump or drain-tile system", "Small multi-family", "Service call",
    ]  # fmt: skip
    assert with_tasks == {entry.id for entry in types}
    assert with_items == {entry.id for entry in types if entry.name != "Service call"}
    assert all(entry.scope_text for entry in types)


def test_tasks_have_time_and_known_roles(company: Company) -> None:
    with company.read() as conn:
        tasks = fetch_all(conn, LabourTask, tables.labour_task)
    assert {task.role for task in tasks} == {"work", "travel", "callback"}
    assert all(task.standard_minutes > 0 and task.unit for task in tasks)
    names = {task.name for task in tasks}
    assert {
        "Assess what is there", "Remove old pipe", "Mock the fan up in place",
        "Correct the slope at joints", "Dig out the old suction point",
    } <= names  # fmt: skip
    assert len(names) == len(tasks)


def test_every_condition_makes_some_task_longer_and_warns(company: Company) -> None:
    with company.read() as conn:
        conditions = fetch_all(conn, AccessCondition, tables.access_condition)
        shortest = conn.execute(
            select(tables.task_factor.c.condition_id, func.min(tables.task_factor.c.factor_percent)).group_by(
                tables.task_factor.c.condition_id
            )
        ).all()
    assert {condition.id for condition in conditions} == {row[0] for row in shortest}
    assert all(row[1] > 100 for row in shortest)
    assert all(condition.caution for condition in conditions)


def test_every_item_has_a_price_a_unit_and_a_class(company: Company) -> None:
    with company.read() as conn:
        items = fetch_all(conn, Item, tables.item)
        priced = set(conn.execute(select(tables.item_price.c.item_id)).scalars())
        cheapest = conn.execute(select(func.min(tables.item_price.c.unit_cost))).scalar_one()
    assert len(items) >= 90
    assert priced == {entry.id for entry in items}
    assert cheapest > 0
    assert {entry.item_class for entry in items} == set(ITEM_CLASSES) - {"other"}
    assert all(entry.unit and entry.pack_quantity > 0 and entry.supplier_id for entry in items)


def test_a_mile_costs_the_rate_of_its_year(company: Company) -> None:
    with company.read() as conn:
        miles = fetch_all(conn, MileCost, tables.mile_cost)
    assert [(row.starts_on, row.unit_cost) for row in miles][:2] == [
        (date(2024, 1, 1), Decimal("0.6700")), (date(2025, 1, 1), Decimal("0.7000")),
    ]  # fmt: skip


def test_the_whole_library_is_undone_at_once(company: Company) -> None:
    assert company.undo() == "New company"
    with company.read() as conn:
        assert conn.execute(select(func.count()).select_from(tables.item)).scalar_one() == 0
    assert company.redo() == "New company"
