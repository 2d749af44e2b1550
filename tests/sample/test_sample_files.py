"""The data files: every name in them is invented and known, and a slip in them is told with its place."""

from __future__ import annotations

import re
from dataclasses import fields
from pathlib import Path

import pytest
from sqlalchemy import Connection, select

from db import tables
from db.starter.files import settings, table_rows
from sample_company import read
from sample_company.founding import the_firm
from sample_company.money import CLOSING_OFFICE
from sample_company.read import Slip, read_customers, read_houses, read_stories, read_toml, rows
from sample_company.story import Story

STORIES = read_stories()
PHONE = re.compile(r"\((294|396|492)\) 555-01\d\d")  # area codes nobody has, numbers kept for made-up people
MAIL = re.compile(r"[^@\s]+@(example\.(com|net|org)|[a-z]+\.example)")  # kept for examples: RFC 2606


def by_number(story: Story) -> str:
    return story.number


@pytest.mark.parametrize("story", STORIES, ids=by_number)
def test_a_story_names_only_what_the_lists_know(story: Story) -> None:
    tasks = {row["name"] for row in table_rows("tasks.csv")}
    items = {row["code"] for row in table_rows("items.csv")}
    conditions = {row["name"] for row in table_rows("conditions.csv")}
    lists, firm = settings("lists.toml"), the_firm()
    causes = {*lists["causes"], *firm["causes"], ""}
    helpers = {helper["name"] for helper in firm["helper"]} | {""}
    assert story.house in read_houses()
    assert set(story.conditions) <= conditions
    assert story.lead in {*lists["lead_sources"], *firm["leads"]}
    if quote := story.quote:
        assert {*quote.tasks, *quote.minutes, *quote.why, *quote.shared} <= tasks
        assert set(quote.items) <= items
        assert {direct.cause for direct in quote.directs} <= causes
    if work := story.work:
        assert {*work.open_tasks, *(one.task for one in (*work.slow, *work.extras))} <= tasks
        assert {*work.used, *work.open_items, *(one.item for one in work.bought)} <= items
        assert {one.cause for one in (*work.slow, *work.extras, *work.bought, *work.callbacks)} <= causes
        assert work.helper in helpers
        assert all(1 <= one.day <= len(work.days) for one in (*work.extras, *work.bought))


def test_every_house_and_customer_is_used() -> None:
    houses = read_houses()
    assert {story.house for story in STORIES} == set(houses)
    assert {house.customer for house in houses.values()} == set(read_customers())


def test_people_in_the_company_come_from_the_files(sample: Connection) -> None:
    told = set(read_customers())
    assert set(sample.execute(select(tables.customer.c.name)).scalars()) == told
    parties = {party.name for story in STORIES for party in story.parties} | {CLOSING_OFFICE}
    assert set(sample.execute(select(tables.party.c.name)).scalars()) == parties
    firm = the_firm()
    staff = {firm["firm"]["owner_name"], *(helper["name"] for helper in firm["helper"])}
    assert set(sample.execute(select(tables.person.c.name)).scalars()) == staff


def test_streets_towns_and_the_region_come_from_the_files(sample: Connection) -> None:
    places = {(house.street, house.town) for house in read_houses().values()}
    stored = sample.execute(select(tables.property_.c.street, tables.property_.c.town, tables.property_.c.region)).all()
    assert {(row.street, row.town) for row in stored} == places
    assert {row.region for row in stored} == {"Vesterry"}
    assert {town for _, town in places} <= set(read_toml("names.toml")["towns"])
    assert "invented" in sample.execute(select(tables.company.c.tax_place)).scalar_one()


def test_nobody_can_be_called_or_written_to(sample: Connection) -> None:
    contacts = sample.execute(select(tables.contact.c.kind, tables.contact.c.value)).all()
    phones = [row.value for row in contacts if row.kind == "phone"]
    phones += [phone for phone in sample.execute(select(tables.party.c.phone)).scalars() if phone]
    assert [phone for phone in phones if not PHONE.fullmatch(phone)] == []
    assert [row.value for row in contacts if row.kind == "mail" and not MAIL.fullmatch(row.value)] == []
    firm = the_firm()["firm"]
    assert PHONE.fullmatch(firm["phone"])
    assert MAIL.fullmatch(firm["mail"])


def test_customers_do_not_share_a_phone() -> None:
    phones = [value for customer in read_customers().values() for _, value in customer.phones]
    assert len(phones) == len(set(phones))


def test_prices_change_over_the_years(sample: Connection) -> None:
    starts = {row["starts_on"][:4] for row in rows("prices.csv")}
    assert starts == {"2024", "2025", "2026"}
    codes = {row["code"] for row in rows("prices.csv")}
    assert codes <= {row["code"] for row in table_rows("items.csv")}


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder of one's own, empty."""
    monkeypatch.setattr(read, "DATA", tmp_path)
    return tmp_path


STORY = """
["24-001"]
house = "1 Weir Street, Winnock"
type = "New system"
title = "Test"
lead = "Other"
opened = 2024-01-08
"""


def test_a_short_story_can_be_read(files: Path) -> None:
    (files / "jobs-2024.toml").write_text(STORY, encoding="utf-8")
    (story,) = read_stories()
    assert story.number == "24-001"
    assert [field.name for field in fields(story) if getattr(story, field.name)] == [
        "number", "tale", "house", "type", "title", "lead", "opened",
    ]  # fmt: skip


def test_durations_are_written_as_people_type_them(files: Path) -> None:
    more = '["24-001".work]\ndays = [2024-01-15]\nextras = [{ task = "Other work", hours = "2h40" }]\n'
    (files / "jobs-2024.toml").write_text(STORY + more, encoding="utf-8")
    (story,) = read_stories()
    assert story.work is not None
    assert story.work.extras[0].hours == 160


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ('pipe = "blue"', ["24-001", "pipe"]),
        ("note = 3", ["24-001", "note"]),
        ('before = [{ result = "high", started = 2024-01-01, ended = 2024-01-03 }]', ["before", "result"]),
        ("before = [{ result = 4.4, ended = 2024-01-03 }]", ["started", "missing"]),
    ],
)
def test_a_slip_is_told_with_its_place(files: Path, more: str, words: list[str]) -> None:
    (files / "jobs-2024.toml").write_text(STORY + more, encoding="utf-8")
    with pytest.raises(Slip) as slip:
        read_stories()
    assert all(word in str(slip.value) for word in words), str(slip.value)
