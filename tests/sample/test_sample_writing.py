"""Writing a made-up company: whole or not at all, over nothing, alike for the same number."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from time import process_time

import pytest
from sqlalchemy import func, select

from db import tables
from db.company_file import open_for_reading
from db.company_file.problems import AlreadyThere, Missing
from db.queries.costing import figures_of_jobs
from db.records import fetch_all
from domain.costing import variance_tree
from domain.jobs import Job
from sample_company import fingerprint, retell, write_sample
from sample_company.read import Slip, read_stories, rows
from sample_company.write import EVENING

ROOT = Path(__file__).resolve().parents[2]


def contents(path: Path) -> list[str]:
    """Every row of every table, as text."""
    with open_for_reading(path) as company, company.raw() as raw:
        return list(raw.iterdump())


def test_the_same_number_gives_the_same_contents(tmp_path: Path) -> None:
    first, second = tmp_path / "first.riserbook", tmp_path / "second.riserbook"
    said = [write_sample(path, 14).replace(path.name, "") for path in (first, second)]
    assert said[0] == said[1]
    assert "14 jobs" in said[0]
    assert contents(first) == contents(second)


def test_a_larger_company_tells_the_stories_of_other_people(tmp_path: Path) -> None:
    path = tmp_path / "large.riserbook"
    told = len(read_stories())
    write_sample(path, told + 9)
    with open_for_reading(path) as company, company.read() as conn:
        jobs = fetch_all(conn, Job, tables.job)
        assert len(jobs) == told + 9
        assert sorted(job.number for job in jobs) == [job.number for job in sorted(jobs, key=lambda job: job.opened_on)]
        assert conn.execute(select(func.count()).select_from(tables.person)).scalar_one() == 6
        names = conn.execute(select(tables.customer.c.name)).scalars().all()
        assert len(names) == len(set(names))
        assert all(variance_tree(figures).balances for figures in figures_of_jobs(conn).values())


def test_a_much_larger_company_has_the_same_cast_every_time() -> None:
    first, second = retell.cast_for(700), retell.cast_for(700)
    assert first == second
    assert len(first.parts) == 700
    assert len({part.story.number for part in first.parts}) == 700
    assert len(first.crews) == 4
    days = [part.story.opened for part in first.parts]
    assert days == sorted(days)
    assert max(days) <= EVENING


@pytest.mark.parametrize("jobs", [1, 2, 9])
def test_a_small_company_is_whole(tmp_path: Path, jobs: int) -> None:
    path = tmp_path / "small.riserbook"
    assert f" {jobs} jobs," in write_sample(path, jobs)
    with open_for_reading(path) as company, company.read() as conn:
        assert conn.execute(select(func.count()).select_from(tables.job)).scalar_one() == jobs
        assert all(variance_tree(figures).balances for figures in figures_of_jobs(conn).values())


@pytest.mark.parametrize("jobs", [150, 300, 600])
def test_other_files_speak_of_the_same_job_in_a_larger_company(jobs: int) -> None:
    """A larger company numbers its jobs anew; a visit to come is booked on the job it was meant for, still open."""
    parts = {part.story.tale: part.story for part in retell.cast_for(jobs).parts if part.story.tale}
    meant = {story.number: story for story in read_stories()}
    assert len(parts) == len(meant)
    for number in {row["job"] for row in rows("visits.csv")} - {""}:
        assert parts[number].title == meant[number].title
        assert parts[number].closed is None
    assert any(story.number != tale for tale, story in parts.items()), "nothing was numbered anew"


@pytest.mark.long
@pytest.mark.parametrize("jobs", [300, 600, 2000])
def test_a_large_company_is_written_whole_and_in_time(tmp_path: Path, jobs: int) -> None:
    path = tmp_path / "large.riserbook"
    began = process_time()
    assert f" {jobs:,} jobs," in write_sample(path, jobs)
    assert process_time() - began <= 0.06 * jobs + 6
    with open_for_reading(path) as company, company.read() as conn:
        assert conn.execute(select(func.count()).select_from(tables.job)).scalar_one() == jobs


def test_a_file_that_is_there_stays_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "mine.riserbook"
    path.write_text("mine")
    with pytest.raises(AlreadyThere):
        write_sample(path, 2)
    assert path.read_text() == "mine"


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(Missing):
        write_sample(tmp_path / "nowhere" / "a.riserbook", 2)


def test_an_interrupted_write_leaves_nothing(tmp_path: Path) -> None:
    def stop(done: int, of: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_sample(tmp_path / "a.riserbook", 6, stop)
    assert list(tmp_path.iterdir()) == []


def test_the_file_is_for_its_owner_and_alone_in_its_folder(tmp_path: Path) -> None:
    path = tmp_path / "a.riserbook"
    write_sample(path, 2)
    if os.name == "posix":
        assert path.stat().st_mode & 0o777 == 0o600
    assert list(tmp_path.iterdir()) == [path]


def test_progress_is_told_to_the_end(tmp_path: Path) -> None:
    steps: list[tuple[int, int]] = []
    write_sample(tmp_path / "a.riserbook", 6, lambda done, of: steps.append((done, of)))
    assert steps == sorted(steps)
    assert steps[-1][0] == steps[-1][1] > 0


def test_a_story_that_cannot_be_is_refused_with_its_number(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    story = next(story for story in read_stories() if story.paid and story.invoiced)
    monkeypatch.setattr(retell, "read_stories", lambda: [replace(story, paid=story.opened)])
    with pytest.raises(Slip, match=story.number):
        write_sample(tmp_path / "a.riserbook")
    assert list(tmp_path.iterdir()) == []


def test_the_fingerprint_tells_when_anything_changed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = fingerprint.fingerprint()
    assert before == fingerprint.fingerprint()
    data = tmp_path / "sample_company" / "data"
    data.mkdir(parents=True)
    (data / "jobs.toml").write_text("a")
    monkeypatch.setattr(fingerprint, "_ROOT", tmp_path)
    one = fingerprint.fingerprint()
    (data / "jobs.toml").write_text("ab")
    two = fingerprint.fingerprint()
    assert len({before, one, two}) == 3


def test_asking_for_the_fingerprint_loads_next_to_nothing() -> None:
    asked = (
        "import sys; from sample_company.fingerprint import fingerprint; fingerprint();"
        "print(sorted({'sqlalchemy', 'alembic', 'csv', 'tomllib', 'decimal'} & set(sys.modules)))"
    )
    told = subprocess.run([sys.executable, "-c", asked], cwd=ROOT, capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
