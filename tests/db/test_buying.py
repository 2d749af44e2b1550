"""The truck, the lists and the price report in a company file: what commands write, what the questions answer."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal

import pytest
from sqlalchemy import select

from db.commands import buying
from db.commands.jobs import cancel_job, mark_installed, schedule_job
from db.commands.log import log_hours, log_material
from db.commands.price_list import add_item, change_item, delete_item, delete_supplier, set_price
from db.commands.quotes import accept_quote, send_quote
from db.commands.quotes.lines import add_material
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.queries.buying.day_jobs import count_of_jobs
from db.queries.buying.needs import DaysWork, days_work
from db.queries.buying.price_changes import price_report
from db.queries.buying.purchases import purchases_since, remembered_sheets
from db.queries.buying.truck import truck
from db.queries.firm import day_rates
from db.records import columns_of
from db.tables import labour_task, person, purchase, quote, stock_count, stock_rule, supplier, supplier_sheet
from domain.buying import Purchase, ShoppingLine, StockCount, StockRule, SupplierSheet
from tests.db.buying_company import TOMORROW, YESTERDAY, accepted_job, do, item_id, on_truck
from tests.small_company import TODAY, add_one_job, add_proposal, empty_company, statements


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


def work(company: Company, first: date = TOMORROW, last: date | None = None) -> DaysWork:
    with company.read() as conn:
        return days_work(conn, first, last or first, TODAY)


def shopping_line(company: Company, code: str, last: date = TOMORROW) -> ShoppingLine:
    lines = work(company, TODAY, last).shopping_list().lines
    return next(line for line in lines if line.code == code)


@pytest.mark.parametrize(
    ("table", "record"),
    [(stock_count, StockCount), (stock_rule, StockRule), (purchase, Purchase), (supplier_sheet, SupplierSheet)],
)
def test_records_and_tables_have_the_same_fields(table, record) -> None:  # type: ignore[no-untyped-def]
    assert [column.name for column in columns_of(table, record)] == [column.name for column in table.columns]


# The truck.


def test_the_log_takes_from_the_truck_and_purchases_add_to_it(company: Company) -> None:
    pipe, job_id = item_id(company, "P3-40"), accepted_job(company, {})
    do(company, buying.count_item, pipe, Decimal(40), YESTERDAY, TODAY)
    do(company, log_material, job_id, TODAY, pipe, "", Decimal("12.5"))
    do(company, buying.buy, TODAY, pipe, Decimal(20), Decimal("2.70"), TODAY)
    row = on_truck(company, "P3-40")
    assert (row.counted, row.bought, row.used, row.on_hand) == (40, 20, Decimal("12.5"), Decimal("47.5"))


def test_what_was_entered_before_the_count_is_in_it_and_what_comes_after_is_not(company: Company) -> None:
    pipe, job_id = item_id(company, "P3-40"), accepted_job(company, {})
    do(company, log_material, job_id, TODAY, pipe, "", Decimal(5))
    do(company, buying.buy, TODAY, pipe, Decimal(10), Decimal("2.70"), TODAY)
    do(company, buying.count_item, pipe, Decimal(30), TODAY, TODAY)
    assert on_truck(company, "P3-40").on_hand == 30
    do(company, log_material, job_id, TODAY, pipe, "", Decimal(4))
    assert on_truck(company, "P3-40").on_hand == 26
    do(company, buying.buy, TODAY, pipe, Decimal(10), Decimal("2.70"), TODAY)
    assert on_truck(company, "P3-40").on_hand == 36
    do(company, log_material, job_id, YESTERDAY, pipe, "", Decimal(7))  # of a day before the count: it is in it
    assert on_truck(company, "P3-40").on_hand == 36


def test_a_receipt_never_touches_the_truck_and_another_unit_is_told_apart(company: Company) -> None:
    pipe, job_id = item_id(company, "P3-40"), accepted_job(company, {})
    do(company, buying.count_item, pipe, Decimal(30), YESTERDAY, TODAY)
    do(company, log_material, job_id, TODAY, pipe, "", Decimal(5), source="receipt")
    do(company, log_material, job_id, TODAY, pipe, "", Decimal(1), "stick")
    row = on_truck(company, "P3-40")
    assert (row.on_hand, row.odd_entries) == (30, 1)


def test_the_truck_of_an_earlier_day_knows_nothing_later(company: Company) -> None:
    pipe = item_id(company, "P3-40")
    do(company, buying.count_item, pipe, Decimal(30), YESTERDAY, TODAY)
    do(company, buying.count_item, pipe, Decimal(12), TODAY, TODAY)
    assert on_truck(company, "P3-40", YESTERDAY).on_hand == 30
    assert on_truck(company, "P3-40").on_hand == 12


def test_the_last_count_wins_and_undo_brings_the_one_before_back(company: Company) -> None:
    pipe = item_id(company, "P3-40")
    do(company, buying.count_item, pipe, Decimal(30), TODAY, TODAY)
    do(company, buying.count_item, pipe, Decimal(12), TODAY, TODAY)
    assert on_truck(company, "P3-40").on_hand == 12
    company.undo()
    assert on_truck(company, "P3-40").on_hand == 30


@pytest.mark.parametrize(("quantity", "day"), [("-1", TODAY), ("1", TOMORROW), ("9999999", TODAY)])
def test_an_impossible_count_is_refused(company: Company, quantity: str, day: date) -> None:
    with pytest.raises(Refused):
        do(company, buying.count_item, item_id(company, "P3-40"), Decimal(quantity), day, TODAY)
    assert on_truck(company, "P3-40").counted is None


def test_a_reorder_point_is_set_changed_cleared_and_checked(company: Company) -> None:
    pipe = item_id(company, "P3-40")
    do(company, buying.set_reorder, pipe, Decimal(20), Decimal(60))
    do(company, buying.set_reorder, pipe, Decimal(10), Decimal(40))
    row = on_truck(company, "P3-40")
    assert (row.reorder_at, row.fill_to, row.is_low) == (10, 40, False)
    with pytest.raises(Refused, match="more than the reorder point"):
        do(company, buying.set_reorder, pipe, Decimal(40), Decimal(40))
    do(company, buying.count_item, pipe, Decimal(10), TODAY, TODAY)
    assert on_truck(company, "P3-40").is_low
    do(company, buying.take_off_truck, pipe)
    assert not on_truck(company, "P3-40").is_kept


# What jobs need.


def test_the_pull_sheet_is_for_the_days_jobs_and_those_that_go_on(company: Company) -> None:
    scheduled = accepted_job(company, {"P3-40": "12"}, TOMORROW, "Ash")
    begun = accepted_job(company, {"P3-40": "24"}, TODAY, "Birch")
    accepted_job(company, {"P3-40": "99"}, TODAY + timedelta(days=6), "Later")
    done = accepted_job(company, {"P3-40": "99"}, TODAY, "Done already")
    do(company, mark_installed, done, TODAY)
    lost = accepted_job(company, {"P3-40": "99"}, TOMORROW, "Called off by")
    do(company, cancel_job, lost, TODAY, "sold")
    found = work(company)
    assert [(job.job_id, job.goes_on) for job in found.jobs] == [(begun, True), (scheduled, False)]
    (line,) = found.pull_sheet().lines
    assert line.need == Decimal("39.6")  # 36 ft and a tenth for waste
    assert (line.packs, line.source) == (4, "buy first: 4 × 10 ft")
    assert found.pull_sheet([begun]).lines[0].need == Decimal("13.2")
    with company.read() as conn:
        assert count_of_jobs(conn, TOMORROW) == 2


def test_hours_logged_lately_make_a_job_go_on(company: Company) -> None:
    job_id = accepted_job(company, {"P3-40": "12"}, None)
    assert work(company).jobs == ()
    with company.action("Log") as edit:
        task = edit.conn.execute(select(labour_task.c.id)).scalars().first()
        who = edit.conn.execute(select(person.c.id)).scalars().first()
        log_hours(edit, job_id, TODAY, task, who, 60, rates=day_rates(edit.conn, TODAY), today=TODAY)
    assert [job.job_id for job in work(company).jobs] == [job_id]


def test_what_is_not_accepted_is_not_gathered(company: Company) -> None:
    job_id, pipe = add_one_job(company).job_id, item_id(company, "P3-40")
    with company.action("Quote") as edit:
        quote_id = add_proposal(edit, job_id)
        add_material(edit, quote_id, pipe, Decimal(30))
        schedule_job(edit, job_id, TOMORROW)
    assert work(company).jobs == ()


def test_what_the_log_has_used_is_no_longer_needed(company: Company) -> None:
    job_id = accepted_job(company, {"P3-40": "20", "E90-3": "4"})
    do(company, log_material, job_id, TODAY, item_id(company, "E90-3"), "", Decimal(4))
    do(company, log_material, job_id, TODAY, item_id(company, "P3-40"), "", Decimal(10))
    assert {line.code: line.need for line in work(company).pull_sheet().lines} == {"P3-40": 12}


def test_a_ticked_line_leaves_the_list_and_lies_on_the_truck(company: Company) -> None:
    accepted_job(company, {"P3-40": "30"})
    line = shopping_line(company, "P3-40")
    assert (line.packs, line.supplier) == (4, "Plumbing counter")
    do(company, buying.tick_off, line, TODAY, TODAY, unit_cost=Decimal("2.80"))
    assert work(company, TODAY, TOMORROW).shopping_list().lines == ()
    assert on_truck(company, "P3-40").on_hand == 40
    (sheet_line,) = work(company).pull_sheet().lines
    assert sheet_line.source == "truck"
    with company.read() as conn:
        (row,) = purchases_since(conn, TODAY)
    assert (row.purchase.unit_cost, row.list_cost, row.differs, row.cents) == (
        Decimal("2.80"), Decimal("2.68"), True, 11200,
    )  # fmt: skip
    company.undo()
    assert shopping_line(company, "P3-40") == line
    assert on_truck(company, "P3-40").counted is None


def test_fewer_packs_leave_the_rest_on_the_list(company: Company) -> None:
    accepted_job(company, {"P3-40": "30"})
    do(company, buying.tick_off, shopping_line(company, "P3-40"), TODAY, TODAY, packs=3)
    assert shopping_line(company, "P3-40").packs == 1


def test_what_is_not_on_the_price_list_is_bought_for_its_jobs(company: Company) -> None:
    first = accepted_job(company, {}, TOMORROW, "Ash")
    with company.action("Order") as edit:
        quote_id = add_proposal(edit, first, 1, kind="change_order")
        add_material(
            edit, quote_id, None, Decimal(3), description="Odd bracket", unit="each", unit_cost=Decimal(4)
        )
        send_quote(edit, quote_id, TODAY)
        accept_quote(edit, quote_id, TODAY)
    (line,) = work(company, TODAY, TOMORROW).shopping_list().lines
    assert (line.for_truck, line.shares) == (False, ((first, Decimal(3)),))
    do(company, buying.tick_off, line, TODAY, TODAY)
    assert work(company, TODAY, TOMORROW).shopping_list().lines == ()
    assert [one.source for one in work(company).pull_sheet().lines] == ["bought already 3"]
    do(company, log_material, first, TODAY, None, "Odd bracket", Decimal(3), "each", Decimal(4), "receipt")
    assert work(company).pull_sheet().lines == ()


def test_low_stock_is_on_the_list_without_a_job(company: Company) -> None:
    tube = item_id(company, "SEAL-PU")
    do(company, buying.set_reorder, tube, Decimal(4), Decimal(12))
    assert work(company, TODAY, TOMORROW).shopping_list().lines == ()  # never counted
    do(company, buying.count_item, tube, Decimal(3), TODAY, TODAY)
    assert shopping_line(company, "SEAL-PU").buy == "9 tubes"


@pytest.mark.parametrize(
    ("paid", "packs", "day", "words"),
    [("0", None, TODAY, "nothing"), ("-2", None, TODAY, "nothing"), ("200000", None, TODAY, "dearer"),
     ("2", 0, TODAY, "more than nothing"), ("2", None, TOMORROW, "still to come")],
)  # fmt: skip
def test_an_impossible_purchase_is_refused_and_nothing_is_written(
    company: Company, paid: str, packs: int | None, day: date, words: str
) -> None:
    accepted_job(company, {"P3-40": "30"})
    line = shopping_line(company, "P3-40")
    with pytest.raises(Refused, match=words):
        do(company, buying.tick_off, line, day, TODAY, unit_cost=Decimal(paid), packs=packs)
    assert shopping_line(company, "P3-40") == line


def test_a_purchase_is_corrected_and_taken_back(company: Company) -> None:
    pipe = item_id(company, "P3-40")
    bought = do(company, buying.buy, TODAY, pipe, Decimal(20), Decimal("2.70"), TODAY, receipt=" P17 ")
    do(company, buying.change_purchase, bought, TODAY, quantity=Decimal(30), unit_cost=Decimal("2.60"))
    with company.read() as conn:
        (row,) = purchases_since(conn, TODAY)
    assert (row.purchase.receipt, row.cents, row.code) == ("P17", 7800, "P3-40")
    with pytest.raises(Refused):
        do(company, buying.change_purchase, bought, TODAY, unit_cost=Decimal(0))
    do(company, buying.remove_purchase, bought)
    assert on_truck(company, "P3-40").on_hand == 0


def test_the_questions_do_not_grow_with_the_company(company: Company) -> None:
    def count() -> list[int]:
        return [
            statements(company, question)
            for question in (
                lambda conn: truck(conn, TODAY),
                lambda conn: days_work(conn, TODAY, TOMORROW, TODAY),
                lambda conn: purchases_since(conn, YESTERDAY),
                lambda conn: price_report(conn, YESTERDAY, TODAY),
            )
        ]

    before = count()
    for name in ("A", "Bb", "Ccc", "Dddd"):
        accepted_job(company, {"P3-40": "30", "E90-3": "4"}, TOMORROW, name)
        do(company, buying.buy, TODAY, item_id(company, "P3-40"), Decimal(10), Decimal("2.5"), TODAY)
    assert before == count() == [1, 5, 1, 3]


# Prices.


def test_the_report_names_changes_and_quotes_on_old_prices(company: Company) -> None:
    pipe = item_id(company, "P3-40")
    drafted = add_one_job(company, "Ash", "26-001").job_id
    with company.action("Quotes") as edit:
        draft = add_proposal(edit, drafted)
        add_material(edit, draft, pipe, Decimal(100))
    accepted_job(company, {"P3-40": "50"}, None, "Taken")
    do(company, set_price, pipe, TODAY, Decimal("3.00"))
    with company.read() as conn:
        report = price_report(conn, YESTERDAY, TODAY)
        assert price_report(conn, TODAY, TODAY).changes == ()
    (change,) = report.changes
    assert (change.item.code, change.old_cost, change.new_cost, change.percent) == (
        "P3-40", Decimal("2.68"), Decimal("3.00"), Decimal("11.9"),
    )  # fmt: skip
    (found,) = report.quotes
    assert (found.job_id, found.sent_on, found.lines, found.cents) == (drafted, None, 1, 3520)  # 110 ft at 32 cents


def test_answered_replaced_and_run_out_quotes_are_not_in_the_report(company: Company) -> None:
    pipe = item_id(company, "P3-40")
    job_id = add_one_job(company, "Ash", "26-001").job_id
    with company.action("Quotes") as edit:
        first, second = add_proposal(edit, job_id), add_proposal(edit, job_id, 2)
        for one in (first, second):
            add_material(edit, one, pipe, Decimal(100))
    do(company, set_price, pipe, TODAY, Decimal("3.00"))

    def quotes() -> list[int]:
        with company.read() as conn:
            return [one.quote_id for one in price_report(conn, YESTERDAY, TODAY).quotes]

    assert quotes() == [second]
    with company.action("Sent long ago") as edit:
        edit.change(quote, second, sent_on=date(2026, 4, 1), expires_on=date(2026, 5, 1))
    assert quotes() == []


# What else must not break.


def test_a_bought_or_counted_item_is_deleted_only_when_nothing_is_lost(company: Company) -> None:
    new = do(company, add_item, "NEW", "New thing", "each", Decimal(1), TODAY)
    do(company, buying.count_item, new, Decimal(3), TODAY, TODAY)
    do(company, buying.set_reorder, new, Decimal(1), Decimal(4))
    with pytest.raises(Refused, match="counts"):
        do(company, change_item, new, unit="box")
    do(company, change_item, new, unit="each", name="Newer thing")
    do(company, delete_item, new)
    bought = do(company, add_item, "NEW", "New thing", "each", Decimal(1), TODAY)
    do(company, buying.buy, TODAY, bought, Decimal(2), Decimal(1), TODAY)
    with pytest.raises(Refused, match="Archive"):
        do(company, delete_item, bought)


def test_a_supplier_one_bought_from_stays(company: Company) -> None:
    with company.action("Supplier") as edit:
        shop = edit.add(supplier, name="Corner shop")
        buying.remember_sheet(edit, ["a", "b"], {"code": "a"}, TODAY, "Corner shop")
        bought = buying.buy(
            edit, TODAY, None, Decimal(2), Decimal(1), TODAY, description="Gloves", supplier_id=shop
        )
    with pytest.raises(Refused, match="bought from Corner shop"):
        do(company, delete_supplier, shop)
    do(company, buying.remove_purchase, bought)
    do(company, delete_supplier, shop)


def test_a_sheet_is_remembered_once_by_its_headings(company: Company) -> None:
    columns = {"code": "ref", "unit_cost": "netto"}
    do(company, buying.remember_sheet, ["ref", "netto", "ve"], columns, YESTERDAY, "Plumbing counter")
    do(company, buying.remember_sheet, ["ve", "ref", "netto"], {**columns, "pack_quantity": "ve"}, TODAY)
    do(company, buying.remember_sheet, ["other", "one"], {"code": "other"}, YESTERDAY)
    do(company, buying.remember_sheet, ["no", "columns"], {}, TODAY)
    with company.read() as conn:
        newest, other = remembered_sheets(conn)
    assert (newest.columns["pack_quantity"], newest.used_on, newest.supplier) == ("ve", TODAY, "")
    assert other.headings == ("other", "one")
