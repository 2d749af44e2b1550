"""What is entered many at a time is the same as entered singly; write-offs; founding data is not offered for undo."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from sqlalchemy import select

from db import tables
from db.commands import log, quotes
from db.commands.firm import pin_evening
from db.commands.jobs import close_job
from db.commands.log_many import NewHours, NewUse, log_whole_day
from db.commands.quotes.many import NewLabour, NewMaterial, add_lines
from db.commands.write_offs import remove_write_off, write_off
from db.company_file.problems import Refused
from db.queries.quotes import task_picks
from db.records import fetch_all
from domain.actuals import HoursEntry, MaterialUse, PriceAdjustment
from domain.price_list import Item
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company


@pytest.fixture
def books() -> QuoteCompany:
    return make_quote_company()


def parts(books: QuoteCompany) -> tuple[list[NewLabour], list[NewMaterial]]:
    with books.company.read() as conn:
        picks = task_picks(conn, books.job_id)[:6]
        items = fetch_all(conn, Item, tables.item)[:6]
    labour = [NewLabour(pick, Decimal(2), "owner" if pick.task.id % 2 else "helper") for pick in picks]
    return labour, [NewMaterial(item, Decimal(7), Decimal("1.25")) for item in items]


def test_lines_added_together_are_those_added_singly(books: QuoteCompany) -> None:
    labour, materials = parts(books)
    quote_id = books.start(usual_lines=False)
    books.do(add_lines, quote_id, labour, materials)
    together = books.document(quote_id)
    books.do(quotes.delete_draft, quote_id)
    quote_id = books.start(usual_lines=False)
    for new in labour:
        books.do(quotes.add_labour, quote_id, new.pick.task.id, new.quantity, crew=new.crew)
    for one in materials:
        books.do(quotes.add_material, quote_id, one.item.id, one.net_quantity, unit_cost=one.unit_cost)
    singly = books.document(quote_id)

    def bare(lines: tuple[object, ...]) -> list[str]:
        return [str(line).replace(f"quote_id={quote_id}", "").split("option_id", 1)[1] for line in lines]

    assert bare(together.labour) == bare(singly.labour)
    assert bare(together.materials) == bare(singly.materials)


def test_lines_go_behind_those_that_are_there_and_onto_an_option(books: QuoteCompany) -> None:
    labour, materials = parts(books)
    quote_id = books.start(usual_lines=False)
    books.do(add_lines, quote_id, labour[:2], materials[:1])
    books.do(add_lines, quote_id, labour[2:3], ())
    option_id = books.do(quotes.add_option, quote_id, "Second pit")
    books.do(add_lines, quote_id, labour[3:4], materials[1:2], option_id=option_id)
    lines = books.document(quote_id).labour
    assert [line.position for line in lines if line.option_id is None] == [0, 1, 2]
    assert [line.option_id for line in books.document(quote_id).materials if line.option_id] == [option_id]


def test_a_sent_quote_takes_no_more_lines(books: QuoteCompany) -> None:
    labour, materials = parts(books)
    quote_id = books.start()
    books.do(quotes.send_quote, quote_id, TODAY)
    before = books.document(quote_id)
    with pytest.raises(Refused):
        books.do(add_lines, quote_id, labour, materials)
    assert books.document(quote_id) == before


def test_one_impossible_line_keeps_all_of_them_out(books: QuoteCompany) -> None:
    labour, materials = parts(books)
    quote_id = books.start(usual_lines=False)
    with pytest.raises(Refused):
        books.do(add_lines, quote_id, [*labour, NewLabour(labour[0].pick, Decimal(-1))], materials)
    assert books.document(quote_id).labour == ()


def hours(books: QuoteCompany, *given: tuple[int, int | None]) -> list[NewHours]:
    task_id, who = books.first_id(tables.labour_task), books.first_id(tables.person)
    return [NewHours(task_id, who, minutes, began) for minutes, began in given]


def test_a_day_entered_at_once_is_the_day_entered_line_by_line(books: QuoteCompany) -> None:
    item_id = books.first_id(tables.item)
    use = NewUse(item_id, "Pipe", Decimal(12), "ft", Decimal("2.5"), "receipt", "A 12", True, None, "wet")
    books.do(log_whole_day, books.job_id, TODAY, hours(books, (90, 480), (45, 570), (20, None)), [use], books.rates())
    for entry in hours(books, (90, 480), (45, 570), (20, None)):
        books.do(
            log.log_hours, books.job_id, TODAY + timedelta(days=7), entry.task_id, entry.person_id, entry.minutes,
            entry.began, rates=books.rates(),
        )  # fmt: skip
    books.do(
        log.log_material, books.job_id, TODAY + timedelta(days=7), item_id, "Pipe", Decimal(12), "ft", Decimal("2.5"),
        "receipt", "A 12", True, None, "wet",
    )  # fmt: skip
    with books.company.read() as conn:
        for record, table in ((HoursEntry, tables.hours_entry), (MaterialUse, tables.material_use)):
            rows = [str(row).split("job_id", 1)[1] for row in fetch_all(conn, record, table)]
            half = len(rows) // 2
            other_day = repr(TODAY + timedelta(days=7))
            assert rows[:half] == [row.replace(other_day, repr(TODAY)) for row in rows[half:]]
            assert half > 0


@pytest.mark.parametrize(
    "given",
    [
        pytest.param(((90, 480), (45, 560)), id="spans that overlap"),
        pytest.param(((800, None), (700, None)), id="more than a day"),
        pytest.param(((0, None),), id="nothing"),
    ],
)
def test_a_day_that_cannot_be_is_refused_whole(books: QuoteCompany, given: tuple[tuple[int, int | None], ...]) -> None:
    with pytest.raises(Refused):
        books.do(log_whole_day, books.job_id, TODAY, hours(books, *given), (), books.rates())
    with books.company.read() as conn:
        assert fetch_all(conn, HoursEntry, tables.hours_entry) == []


def test_what_was_logged_before_counts_too(books: QuoteCompany) -> None:
    books.do(log_whole_day, books.job_id, TODAY, hours(books, (90, 480)), (), books.rates())
    with pytest.raises(Refused, match="overlaps"):
        books.do(log_whole_day, books.job_id, TODAY, hours(books, (30, 500)), (), books.rates())


def test_no_day_after_today(books: QuoteCompany) -> None:
    with pytest.raises(Refused):
        books.do(
            log_whole_day, books.job_id, TODAY + timedelta(days=1), hours(books, (30, None)), (), books.rates(),
            today=TODAY,
        )  # fmt: skip


def test_a_write_off_needs_an_amount_and_a_reason_but_no_open_job(books: QuoteCompany) -> None:
    for cents, reason in ((0, "late"), (-500, "late"), (500, "  ")):
        with pytest.raises(Refused):
            books.do(write_off, books.job_id, TODAY, cents, reason)
    entry_id = books.do(write_off, books.job_id, TODAY, 9_500, " not worth the quarrel ")
    with books.company.read() as conn:
        (kept,) = fetch_all(conn, PriceAdjustment, tables.price_adjustment)
    assert (kept.id, kept.amount_cents, kept.reason, kept.day) == (entry_id, 9_500, "not worth the quarrel", TODAY)
    books.do(close_job, books.job_id, TODAY)
    more = books.do(write_off, books.job_id, TODAY, 100, "more")
    books.do(remove_write_off, entry_id)
    with books.company.read() as conn:
        assert [one.id for one in fetch_all(conn, PriceAdjustment, tables.price_adjustment)] == [more]


def test_a_write_off_can_be_taken_back(books: QuoteCompany) -> None:
    entry_id = books.do(write_off, books.job_id, TODAY, 9_500, "scratch")
    books.do(remove_write_off, entry_id)
    with books.company.read() as conn:
        assert fetch_all(conn, PriceAdjustment, tables.price_adjustment) == []


def test_a_made_up_company_keeps_its_evening(books: QuoteCompany) -> None:
    books.do(pin_evening, date(2026, 11, 12))
    assert books.firm.pinned_today == date(2026, 11, 12)


def test_founding_data_is_saved_named_and_not_offered_for_undo(books: QuoteCompany) -> None:
    with books.company.action("Founding", undoable=False) as edit:
        pin_evening(edit, date(2026, 11, 12))
        edit.add_many(tables.cause, [{"name": "one"}, {"name": "two"}])
    assert books.company.undo_label is None
    assert books.company.undo() is None
    with books.company.read() as conn:
        action_id = conn.execute(select(tables.action.c.id).where(tables.action.c.label == "Founding")).scalar_one()
        kept = select(tables.change.c.id).where(tables.change.c.action_id == action_id)
        assert conn.execute(kept).first() is None
        assert {"one", "two"} <= set(conn.execute(select(tables.cause.c.name)).scalars())
    assert books.firm.pinned_today == date(2026, 11, 12)
