"""Made-up logs as people really keep them: heaped at the estimate, in round values, with far outliers both ways."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from math import exp, log, sqrt
from random import Random

from domain.track_record import Outcome

FIRST_DAY = date(2012, 1, 2)
ROUND_MINUTES = (15, 30, 45, 60, 90, 120, 180, 240, 300, 420, 480, 600, 840, 960, 1440, 2400, 4800)
CONDITIONS = ("mud", "low crawl", "dark")
FARTHEST = log(50)


def quarter_hours(minutes: float) -> int:
    return max(5, 15 * round(minutes / 15))


def unequal(r: Random, groups: int) -> int:
    """One of many groups of very unequal size: the k-th is seen 1/k as often as the first."""
    return r.choices(range(groups), [(k + 1) ** -1.1 for k in range(groups)])[0]


def student(r: Random, degrees: float, scale: float) -> float:
    return scale * r.gauss(0, 1) / sqrt(r.gammavariate(degrees / 2, 2 / degrees))


def office(
    count: int,
    seed: int,
    *,
    exact: float = 0.3,
    exact_differs: float = 0.0,
    types: int = 20,
    type_sd: float = 0.2,
    tasks: int = 6,
    task_sd: float = 0.1,
    shift: float = 0.0,
    drift: float = 0.0,
    degrees: float = 2.5,
    scale: float = 0.5,
    scale_differs: float = 0.0,
    calmer: float = 0.0,
    skew: float = 0.0,
    size: float = 0.0,
    conditions: int = 0,
    not_done: float = 0.0,
    not_quoted: float = 0.0,
    rounded: bool = True,
) -> list[Outcome]:
    """Jobs of one task each, four a day.

    Args:
        exact: the share that took exactly what was estimated; ``exact_differs`` from type to type.
        drift: how far the middle moves from the first to the last; ``calmer``: the part of the noise then gone.
        skew: how much farther the noise goes over than under.
        size: log effect of an estimate e times smaller.
    """
    r = Random(seed)
    type_effects = [r.gauss(0, type_sd) for _ in range(types)]
    task_effects = [[r.gauss(0, task_sd) for _ in range(tasks)] for _ in range(types)]
    scales = [scale * exp(r.gauss(0, scale_differs)) for _ in range(types)]
    shares = [min(0.95, max(0.0, exact + r.gauss(0, exact_differs))) for _ in range(types)]
    found = []
    for i in range(count):
        kind, task = unequal(r, types), unequal(r, tasks)
        quoted = ROUND_MINUTES[min(len(ROUND_MINUTES) - 1, max(0, int(r.gauss(5.5, 3.2))))]
        under = tuple(word for word in CONDITIONS[:conditions] if r.random() < 0.25)
        chance, part = r.random(), i / count
        if chance < not_quoted:
            quoted, actual = 0, r.choice(ROUND_MINUTES[:8])
        elif chance < not_quoted + not_done:
            actual = 0
        elif r.random() < shares[kind]:
            actual = quoted
        else:
            noise = student(r, degrees, scales[kind] * (1 - calmer * part))
            noise *= 1 + skew if noise > 0 else 1 - skew
            middle = shift + type_effects[kind] + task_effects[kind][task] + 0.3 * len(under) + drift * part
            times = middle - size * (log(quoted) - 4.8) + noise
            minutes = quoted * exp(max(-FARTHEST, min(FARTHEST, times)))
            actual = quarter_hours(minutes) if rounded else max(1, round(minutes))
        day = FIRST_DAY + timedelta(i // 4)
        found.append(Outcome(i, f"type {kind}", f"task {task}", under, quoted, actual, day))
    return found


def jobs_of_tasks(count: int, seed: int, *, together: float = 0.25, differs: float = 0.3) -> list[Outcome]:
    """Jobs of one to seven tasks that err partly together; a condition costs another factor in each type."""
    r = Random(seed)
    type_effects = [r.gauss(0.05, 0.2) for _ in range(6)]
    task_effects = [[r.gauss(0, 0.15) for _ in range(10)] for _ in range(6)]
    in_type = {(kind, word): 0.1 + r.gauss(0, differs) for kind in range(6) for word in CONDITIONS[:2]}
    found: list[Outcome] = []
    job = 0
    while len(found) < count:
        kind, common = unequal(r, 6), student(r, 4, together)
        under = tuple(word for word in CONDITIONS[:2] if r.random() < 0.3)
        day, total = FIRST_DAY + timedelta(2 * job), 0
        for task in r.sample(range(10), r.randrange(1, 8)):
            quoted = ROUND_MINUTES[min(len(ROUND_MINUTES) - 1, max(0, int(r.gauss(4.5, 2.5))))]
            total += quoted
            times = type_effects[kind] + task_effects[kind][task] + common + student(r, 3, 0.3)
            times += sum(in_type[kind, word] for word in under)
            actual = quarter_hours(quoted * exp(max(-FARTHEST, min(FARTHEST, times))))
            chance = r.random()
            if chance < 0.28:
                actual = 0 if chance < 0.03 else quoted
            found.append(Outcome(job, f"type {kind}", f"task {task}", under, quoted, actual, day))
        if r.random() < 0.3:
            extra = quarter_hours(total * r.uniform(0.05, 0.4))
            found.append(Outcome(job, f"type {kind}", "extra", under, 0, extra, day))
        job += 1
    return found


OFFICES: dict[str, Callable[[int, int], list[Outcome]]] = {
    "many unequal types": lambda n, seed: office(n, seed, types=25, type_sd=0.15),
    "drift over years": lambda n, seed: office(n, seed, exact=0.25, types=25, type_sd=0.15, shift=0.2, drift=-0.5),
    "the estimate is the truth": lambda n, seed: office(n, seed, exact=0.4, types=25, type_sd=0, task_sd=0, scale=0.6),
    "far outliers both ways": lambda n, seed: office(
        n, seed, exact=0.2, types=12, type_sd=0.05, task_sd=0.02, scale=0.7, degrees=2
    ),
    "one factor is the truth": lambda n, seed: office(
        n, seed, exact=0.05, types=15, type_sd=0, task_sd=0, shift=0.3, scale=0.4
    ),
    "the type is the truth": lambda n, seed: office(
        n, seed, exact=0.1, types=8, type_sd=0.4, task_sd=0, scale=0.35, tasks=1
    ),
    "types unlike in everything": lambda n, seed: office(
        n, seed, exact_differs=0.25, types=60, type_sd=0.3, scale_differs=0.5, tasks=1
    ),
    "nothing quoted, nothing done": lambda n, seed: office(
        n, seed, exact=0.25, types=15, not_done=0.05, not_quoted=0.05, degrees=1.5
    ),
    "over more than under": lambda n, seed: office(n, seed, exact=0.35, type_sd=0.1, shift=-0.15, skew=0.3, size=0.1),
    "smooth, with conditions": lambda n, seed: office(
        n, seed, exact=0, types=5, conditions=3, rounded=False, degrees=5, scale=0.3, task_sd=0.15
    ),
    "calmer every year": lambda n, seed: office(n, seed, exact=0.25, types=10, calmer=0.6, drift=0.3),
    "jobs of several tasks": jobs_of_tasks,
}
