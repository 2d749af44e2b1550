"""The same record for materials: quoted against actual cost, in cents, one sum a job."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable
from dataclasses import dataclass, field
from datetime import date

from domain.errors import NotUnderstood
from domain.track_record.forecast import Basis
from domain.track_record.outcomes import Outcome, QuotedTask
from domain.track_record.record import Settings, TrackRecord, fit
from domain.track_record.spread import Curve

_TASK = "materials"


@dataclass(frozen=True, slots=True)
class MaterialOutcome:
    """A finished job's materials: cents quoted at cost, and cents they came to."""

    job: Hashable
    job_type: str
    conditions: Collection[str]
    quoted_cents: int
    actual_cents: int
    finished_on: date
    quoted_on: date | None = None


@dataclass(frozen=True, slots=True)
class MaterialForecast:
    """What materials quoted at ``quoted_cents`` are expected to cost."""

    quoted_cents: int
    basis: Basis
    jobs: int
    note: str
    curve: Curve = field(repr=False)

    @property
    def median_cents(self) -> int:
        return self.curve.at(0.0)

    def quantile(self, p: float) -> int:
        """Cents not gone beyond with chance ``p``, 0 < p < 1."""
        return self.curve.quantile(p)

    def band(self, p: float) -> tuple[int, int]:
        """Cents that hold what happens with chance ``p``, 0 < p < 1."""
        return self.curve.band(p)

    def probability_over(self, cents: int) -> float:
        """The chance that they cost more than ``cents``."""
        return self.curve.probability_over(cents)


@dataclass(frozen=True, slots=True)
class MaterialRecord:
    """What finished jobs say about the cost of materials; the same model as for hours, with no tasks."""

    record: TrackRecord

    def forecast(self, job_type: str, conditions: Collection[str], quoted_cents: int) -> MaterialForecast:
        """What materials quoted at so many cents are expected to cost."""
        _check(quoted_cents)
        found = self.record.forecast([QuotedTask(job_type, _TASK, conditions, quoted_cents)])
        note = found.note
        if not quoted_cents:
            note = "No materials are quoted, so there is nothing to correct."
        return MaterialForecast(quoted_cents, found.basis, found.jobs, note, found.curve)


def fit_materials(
    outcomes: Iterable[MaterialOutcome], *, as_of: date, settings: Settings | None = None
) -> MaterialRecord:
    """Learn from every job finished by ``as_of``. Raises NotUnderstood for cents below nothing."""
    rows = []
    for found in outcomes:
        _check(found.quoted_cents, found.actual_cents)
        rows.append(
            Outcome(
                found.job,
                found.job_type,
                _TASK,
                found.conditions,
                found.quoted_cents,
                found.actual_cents,
                found.finished_on,
                found.quoted_on,
            )
        )
    return MaterialRecord(fit(rows, as_of=as_of, settings=settings))


def _check(*cents: int) -> None:
    if min(cents) < 0:
        raise NotUnderstood("The cost of materials cannot be below zero. Correct the quoted or the actual cost.")
