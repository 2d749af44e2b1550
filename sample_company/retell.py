"""Who and what appears in a company of a given size: the stories themselves, or as many retellings as are asked for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, fields, is_dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random
from typing import Any

from sample_company.read import read_customers, read_houses, read_stories, read_toml
from sample_company.story import Customer, House, Story

SEED = 19


@dataclass(frozen=True, slots=True)
class NewHelper:
    """A helper of a larger firm."""

    name: str
    cost: dict[str, Any]


@dataclass(frozen=True, slots=True)
class Role:
    """A story, the crew that did it, and its house and customer where they are not those of the data files."""

    story: Story
    crew: int = 0
    house: House | None = None
    customer: Customer | None = None


@dataclass(slots=True)
class Cast:
    """Everybody and everything of one company."""

    parts: list[Role]
    crews: list[tuple[str, str]] = field(default_factory=list)  # lead and mate of the second crew and on
    more_helpers: list[NewHelper] = field(default_factory=list)


def cast_for(jobs: int | None) -> Cast:
    """The company of the data files (None), an evenly chosen part of it, or a larger one.

    A larger firm has a crew of two helpers for every further round of the stories; each round tells them of other
    people in other houses, some weeks earlier and at a slightly different pace.
    """
    stories = read_stories()
    if jobs is None:
        return Cast([Role(story) for story in stories])
    if jobs <= len(stories):
        return Cast([Role(stories[place * len(stories) // jobs]) for place in range(jobs)])
    chance = Random(SEED)
    names = read_toml("names.toml")
    cast = Cast([Role(story) for story in stories])
    taken = set(read_customers())
    houses = read_houses()
    earliest = min(_days(story) for story in stories)
    while len(cast.parts) < jobs:
        crew = len(cast.crews) + 1
        cast.crews.append((_new_helper(cast, names, chance, taken), _new_helper(cast, names, chance, taken)))
        busy: set[date] = set()
        for story in stories[: jobs - len(cast.parts)]:
            cast.parts.append(_retold(story, crew, houses[story.house], names, chance, taken, busy, earliest))
    cast.parts = _numbered(cast.parts)
    return cast


def _retold(
    story: Story, crew: int, house: House, names: dict[str, Any], chance: Random, taken: set[str],
    busy: set[date], earliest: date,
) -> Role:  # fmt: skip
    weeks = int(chance.random() * 4)
    while weeks and (_days(story) - timedelta(weeks=weeks) < earliest or busy & _work_days(story, weeks)):
        weeks -= 1
    busy |= _work_days(story, weeks)
    moved: Story = replace(_moved(story, timedelta(weeks=-weeks)), tale="")
    if moved.work:
        pace = (moved.work.pace * (970 + int(chance.random() * 60)) / 1000).quantize(Decimal("0.001"))
        moved = replace(moved, work=replace(moved.work, pace=pace))
    name = _new_name(names, chance, taken)
    street = f"{2 + int(chance.random() * 480)} {_one(names['streets'], chance)}"
    there = replace(house, key=f"{name}, {street}", customer=name, street=street, town=_one(names["towns"], chance))
    mail = f"{name.lower().replace(' ', '.')}@example.org"
    who = Customer(
        name=name, kind="person", phones=(("", f"(294) 555-01{int(chance.random() * 100):02d}"),),
        mails=(("", mail),), billing="", note="", archived=None,
    )  # fmt: skip
    return Role(moved, crew, there, who)


def _days(story: Story) -> date:
    """The story's earliest day."""
    return min((story.opened, *(test.started for test in story.before)))


def _work_days(story: Story, weeks: int) -> set[date]:
    return {day - timedelta(weeks=weeks) for day in (story.work.days if story.work else ())}


def _moved(value: Any, by: timedelta) -> Any:
    """The same with every day of it moved."""
    if isinstance(value, date):
        return value + by
    if isinstance(value, tuple):
        return tuple(_moved(one, by) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{one.name: _moved(getattr(value, one.name), by) for one in fields(value)})
    return value


def _numbered(parts: Iterable[Role]) -> list[Role]:
    """In the order they were opened, with the numbers of their year."""
    counts: dict[int, int] = {}
    ordered = sorted(parts, key=lambda part: (part.story.opened, part.crew, part.story.number))
    renumbered = []
    for part in ordered:
        year = part.story.opened.year
        counts[year] = counts.get(year, 0) + 1
        renumbered.append(replace(part, story=replace(part.story, number=f"{year % 100:02d}-{counts[year]:03d}")))
    return renumbered


def _new_helper(cast: Cast, names: dict[str, Any], chance: Random, taken: set[str]) -> str:
    name = _new_name(names, chance, taken)
    cast.more_helpers.append(NewHelper(name, dict(names["helper_cost"])))
    return name


def _new_name(names: dict[str, Any], chance: Random, taken: set[str]) -> str:
    """A name nobody in this company has yet; with a second given name once the plain ones run short."""
    for attempt in range(1000):
        given = _one(names["given"], chance) + (f" {_one(names['given'], chance)}" if attempt > 5 else "")
        name = f"{given} {_one(names['family'], chance)}"
        if name not in taken:
            taken.add(name)
            return name
    raise ValueError("names.toml has too few names for a firm of this size")


def _one(of: list[str], chance: Random) -> str:
    return of[int(chance.random() * len(of))]
