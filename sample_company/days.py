"""Turns a quote and what the story says about the work into days: who did what for how long."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from random import Random

from domain.quoting.lines import LabourLine
from sample_company.story import Slow, Story, Work

STEP = 5  # minutes; people log no finer
ORDINARY = Slow(task="", times=Decimal(1))
_SPLIT_FROM = 75  # a task is carried over to the next day when this much of it is left, in minutes


@dataclass(frozen=True, slots=True)
class Stint:
    """One person's time on one task on one day."""

    task: str
    helper: bool
    minutes: int
    cause: str = ""
    note: str = ""
    unquoted: bool = False


def work_days(story: Story, lines: Sequence[LabourLine], names: dict[int, str]) -> list[list[Stint]]:
    """The stints of each work day, in the order they were done; travel first, unquoted work where the story puts it."""
    work = story.work or Work(used={})
    days: list[list[Stint]] = [[] for _ in work.days]
    quoted = [(names[line.task_id], line) for line in lines]
    for helper in (False, True):
        todo = [
            _stint(story, work, name, line)
            for name, line in quoted
            if name != "Travel" and name not in work.open_tasks and _by_helper(work, line) == helper
        ]
        beyond = [
            sum(extra.hours for extra in work.extras if extra.day == day and extra.helper == helper)
            for day in range(1, len(days) + 1)
        ]
        for day, stints in enumerate(_spread([stint for stint in todo if stint.minutes], beyond)):
            days[day] += [*_travel(story, work, quoted, day, helper), *stints]
    for extra in work.extras:
        days[extra.day - 1].append(
            Stint(extra.task, extra.helper, extra.hours, extra.cause, extra.note, extra.marked)
        )
    return days


def wobble(*about: object) -> int:
    """How an ordinary thing comes out, in thousandths: peaked at 1000, between 840 and 1160, the same every time."""
    chance = Random("/".join(map(str, about)))
    return 1000 + int((chance.random() + chance.random() - 1) * 160)


def _by_helper(work: Work, line: LabourLine) -> bool:
    return line.crew == "helper" and bool(work.helper)


def _stint(story: Story, work: Work, name: str, line: LabourLine) -> Stint:
    told = next((slow for slow in work.slow if slow.task == name), None)
    times = work.pace if told is None else told.times
    minutes = line.minutes * times * wobble(story.number, name, line.crew) / 1000
    slow = told or ORDINARY
    return Stint(name, _by_helper(work, line), _in_steps(minutes), slow.cause, slow.note)


def _in_steps(minutes: Decimal) -> int:
    return max(STEP, round(minutes / STEP) * STEP) if minutes else 0


def _travel(
    story: Story, work: Work, quoted: list[tuple[str, LabourLine]], day: int, helper: bool
) -> list[Stint]:
    """The way there and back, as long each day as it was quoted for one."""
    visits = story.quote.visits if story.quote else 1
    return [
        Stint("Travel", helper, _in_steps(line.minutes * work.pace * wobble(story.number, "way", day) / 1000 / visits))
        for name, line in quoted
        if name == "Travel" and _by_helper(work, line) == helper and "Travel" not in work.open_tasks
    ]


def _spread(stints: list[Stint], beyond: list[int]) -> list[list[Stint]]:
    """Fill the days about evenly in the order of the work; a long task goes on the next morning.

    Args:
        beyond: minutes of unquoted work on each day, which leave less room for the quoted.
    """
    spread: list[list[Stint]] = [[] for _ in beyond]
    if not beyond:
        return spread
    last = len(beyond) - 1
    share = -(-(sum(stint.minutes for stint in stints) + sum(beyond)) // len(beyond))
    day, room = 0, share - beyond[0]
    for stint in stints:
        while day < last and stint.minutes - room >= _SPLIT_FROM:
            now = max(room, 0) // STEP * STEP
            if now >= _SPLIT_FROM:
                spread[day].append(replace(stint, minutes=now))
                stint = replace(stint, minutes=stint.minutes - now)
            day += 1
            room = share - beyond[day]
        spread[day].append(stint)
        room -= stint.minutes
        if room <= 0 and day < last:
            day += 1
            room = share - beyond[day]
    return spread
