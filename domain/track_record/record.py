"""The track record: learns from finished jobs and forecasts quotes."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from domain.track_record.backtest import Backtest, backtest_of
from domain.track_record.cases import LastTime, WholeCase, last_jobs, last_times
from domain.track_record.fitting import DEFAULT_SPREAD
from domain.track_record.forecast import Basis, Forecast, LineForecast
from domain.track_record.forward import FEW_JOBS, Knowledge, Walk
from domain.track_record.history import History, pattern_for
from domain.track_record.leaning import WAYS, Standing
from domain.track_record.outcomes import Outcome, QuotedTask, check_minutes, tidy_conditions
from domain.track_record.spread import Curve, Misses
from domain.track_record.unquoted import Unquoted, unquoted_work
from domain.track_record.whole_jobs import USUAL_LIKENESS, Line, add_up
from domain.track_record.why import Why, reasons

_UNLEARNED = Misses()


@dataclass(frozen=True, slots=True)
class Settings:
    """``half_life_days``: after so many days a job weighs half as much in the levels; None: all weigh the same."""

    half_life_days: int | None = None


class TrackRecord:
    """What finished jobs say about the next one. Made by :func:`fit`; never changes."""

    def __init__(self, outcomes: Iterable[Outcome], as_of: date, settings: Settings) -> None:
        self.as_of = as_of
        self.settings = settings
        outcomes = tuple(outcomes)
        self._history = History(outcomes, as_of)
        walk = Walk(self._history, settings.half_life_days)
        self._walk: Walk | None = walk  # until the back-test has been read off it
        self._known = walk.now
        jobs = len(self._history.jobs)
        if jobs > FEW_JOBS and walk.forecast < (jobs - FEW_JOBS) / 2:
            # The days tell too little about what came first; the order given stands in, for widths alone.
            by_order = History(outcomes, as_of, by_order=True)
            self._known = Walk(by_order, settings.half_life_days).now
        self._backtest: Backtest | None = None
        self._type_jobs: dict[str, int] = {}
        self._several: dict[str, int] = {}
        for job in self._history.jobs:
            self._type_jobs[job.job_type] = self._type_jobs.get(job.job_type, 0) + 1
            self._several[job.job_type] = self._several.get(job.job_type, 0) + (job.last - job.first > 1)

    @property
    def jobs(self) -> int:
        """How many finished jobs with quoted time were learned from."""
        return len(self._history.jobs)

    @property
    def lines(self) -> int:
        """How many quoted lines those jobs have."""
        return len(self._history.ratio)

    def outcomes(self) -> Iterator[Outcome]:
        """The jobs learned from, line by line, oldest first: read back from the record, so nobody need keep them."""
        return self._history.outcomes()

    @property
    def left_out(self) -> tuple[Hashable, ...]:
        """Jobs with no quoted minutes at all: there is no quote to compare them with."""
        return tuple(self._history.nothing_quoted)

    @property
    def leaning(self) -> dict[str, float]:
        """The weight of each way of correcting a quote, as past jobs have judged them; empty with too few jobs."""
        return dict(zip(WAYS, self._known.by_job.weights, strict=True)) if self._known else {}

    def unquoted(self, job_type: str) -> Unquoted:
        """What quotes of this type tend to forget."""
        return unquoted_work(self._history.jobs, job_type)

    def last_times(self, job_type: str) -> dict[str, LastTime]:
        """By task, what it took on the last finished job of the type where it took time."""
        return last_times(self._history, job_type)

    def last_jobs(self, job_type: str) -> tuple[WholeCase, ...]:
        """The last few finished jobs of the type, newest first."""
        return last_jobs(self._history, job_type)

    def backtest(self, settings: Settings | None = None) -> Backtest:
        """Every past job forecast from the jobs finished before it was quoted; with other settings to compare."""
        if settings is None or settings == self.settings:
            if self._backtest is None:
                self._backtest = backtest_of(self._walk or Walk(self._history, self.settings.half_life_days))
                self._walk = None
            return self._backtest
        return backtest_of(Walk(self._history, settings.half_life_days))

    def forecast(self, tasks: Sequence[QuotedTask]) -> Forecast:
        """What the record expects of these lines as one quote.

        Lines with no minutes are left out and the note says so. Raises NotUnderstood for minutes below nothing.
        """
        for task in tasks:
            check_minutes(task.quoted_minutes)
        quoted = [task for task in tasks if task.quoted_minutes]
        total = sum(task.quoted_minutes for task in quoted)
        kind = _main_type(quoted or tasks)
        type_jobs = self._type_jobs.get(kind, 0)
        known = self._known
        if known is None:
            basis, curve = Basis.DEFAULT, Curve(total, 0.0, DEFAULT_SPREAD, _UNLEARNED)
        else:
            basis = Basis.OWN_TYPE if type_jobs >= FEW_JOBS else Basis.OTHER_WORK
            curve = self._curve(known, kind, quoted)
        return Forecast(
            quoted_minutes=total,
            job_type=kind,
            basis=basis,
            jobs=self.jobs,
            type_jobs=type_jobs,
            note=_note(basis, self.jobs, type_jobs, len(tasks) - len(quoted), curve),
            lines=tuple(LineForecast(task, self._line_curve(task)) for task in tasks),
            curve=curve,
            _reasons=lambda: self._why(kind, quoted),
        )

    def _curve(self, known: Knowledge, kind: str, quoted: Sequence[QuotedTask]) -> Curve:
        if not quoted:
            return Curve(0, 0.0, DEFAULT_SPREAD, known.by_job.misses)
        if len(quoted) == 1 and self._has_several_lines(kind):
            # One line where such jobs have several: it stands for itself, not for a whole job.
            return self._line_curve(quoted[0])
        lines = [Line(task.quoted_minutes, *known.levels.of(_pattern(task))) for task in quoted]
        if known.whole is None:
            added = add_up(lines)
            pooled, spread = added.middle, added.spread(USUAL_LIKENESS)
        else:
            pooled, spread = known.whole.of(kind, _conditions(quoted), lines)
        return _blended(known.by_job, kind, sum(line.minutes for line in lines), pooled, spread)

    def _line_curve(self, task: QuotedTask) -> Curve:
        if self._known is None:
            return Curve(task.quoted_minutes, 0.0, DEFAULT_SPREAD, _UNLEARNED)
        pooled, spread = self._known.levels.of(_pattern(task))
        return _blended(self._known.by_line, task.job_type, task.quoted_minutes, pooled, spread)

    def _has_several_lines(self, kind: str) -> bool:
        """Whether most jobs of the type, or of all work when it is new, have more than one line."""
        if kind in self._type_jobs:
            return 2 * self._several[kind] > self._type_jobs[kind]
        return 2 * sum(self._several.values()) > self.jobs

    def _why(self, kind: str, quoted: Sequence[QuotedTask]) -> tuple[Why, ...]:
        if self._known is None or not quoted:
            return ()
        return reasons(self._history, self._known.by_job, kind, quoted)


def fit(outcomes: Iterable[Outcome], *, as_of: date, settings: Settings | None = None) -> TrackRecord:
    """Learn from every job finished by ``as_of``; the lines of one job share its ``job``.

    The same outcomes give the same record, always. Raises NotUnderstood for minutes below nothing.
    """
    return TrackRecord(outcomes, as_of, settings or Settings())


def _pattern(task: QuotedTask) -> tuple[str, str, int, tuple[str, ...]]:
    return pattern_for(task.job_type, task.task, task.quoted_minutes, task.conditions)


def _conditions(tasks: Sequence[QuotedTask]) -> set[str]:
    return {condition for task in tasks for condition in tidy_conditions(task.conditions)}


def _blended(standing: Standing, kind: str, quoted: int, pooled: float, spread: float) -> Curve:
    return Curve(quoted, *standing.blend(kind, pooled, spread), standing.misses)


def _main_type(tasks: Sequence[QuotedTask]) -> str:
    """The job type with most quoted minutes."""
    minutes: dict[str, int] = {}
    for task in tasks:
        minutes[task.job_type] = minutes.get(task.job_type, 0) + task.quoted_minutes
    return max(minutes, key=minutes.__getitem__) if minutes else ""


def _note(basis: Basis, jobs: int, type_jobs: int, without_minutes: int, curve: Curve) -> str:
    notes = []
    if not curve.quoted:
        notes.append("No minutes are quoted, so there is nothing to correct.")
    elif basis is Basis.DEFAULT:
        low, high = Curve(10_000, 0.0, curve.spread, curve.misses).band(0.8)
        seen = {0: "No finished jobs yet", 1: "Only 1 finished job"}.get(jobs, f"Only {jobs} finished jobs")
        notes.append(
            f"{seen}: too few to learn from. This is the default band, not your record: "
            f"four jobs in five between {low / 10_000:.2f} and {high / 10_000:.2f} times the quote."
        )
    elif basis is Basis.OTHER_WORK:
        seen = {0: "No finished job", 1: "Only 1 finished job"}.get(type_jobs, f"Only {type_jobs} finished jobs")
        notes.append(f"{seen} of this type: what other work took stands in for it.")
    if without_minutes and curve.quoted:
        lines = "1 line has" if without_minutes == 1 else f"{without_minutes} lines have"
        notes.append(f"{lines} no minutes yet.")
    return " ".join(notes)
