"""The owner's lists: added, renamed, moved, archived, and never deleted from under what was done."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

import pytest

from db.commands import library
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.queries import library as lists
from tests.small_company import add_one_job, empty_company, statements


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


def do(company: Company, command: Callable[..., Any], *args: Any, **named: Any) -> Any:
    with company.action(command.__name__) as edit:
        return command(edit, *args, **named)


def ask(company: Company, query: Callable[..., Any], *args: Any, **named: Any) -> Any:
    with company.read() as conn:
        return query(conn, *args, **named)


def test_a_new_entry_comes_last_and_a_name_is_there_once(company: Company) -> None:
    new = do(company, library.add_job_type, "  Monitoring visit ", margin_percent=Decimal(40))
    kinds = ask(company, lists.job_types)
    assert (kinds[-1].id, kinds[-1].name, kinds[-1].margin_percent) == (new, "Monitoring visit", Decimal(40))
    with pytest.raises(Refused, match="in the list already"):
        do(company, library.add_job_type, "MONITORING visit")
    with pytest.raises(Refused, match="needs a name"):
        do(company, library.add_cause, "  ")


def test_moving_keeps_the_others_in_order(company: Company) -> None:
    before = [cause.id for cause in ask(company, lists.causes)]
    do(company, library.move_entry, "cause", before[3], -2)
    after = [cause.id for cause in ask(company, lists.causes)]
    assert after == [before[0], before[3], before[1], before[2], *before[4:]]
    do(company, library.move_entry, "cause", before[0], -5)
    assert [cause.id for cause in ask(company, lists.causes)] == after


def test_an_archived_entry_leaves_the_list_and_comes_back(company: Company) -> None:
    source = ask(company, lists.lead_sources)[0]
    do(company, library.archive_entry, "lead_source", source.id)
    assert source.id not in [one.id for one in ask(company, lists.lead_sources)]
    assert ask(company, lists.lead_sources, archived=True)[-1].archived
    with pytest.raises(Refused, match="in the list already") as refusal:
        do(company, library.add_lead_source, source.name)
    assert "archived" in refusal.value.advice
    do(company, library.restore_entry, "lead_source", source.id)
    assert ask(company, lists.lead_sources)[0] == source


def test_what_jobs_use_is_not_deleted(company: Company) -> None:
    add_one_job(company)
    assert ask(company, lists.used_counts, "job_type") == {2: 1}
    with pytest.raises(Refused, match="used once in jobs") as refusal:
        do(company, library.delete_entry, "job_type", 2)
    assert "Archive" in refusal.value.advice
    assert [kind.id for kind in ask(company, lists.job_types)][:2] == [1, 2]


def test_an_unused_task_goes_with_its_factors_and_usual_lines_and_comes_back(company: Company) -> None:
    slope = next(task for task in ask(company, lists.labour_tasks) if task.name.startswith("Correct the slope"))
    factors, usual = ask(company, lists.task_factors), ask(company, lists.usual_tasks)
    do(company, library.delete_entry, "labour_task", slope.id)
    assert slope.id not in {factor.task_id for factor in ask(company, lists.task_factors)}
    assert slope.id not in {line.part_id for line in ask(company, lists.usual_tasks)}
    company.undo()
    assert (ask(company, lists.task_factors), ask(company, lists.usual_tasks)) == (factors, usual)


def test_a_factor_of_one_is_no_factor(company: Company) -> None:
    def factor() -> list[Decimal]:
        known = ask(company, lists.task_factors)
        return [one.factor_percent for one in known if (one.task_id, one.condition_id) == (1, 1)]

    assert factor() == []
    do(company, library.set_task_factor, 1, 1, Decimal(130))
    do(company, library.set_task_factor, 1, 1, Decimal("142.5"))
    assert factor() == [Decimal("142.50")]
    do(company, library.set_task_factor, 1, 1, Decimal(100))
    assert factor() == []
    with pytest.raises(Refused, match="above 0"):
        do(company, library.set_task_factor, 1, 1, Decimal(0))


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({"unit": " "}, "counted"),
        ({"standard_minutes": Decimal(0)}, "takes some time"),
        ({"role": "play"}, "not one of"),
        ({"name": ""}, "needs a name"),
    ],
)
def test_a_task_that_cannot_be_is_refused(company: Company, values: dict[str, Any], message: str) -> None:
    before = ask(company, lists.labour_tasks)
    with pytest.raises(Refused, match=message):
        do(company, library.change_labour_task, 1, **values)
    assert ask(company, lists.labour_tasks) == before


def test_usual_lines_are_added_once_moved_and_taken_away(company: Company) -> None:
    service = ask(company, lists.job_types)[-1]
    line = do(company, library.add_usual_item, service.id, 5, Decimal(2))
    with pytest.raises(Refused, match="already"):
        do(company, library.add_usual_item, service.id, 5, Decimal(3))
    with pytest.raises(Refused, match="above nothing"):
        do(company, library.change_usual_item, line, Decimal(0))
    second = do(company, library.add_usual_item, service.id, 6, Decimal("1.5"))
    do(company, library.move_usual_item, second, -1)
    assert [one.id for one in ask(company, lists.usual_items, service.id)] == [second, line]
    do(company, library.remove_usual_item, line)
    left = ask(company, lists.usual_items, service.id)
    assert [(one.id, one.quantity) for one in left] == [(second, Decimal("1.5"))]


def test_each_list_takes_one_statement(company: Company) -> None:
    for query in (lists.job_types, lists.labour_tasks, lists.causes, lists.usual_tasks, lists.usual_items):
        assert statements(company, query) == 1
    assert statements(company, lambda conn: lists.used_counts(conn, "labour_task")) == 1
