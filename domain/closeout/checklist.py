"""The checklist of a job: built-in points, what the owner made of them, and the answers given so far."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from domain.closeout.points import CheckPoint
from domain.closeout.records import NOT_APPLICABLE, NOT_OK, OK, PHASES, CheckAnswer, OwnPoint

OWN_SOURCE = "Own point"


@dataclass(frozen=True, slots=True)
class CheckRow:
    """A point and its answer, None while there is none."""

    point: CheckPoint
    answer: CheckAnswer | None

    @property
    def wording(self) -> str:
        """The wording the answer was given to, else that of today."""
        return self.answer.wording if self.answer else self.point.wording

    @property
    def source(self) -> str:
        """The source the answer was given to, else that of today."""
        return self.answer.source if self.answer else self.point.source


@dataclass(frozen=True, slots=True)
class CheckCount:
    """How far a checklist is."""

    points: int
    ok: int
    not_ok: int
    not_applicable: int

    @property
    def open(self) -> int:
        """Points without an answer."""
        return self.points - self.ok - self.not_ok - self.not_applicable

    @property
    def words(self) -> str:
        """``12 of 31 answered, 1 not OK``."""
        text = f"{self.points - self.open} of {self.points} answered"
        return f"{text}, {self.not_ok} not OK" if self.not_ok else text


def points_of(
    built_in: Iterable[CheckPoint], own: Sequence[OwnPoint], job_type_id: int | None, *, with_hidden: bool = False
) -> list[CheckPoint]:
    """The points of a job type: the built-in ones as the owner left them, then the owner's own, phase by phase.

    Args:
        job_type_id: None: those of every job type, for the Company page.
        with_hidden: hidden points too, marked so.
    """
    changed = {one.point_key: one for one in own}
    points: list[CheckPoint] = []
    taken = set()
    for point in built_in:
        taken.add(point.key)
        mine = changed.get(point.key)
        if mine is not None:
            if not _belongs(mine, job_type_id):
                continue
            point = _reworded(point, mine)
        points.append(point)
    for one in sorted(own, key=lambda one: (one.position, one.id)):
        if one.point_key.startswith("own-") and one.point_key not in taken and _belongs(one, job_type_id):
            points.append(
                CheckPoint(one.point_key, one.phase, one.wording, one.source or OWN_SOURCE, True, one.hidden)
            )
    kept = [point for point in points if with_hidden or not point.hidden]
    return sorted(kept, key=lambda point: PHASES.index(point.phase))


def checklist(points: Iterable[CheckPoint], answers: Iterable[CheckAnswer]) -> list[CheckRow]:
    """Points with their answers; an answer whose point is gone or hidden since keeps its place at the end."""
    given = {answer.point_key: answer for answer in answers}
    rows = [CheckRow(point, given.pop(point.key, None)) for point in points]
    rows += [
        CheckRow(CheckPoint(one.point_key, PHASES[-1], one.wording, one.source), one) for one in given.values()
    ]
    return rows


def count(rows: Iterable[CheckRow]) -> CheckCount:
    """How many points there are and how they are answered."""
    answers = [row.answer.answer if row.answer else "" for row in rows]
    return CheckCount(len(answers), answers.count(OK), answers.count(NOT_OK), answers.count(NOT_APPLICABLE))


def _belongs(one: OwnPoint, job_type_id: int | None) -> bool:
    return job_type_id is None or one.job_type_id is None or one.job_type_id == job_type_id


def _reworded(point: CheckPoint, mine: OwnPoint) -> CheckPoint:
    return replace(
        point, wording=mine.wording or point.wording, source=mine.source or point.source,
        phase=mine.phase or point.phase, is_own=bool(mine.wording), hidden=mine.hidden,
    )  # fmt: skip
