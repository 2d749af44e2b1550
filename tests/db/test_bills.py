"""Suppliers' bills: entered, paid, set off, corrected, matched to the jobs' logs; what is owed adds up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from datetime import date
from decimal import Decimal

import pytest
from sqlalchemy import select

from db.commands.bill_matching import log_bill_line, match_bill_line, unmatch_bill_line
from db.commands.bills import (
    change_bill,
    enter_bill,
    pay_bill,
    remove_bill,
    remove_bill_payment,
    set_off,
    set_subcontractor,
)
from db.commands.log_materials import log_material, remove_material
from db.commands.trips import add_trip, change_trip, remove_trip
from db.company_file.problems import Refused
from db.queries.books.bills import (
    bill_rows,
    logged_without_bill,
    open_bills,
    owed_to_suppliers,
    payables_at,
    whole_bill,
)
from db.queries.books.miles import miles_log
from db.queries.books.subcontractors import subcontractor_year
from db.tables import (
    bill,
    bill_line,
    bill_payment,
    closed_month,
    correction,
    ledger_account,
    material_use,
    other_cost,
    supplier,
    trip,
)
from domain.bills import Bill, BillLine, BillLineDraft, BillPayment
from domain.bookkeeping import ClosedMonth, Correction, LedgerAccount, Trip
from tests.db.billing_company import BillingCompany

DAY, TODAY = date(2026, 3, 16), date(2026, 5, 14)


@pytest.mark.parametrize(
    ("table", "record"),
    [
        (bill, Bill), (bill_line, BillLine), (bill_payment, BillPayment), (trip, Trip), (correction, Correction),
        (ledger_account, LedgerAccount), (closed_month, ClosedMonth),
    ],
)  # fmt: skip
def test_records_and_tables_have_the_same_fields(table, record) -> None:  # type: ignore[no-untyped-def]
    assert [column.name for column in table.columns] == [field.name for field in fields(record)]


@pytest.fixture
def shop() -> Iterator[BillingCompany]:
    made = BillingCompany()
    with made.company:
        yield made


def _bill(shop: BillingCompany, cents: int = 20_000, tax: int = 1_100, **named: object) -> int:
    job_id = named.pop("job_id", None)
    lines = [BillLineDraft("materials", cents, "Pipe", job_id)]  # type: ignore[arg-type]
    given = {"kind": "bill", "billed_on": DAY, "number": "B-1", "due_on": date(2026, 4, 15), **named}
    kind, day = given.pop("kind"), given.pop("billed_on")
    found: int = shop.do(enter_bill, "Alder Supply", kind, day, lines, tax_cents=tax, today=TODAY, **given)
    return found


def _open(shop: BillingCompany) -> dict[int, int]:
    return {one.id: one.open_cents for one in shop.ask(open_bills)}


def test_a_bill_is_owed_until_it_is_paid_in_parts(shop: BillingCompany) -> None:
    bill_id = _bill(shop)
    assert _open(shop) == {bill_id: 21_100}
    first = shop.do(pay_bill, bill_id, date(2026, 4, 1), 10_000, today=TODAY)
    assert _open(shop) == {bill_id: 11_100}
    with pytest.raises(Refused, match=r"\$111.00"):
        shop.do(pay_bill, bill_id, date(2026, 4, 2), 11_101, today=TODAY)
    shop.do(pay_bill, bill_id, date(2026, 4, 2), means="transfer", today=TODAY)
    assert _open(shop) == {}
    with pytest.raises(Refused, match="is paid"):
        shop.do(pay_bill, bill_id, date(2026, 4, 3), today=TODAY)
    with pytest.raises(Refused, match="payments"):
        shop.do(remove_bill, bill_id)
    shop.do(remove_bill_payment, first)
    assert _open(shop) == {bill_id: 10_000}
    shop.company.undo()
    assert _open(shop) == {}


def test_a_receipt_is_paid_on_its_day_and_follows_its_amount(shop: BillingCompany) -> None:
    receipt = _bill(shop, kind="receipt")
    assert _open(shop) == {}
    lines = [BillLineDraft("truck_stock", 5_000)]
    shop.do(change_bill, receipt, lines=lines, tax_cents=300, billed_on=date(2026, 3, 17))
    whole = shop.ask(whole_bill, receipt)
    assert (whole.bill.net_cents, whole.open_cents) == (5_000, 0)
    assert whole.payments[0].paid_on == date(2026, 3, 17)
    shop.do(remove_bill, receipt)
    assert shop.ask(bill_rows) == []


def test_a_credit_is_set_off_and_taken_back_on_both_papers(shop: BillingCompany) -> None:
    bill_id = _bill(shop)
    credit = _bill(shop, 5_000, 250, kind="credit", number="C-1")
    assert _open(shop) == {bill_id: 21_100, credit: -5_250}
    owed = shop.ask(payables_at, TODAY)
    assert (owed.balance_cents, owed.credit_cents, sum(owed.buckets)) == (15_850, 5_250, 21_100)
    assert shop.ask(owed_to_suppliers) == owed.balance_cents
    assert owed.rows[0].buckets == (0, 21_100, 0, 0, 0)
    assert shop.do(set_off, credit, bill_id, TODAY) == 5_250
    assert _open(shop) == {bill_id: 15_850}
    with pytest.raises(Refused, match="can be set off"):
        shop.do(set_off, credit, bill_id, TODAY)
    shop.do(remove_bill_payment, shop.ask(whole_bill, bill_id).payments[0].id)
    assert _open(shop) == {bill_id: 21_100, credit: -5_250}


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ("already", {}),
        ("has not come", {"number": "B-2", "billed_on": date(2026, 5, 15), "due_on": None}),
        ("before its own day", {"number": "B-3", "due_on": date(2026, 3, 1)}),
        ("nothing or less|comes to nothing", {"number": "B-4", "cents": 0}),
        ("not less than nothing", {"number": "B-5", "tax": -1}),
    ],
)
def test_bad_input_is_refused_kindly(shop: BillingCompany, words: str, named: dict[str, object]) -> None:
    _bill(shop)
    before = len(shop.ask(bill_rows))
    with pytest.raises(Refused, match=words):
        _bill(shop, **named)  # type: ignore[arg-type]
    assert len(shop.ask(bill_rows)) == before


def test_a_bill_and_the_log_are_matched_from_either_side(shop: BillingCompany) -> None:
    job_id = shop.job(shop.customer())
    bill_id = _bill(shop, job_id=job_id)
    assert [row.to_log for row in shop.ask(bill_rows, which="to_log")] == [1]
    line = shop.ask(whole_bill, bill_id).lines[0]
    shop.do(log_bill_line, line.id, today=TODAY)
    used = shop.ask(lambda conn: conn.execute(select(material_use)).one())
    assert (used.job_id, used.source, used.receipt, used.unit_cost) == (job_id, "receipt", "B-1", Decimal(200))
    assert shop.ask(logged_without_bill) == [] == shop.ask(bill_rows, which="to_log")
    with pytest.raises(Refused, match="already"):
        shop.do(log_bill_line, line.id, today=TODAY)
    other = shop.do(
        log_material, job_id, DAY, None, "Fan", Decimal(1), "each", Decimal("123.45"), "receipt", today=TODAY
    )
    (waiting,) = shop.ask(logged_without_bill)
    assert (waiting.id, waiting.cents, waiting.job_id) == (other, 12_345, job_id)
    second = _bill(shop, 12_345, 0, number="B-2", job_id=job_id)
    line = shop.ask(whole_bill, second).lines[0]
    with pytest.raises(Refused, match="matched to another"):
        shop.do(match_bill_line, line.id, material_use_id=used.id)
    shop.do(match_bill_line, line.id, material_use_id=other)
    assert shop.ask(logged_without_bill) == []
    shop.do(unmatch_bill_line, line.id)
    third = _bill(shop, 12_000, 0, number="B-3", job_id=job_id)
    with pytest.raises(Refused, match=r"\$123.45"):
        shop.do(match_bill_line, shop.ask(whole_bill, third).lines[0].id, material_use_id=other)
    shop.do(match_bill_line, line.id, material_use_id=other)
    shop.do(remove_material, other)  # out of the log: the bill stays, to be logged again
    assert [row.to_log for row in shop.ask(bill_rows, words="B-2")] == [1]


def test_miles_of_jobs_and_trips_stand_at_the_rate_of_their_day(shop: BillingCompany) -> None:
    job_id = shop.job(shop.customer())
    with shop.company.action("Miles") as edit:
        edit.add(
            other_cost, job_id=job_id, day=date(2025, 12, 31), kind="travel", quantity=10, unit="mile", unit_cost=1
        )
    trip_id = shop.do(add_trip, date(2026, 1, 1), Decimal("10"), "bank", "shop to bank", today=TODAY)
    log = shop.ask(miles_log, date(2025, 1, 1), date(2026, 12, 31))
    assert [(one.rate, one.cents, one.job != "") for one in log.drives] == [
        (Decimal("0.7"), 700, True), (Decimal("0.725"), 725, False),
    ]  # fmt: skip
    assert (log.miles, log.cents) == (20, 1_425)
    assert [miles for _, miles, _ in log.by_rate] == [10, 10]
    shop.do(change_trip, trip_id, miles=Decimal("12"), today=TODAY)
    for wrong in ({"miles": Decimal(0)}, {"purpose": " "}, {"day": date(2026, 5, 15)}):
        with pytest.raises(Refused):
            shop.do(change_trip, trip_id, today=TODAY, **wrong)
    shop.do(remove_trip, trip_id)
    assert len(shop.ask(miles_log, date(2026, 1, 1), date(2026, 12, 31)).drives) == 0


def test_a_subcontractors_year_leaves_cards_out_and_knows_the_years_threshold(shop: BillingCompany) -> None:
    def paid(number: str, day: date, cents: int, means: str) -> None:
        lines = [BillLineDraft("subcontractor", cents)]
        bill_id = shop.do(enter_bill, "Volt Works", "bill", day, lines, number=number, today=TODAY)
        shop.do(pay_bill, bill_id, day, means=means, today=TODAY)

    paid("1", date(2025, 5, 1), 60_000, "check")
    paid("2", date(2025, 6, 1), 90_000, "card")
    paid("3", date(2026, 5, 1), 199_999, "transfer")
    query = select(supplier.c.id).where(supplier.c.name == "Volt Works")
    seller = shop.ask(lambda conn: conn.execute(query).scalar_one())
    assert shop.ask(subcontractor_year, 2025) == []
    shop.do(set_subcontractor, seller, True)
    (year,) = shop.ask(subcontractor_year, 2025)
    assert (year.counted_cents, year.card_cents, year.threshold_cents) == (60_000, 90_000, 60_000)
    assert year.words == "report; tax form missing"
    (year,) = shop.ask(subcontractor_year, 2026)
    assert (year.counted_cents, year.threshold_cents, year.words) == (199_999, 200_000, "below the threshold")
    paid("4", date(2026, 5, 2), 1, "cash")
    shop.do(set_subcontractor, seller, True, date(2026, 1, 5))
    assert shop.ask(subcontractor_year, 2026)[0].words == "report"
