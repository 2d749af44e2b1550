"""A proposal says it will do what is on the quote; the owner's own words stay, and he is told what they name beyond."""

from __future__ import annotations

import pytest

from db import tables
from db.commands import library, quotes, takeoff
from db.commands.quotes import set_printing, set_texts
from db.queries.proposals import proposal_facts
from db.records import fetch_all
from domain.library import JobType, LabourTask
from domain.quoting.doubts import doubts_before_sending
from domain.quoting.proposal import proposal
from domain.quoting.scope import listed_work, not_quoted
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company
from tests.db.test_reconciling import JOB_TYPES, NEW, OFF, of_type, rework, rows_of, take

PROMISED = "We remove the old pipe, dig out the old suction point and correct the slope of the pipe at every joint."


def scope(shop: QuoteCompany, quote_id: int) -> str:
    with shop.company.read() as conn:
        return proposal(proposal_facts(conn, quote_id)).scope


def tasks_of(shop: QuoteCompany) -> dict[int, LabourTask]:
    with shop.company.read() as conn:
        return {task.id: task for task in fetch_all(conn, LabourTask, tables.labour_task)}


def test_what_was_switched_off_is_promised_nowhere() -> None:
    shop = rework()
    quote_id = take(shop).quote_id
    said = scope(shop, quote_id)
    assert "slope" not in said, "none of the old pipe stays"
    assert "- Run pipe in crawl space" in said
    assert "- Run pipe in basement" not in said
    assert "Travel" not in said
    assert said.index("- Remove old pipe") < said.index("- Set the fan") < said.index("- Clean-up"), "as it is done"
    dug = next(row for row in rows_of(shop).rows if row.standing and row.standing.name.startswith("Dig out"))
    take(shop, answers={dug.key: OFF})
    assert "suction point" not in scope(shop, quote_id)
    shop.do(set_printing, quote_id, lists_work=False)
    assert scope(shop, quote_id) == shop.document(quote_id).quote.scope_text


@pytest.mark.parametrize("name", JOB_TYPES)
def test_every_point_is_a_line_and_the_words_before_promise_none(name: str) -> None:
    shop = of_type(name)
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", NEW)
    quote_id = take(shop).quote_id
    document, tasks = shop.document(quote_id), tasks_of(shop)
    points = {line.removeprefix("- ") for line in scope(shop, quote_id).splitlines() if line.startswith("- ")}
    assert points == {tasks[one.task_id].name for one in document.labour if tasks[one.task_id].role == "work"}
    with shop.company.read() as conn:
        begins = {kind.name: kind.scope_text for kind in fetch_all(conn, JobType, tables.job_type)}
    assert not_quoted(begins[name], document, tasks.values()) == ()


def test_the_owners_words_stay_and_he_is_told_what_they_name_beyond_the_quote() -> None:
    shop = rework()
    quote_id = take(shop).quote_id
    shop.do(set_texts, quote_id, scope_text=PROMISED)
    document, tasks = shop.document(quote_id), tasks_of(shop)
    dug = "Dig out the old suction point"  # a new pit is dug instead
    assert not_quoted(PROMISED, document, tasks.values()) == (dug, "Correct the slope at joints")
    assert any("Correct the slope" in one for one in doubts_before_sending(document, tested=True, tasks=tasks))
    assert scope(shop, quote_id).startswith(PROMISED)
    shop.do(quotes.add_labour, quote_id, shop.id_of(tables.labour_task, "Correct the slope at joints"), 3)
    assert not_quoted(PROMISED, shop.document(quote_id), tasks.values()) == (dug,)


def test_a_sent_paper_keeps_what_it_said_and_its_revision_follows_the_lines() -> None:
    shop = make_quote_company()
    quote_id = shop.start()
    said = scope(shop, quote_id)
    shop.do(quotes.send_quote, quote_id, TODAY)
    paint = shop.id_of(tables.labour_task, "Paint pipe")
    shop.do(library.change_labour_task, paint, name="Something else")
    assert scope(shop, quote_id) == said
    again = shop.do(quotes.revise_quote, quote_id, TODAY)
    assert "- Something else" in scope(shop, again)
    document = shop.document(again)
    line = next(one for one in document.labour if one.task_id == paint)
    shop.do(quotes.remove_line, "labour", line.id)
    assert "Something else" not in scope(shop, again)
    assert scope(shop, quote_id) == said


def test_an_option_is_no_part_of_the_base_until_it_is_chosen() -> None:
    shop = make_quote_company()
    quote_id = shop.start()
    option = shop.do(quotes.add_option, quote_id, "Paint the pipe")
    document = shop.document(quote_id)
    line = next(one for one in document.labour if tasks_of(shop)[one.task_id].name == "Paint pipe")
    shop.do(quotes.change_labour, line.id, option_id=option)
    assert "- Paint pipe" not in listed_work(shop.document(quote_id), tasks_of(shop))
    shop.do(quotes.send_quote, quote_id, TODAY)
    assert "Paint" not in scope(shop, quote_id)
    shop.do(quotes.accept_quote, quote_id, TODAY, {option})
    assert scope(shop, quote_id).endswith("- Option chosen: Paint the pipe")
