"""Two stories show what the review at closing is for: a task done in the time of another, and one that was not done."""

from __future__ import annotations

from sqlalchemy import Connection, select

from db.queries.margins import all_job_results
from db.queries.track_record import past_work
from db.tables import closing_answer, hours_entry, job, labour_task


def test_both_answers_are_there_and_count_as_fully_logged(sample: Connection) -> None:
    tasks = {row.id: row.name for row in sample.execute(select(labour_task.c.id, labour_task.c.name))}
    answer = closing_answer.c
    found = sample.execute(
        select(job.c.number, answer.job_id, answer.task_id, answer.answer, answer.within_task_id)
        .select_from(closing_answer.join(job, job.c.id == answer.job_id)).order_by(job.c.number)
    ).all()  # fmt: skip
    assert [(one.number, tasks[one.task_id], one.answer, tasks.get(one.within_task_id)) for one in found] == [
        ("26-013", "Paint pipe", "left_out", None),
        ("26-018", "Mock the fan up in place", "within", "Set the fan"),
    ]
    for one in found:
        logged = set(sample.execute(select(hours_entry.c.task_id).where(hours_entry.c.job_id == one.job_id)).scalars())
        assert one.task_id not in logged
    results = {one.number: one.fully_logged for one in all_job_results(sample)}
    assert results["26-013"] is results["26-018"] is True


def test_the_record_learns_from_them_as_they_were_answered(sample: Connection) -> None:
    ids = {row.number: row.id for row in sample.execute(select(job.c.number, job.c.id))}
    hours = [one for one in past_work(sample).hours if one.job in (ids["26-013"], ids["26-018"])]
    names = {(one.job, one.task) for one in hours}
    assert (ids["26-013"], "Paint pipe") not in names  # not done is no fast work
    assert (ids["26-018"], "Mock the fan up in place") not in names  # its time is in that of the fan
    assert (ids["26-018"], "Set the fan") in names
