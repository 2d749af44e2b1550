"""Made-up histories from known models, to hold the track record against. Same seed, same history."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from math import exp, log, sqrt
from random import Random

from domain.track_record import Outcome

FIRST_DAY = date(2020, 1, 6)
LATER = date(2100, 1, 1)
Noise = Callable[[Random], float]


def laplace(mean_size: float) -> Noise:
    return lambda r: r.choice((-1, 1)) * r.expovariate(1 / mean_size)


def normal(sd: float) -> Noise:
    return lambda r: r.gauss(0, sd)


def t_two(scale: float) -> Noise:
    """Student's t with 2 degrees of freedom: a variance that does not exist."""
    return lambda r: scale * r.gauss(0, 1) / sqrt(r.expovariate(1.0))


def skewed(r: Random) -> float:
    """Never far under, often far over."""
    return log(0.7 + r.expovariate(2))


def lines(
    count: int,
    seed: int,
    noise: Noise,
    *,
    types: int = 4,
    tasks: int = 5,
    type_sd: float = 0.2,
    task_sd: float = 0.1,
    condition: float = 0.15,
    drift: float = 0.0,
    as_quoted: float = 0.0,
    size: float = 0.0,
    calmer: float = 0.0,
    a_day: int = 1,
) -> list[Outcome]:
    """Jobs of one line.

    Args:
        condition: log effect of each of two access conditions, each on a quarter of the jobs.
        drift: how far the middle moves from the first job to the last.
        as_quoted: the share of jobs that took exactly the quoted time.
        size: log effect of a quote e times larger.
        calmer: the part of the noise gone by the last job.
    """
    r = Random(seed)
    type_effects = [r.gauss(0.1, type_sd) for _ in range(types)]
    task_effects = [[r.gauss(0, task_sd) for _ in range(tasks)] for _ in range(types)]
    found = []
    for i in range(count):
        kind = min(r.randrange(types), r.randrange(types))
        task = min(r.randrange(tasks), r.randrange(tasks))
        quoted = max(5, round(exp(r.gauss(4.8, 0.9))))
        under = [word for word in ("mud", "low crawl") if r.random() < 0.25] if condition else []
        if r.random() < as_quoted:
            error = 0.0
        else:
            middle = type_effects[kind] + task_effects[kind][task] + condition * len(under) + drift * i / count
            error = middle - size * (log(quoted) - 4.8) + noise(r) * (1 - calmer * i / count)
        day = FIRST_DAY + timedelta(i // a_day)
        found.append(
            Outcome(i, f"type {kind}", f"task {task}", tuple(under), quoted, max(1, round(quoted * exp(error))), day)
        )
    return found


def whole_jobs(
    count: int, seed: int, noise: Noise, *, types: int = 5, alike: float = 0.2, forgotten: float = 0.3
) -> list[Outcome]:
    """Jobs of two to nine lines that err partly together, with work not done and work not quoted.

    Args:
        alike: standard deviation of what the lines of one job have in common.
        forgotten: the chance of unquoted work, of 5 to 40% of the quoted time.
    """
    r = Random(seed)
    type_effects = [r.gauss(0.1, 0.2) for _ in range(types)]
    task_effects = [[r.gauss(0, 0.15) for _ in range(12)] for _ in range(types)]
    found = []
    for i in range(count):
        kind, common = min(r.randrange(types), r.randrange(types)), r.gauss(0, alike)
        under = tuple(word for word in ("mud", "low crawl") if r.random() < 0.25)
        day = FIRST_DAY + timedelta(3 * i)
        total = 0
        for task in r.sample(range(12), r.randrange(2, 10)):
            quoted = max(10, 5 * round(exp(r.gauss(4.2, 0.8)) / 5))
            total += quoted
            error = type_effects[kind] + task_effects[kind][task] + common + 0.12 * len(under) + noise(r)
            actual = 0 if r.random() < 0.03 else 5 * round(quoted * exp(error) / 5)
            found.append(Outcome(i, f"type {kind}", f"task {task}", under, quoted, actual, day))
        if r.random() < forgotten:
            found.append(Outcome(i, f"type {kind}", "extra", under, 0, round(total * r.uniform(0.05, 0.4)), day))
    return found


World = Callable[[int, int], list[Outcome]]
"""A history of so many lines from a seed."""

WORLDS: dict[str, World] = {
    "two-sided exponential": lambda n, seed: lines(n, seed, laplace(0.35)),
    "normal": lambda n, seed: lines(n, seed, normal(0.4)),
    "t with 2 degrees": lambda n, seed: lines(n, seed, t_two(0.25)),
    "four in ten as quoted": lambda n, seed: lines(n, seed, laplace(0.5), as_quoted=0.4),
    "as quoted, types alike": lambda n, seed: lines(
        n, seed, laplace(0.5), as_quoted=0.35, type_sd=0, task_sd=0, condition=0, types=3
    ),
    "nothing to learn": lambda n, seed: lines(
        n, seed, lambda r: laplace(0.35)(r) - 0.1, type_sd=0, task_sd=0, condition=0
    ),
    "skewed": lambda n, seed: lines(n, seed, skewed),
    "never under": lambda n, seed: lines(
        n, seed, lambda r: r.expovariate(2.5), as_quoted=0.4, type_sd=0.02, task_sd=0, condition=0
    ),
    "drifting": lambda n, seed: lines(n, seed, laplace(0.3), drift=0.6),
    "calmer with time": lambda n, seed: lines(n, seed, laplace(0.5), calmer=0.5),
    "one type, one task": lambda n, seed: lines(n, seed, laplace(0.35), types=1, tasks=1, condition=0),
    "small quotes run over": lambda n, seed: lines(n, seed, laplace(0.35), size=0.2),
    "many small groups": lambda n, seed: lines(n, seed, laplace(0.35), types=25, tasks=10),
    "several jobs a day": lambda n, seed: lines(n, seed, laplace(0.4), as_quoted=0.3, a_day=4, types=3, tasks=20),
    "jobs of many lines": lambda n, seed: whole_jobs(n // 3, seed, laplace(0.25)),
}


def one_firm(
    count: int, seed: int, *, a_year: int = 120, drift_from: int = 240, drift_a_year: float = 0.0, both: float = 0.0
) -> list[Outcome]:
    """Whole jobs of one contractor, quoted three weeks before they are finished.

    Args:
        drift_from, drift_a_year: from this job on the middle moves by so much a year (0.34: two fifths).
        both: log effect, on one task alone, of a finished basement on the first type, beyond what either costs.
    """
    r = Random(seed)
    type_effects = [r.gauss(0.1, 0.15) for _ in range(4)]
    task_effects = [[r.gauss(0, 0.12) for _ in range(8)] for _ in range(4)]
    found = []
    for i in range(count):
        kind, common = min(r.randrange(4), r.randrange(4)), r.gauss(0, 0.15)
        under = tuple(word for word in ("finished basement", "mud") if r.random() < 0.3)
        common += 0.12 * len(under) + max(0, i - drift_from) / a_year * drift_a_year
        finished = FIRST_DAY + timedelta(365 * i // a_year)
        for task in r.sample(range(8), r.randrange(2, 7)):
            quoted = max(10, 5 * round(exp(r.gauss(4.2, 0.8)) / 5))
            error = type_effects[kind] + task_effects[kind][task] + common + laplace(0.22)(r)
            if both and kind == 0 and "finished basement" in under and task < 3:
                error += both
            actual = 5 * round(quoted * exp(error) / 5)
            days = finished, finished - timedelta(21)
            found.append(Outcome(i, f"type {kind}", f"task {task}", under, quoted, actual, *days))
    return found
