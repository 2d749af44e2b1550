"""What `costing` and `margins` print: figures that add up, as text and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date

import pytest
from sqlalchemy import Connection, text

from db.queries.margins import all_job_results, margins
from desktop.cli_reports import costing_report, margins_report
from domain.costing import GROUPINGS
from domain.money import format_money
from tests.bench.big_company import fill_big_company
from tests.small_company import empty_company

ONE_PARTLY_LOGGED = (
    "UPDATE job SET unanswered = 2 "
    "WHERE id = (SELECT min(id) FROM job WHERE closed_on NOT NULL AND cancelled_on IS NULL)"
)


@pytest.fixture(scope="module")
def conn() -> Iterator[Connection]:
    with empty_company() as made:
        with made.engine.begin() as writing:
            fill_big_company(writing, 50, seed=9, days=500)
            writing.execute(text(ONE_PARTLY_LOGGED))
        with made.read() as reading:
            yield reading


def test_every_job_in_json_adds_up_from_quoted_to_actual_margin(conn: Connection) -> None:
    told = json.loads(costing_report(conn, True))["jobs"]
    results = {job.number: job for job in all_job_results(conn)}
    assert len(told) == len(results)  # each of them was logged on
    for job in told:
        result = results[job["number"]]
        assert job["state"] == ("canceled" if result.cancelled_on else "closed" if result.closed_on else "open")
        assert job["fully_logged"] == result.fully_logged
        assert job["sentence"].endswith(".")
        if job["state"] == "open":  # nobody knows its margin yet, nor where it comes from
            assert job["actual_margin_cents"] is job["variances_cents"] is job["own_hour_cents"] is None
            assert job["still_to_come_cents"] >= 0
            continue
        assert job["still_to_come_cents"] is None
        assert (
            job["quoted_margin_cents"] + sum(job["variances_cents"].values())
            == job["actual_margin_cents"]
            == results[job["number"]].margin_cents
        )
        assert job["revenue_cents"] - job["actual_cost_cents"] == job["actual_margin_cents"]


def test_every_job_in_text_shows_both_margins(conn: Connection) -> None:
    text = costing_report(conn, False)
    assert "Change orders, cost" in text  # beside the hours that hold them
    for job in all_job_results(conn):
        block = next(one for one in text.split("\n\n") if one.startswith(job.number))
        assert f"Quoted margin{format_money(job.quoted_margin_cents):>35}" in block
        last = block.splitlines()[-1].split()
        if job.closed_on is None and job.cancelled_on is None:
            assert last[:3] == ["Still", "to", "come,"], "the margin of an open job is not known"
        else:
            most = ["margin,", "at", "most"] if job.fully_logged is False else ["margin"]
            assert last == ["Actual", *most, format_money(job.margin_cents)]


@pytest.mark.parametrize("by", list(GROUPINGS))
def test_groups_in_json_are_those_of_the_screen(conn: Connection, by: str) -> None:
    told = json.loads(margins_report(conn, by, None, None, True))
    shown = margins(conn, by)
    assert [group["margin_cents"] for group in told["groups"]] == [group.margin_cents for group, _ in shown.groups]
    assert told["total"]["margin_cents"] == shown.total.margin_cents
    assert told["total"]["margin_percent"] == str(shown.total.margin_percent)
    assert told["open_jobs"] == len(shown.running)
    assert told["groups_overlap"] is (by == "access-condition")


def test_a_job_that_was_closed_unanswered_is_marked_in_words_and_left_out_of_praise(conn: Connection) -> None:
    (partly,) = [job for job in all_job_results(conn) if job.fully_logged is False]
    blocks = {one.split()[0]: one.splitlines() for one in costing_report(conn, False).split("\n\n")}
    assert blocks[partly.number][0].endswith(", not fully logged)")
    assert " under" not in blocks[partly.number][1], "what nobody wrote down is not saved"
    assert sum("not fully logged" in lines[0] for lines in blocks.values()) == 1
    assert "1 job not fully logged: counted in money here" in margins_report(conn, "job-type", None, None, False)
    assert json.loads(margins_report(conn, "job-type", None, None, True))["jobs_not_fully_logged"] == 1


def test_groups_in_text_end_with_all_closed_jobs_and_name_the_worst(conn: Connection) -> None:
    text = margins_report(conn, "job-type", None, None, False)
    shown = margins(conn, "job-type")
    table = [line for line in text.split("\n\n")[1].splitlines() if "not fully logged" not in line]
    assert len({len(line) for line in table[1:]}) == 1  # columns line up
    assert table[-1].startswith("All closed jobs")
    assert format_money(shown.total.margin_cents) in table[-1]
    assert "Furthest under the quote" in text
    assert "Not counted:" in text


def test_dates_limit_what_is_told(conn: Connection) -> None:
    to = date(2016, 8, 1)
    told = json.loads(margins_report(conn, "month", None, to, True))
    assert told["to"] == "2016-08-01"
    assert max(group["key"] for group in told["groups"]) <= "2016-08"
    assert "to Aug 1, 2016" in margins_report(conn, "month", None, to, False)
    assert margins_report(conn, "month", None, date(2000, 1, 1), False).startswith("No closed jobs to Jan 1, 2000")


def test_overlapping_groups_are_said_to_overlap(conn: Connection) -> None:
    assert "counts under each" in margins_report(conn, "access-condition", None, None, False)


def test_an_empty_company_says_so() -> None:
    with empty_company() as made, made.read() as conn:
        assert costing_report(conn, False) == "No job has been sold or logged on yet."
        assert json.loads(costing_report(conn, True)) == {"jobs": []}
        assert margins_report(conn, "job-type", None, None, False).startswith("No closed jobs")
