"""The ledger by two ways, the ties in any order of events, closing a month, and corrections of a closed one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import select, update

from db.commands import jobs
from db.commands.billing import credit_invoice, draft_invoice, issue_invoice, take_payment, write_off_bad_debt
from db.commands.bills import enter_bill, pay_bill
from db.commands.corrections import correct_bill, correct_hours, correct_material, correct_trip
from db.commands.log_hours import log_hours
from db.commands.log_materials import log_material
from db.commands.month_close import close_month, name_account
from db.commands.trips import add_trip, change_trip
from db.company_file.problems import Refused
from db.queries.books.bills import open_bills
from db.queries.books.closing import before_closing, closed, deviations, month_to_close
from db.queries.books.corrections import correctable, corrections
from db.queries.books.ledger import ledger_entries, trial
from db.queries.books.ties import ties
from db.queries.books.wip import wip
from db.queries.costing import job_figures
from db.queries.margins import all_job_results
from db.tables import bill, bill_line, hours_entry, trip
from domain.bills import BillLineDraft
from domain.costing import variance_tree
from tests.db.billing_company import AgreedJob, BillingCompany
from tests.small_company import statements

TODAY = date(2026, 6, 10)


@pytest.fixture
def shop() -> Iterator[BillingCompany]:
    made = BillingCompany()
    with made.company:
        yield made


def _balance(shop: BillingCompany, first: date, last: date) -> dict[str, tuple[int, int, int]]:
    return {
        row.account.role.key: (row.opening_cents, row.debit_cents, row.credit_cents)
        for row in shop.ask(trial, first, last).rows
    }


def _by_entries(shop: BillingCompany, first: date, last: date) -> dict[str, tuple[int, int, int]]:
    sums: dict[str, list[int]] = {}
    for one in shop.ask(ledger_entries):
        assert one.balanced
        for posting in one.postings:
            row = sums.setdefault(posting.role, [0, 0, 0])
            if one.day < first:
                row[0] += posting.cents
            elif one.day <= last:
                row[1] += posting.debit_cents
                row[2] += posting.credit_cents
    return {role: (row[0], row[1], row[2]) for role, row in sums.items()}


def _check(shop: BillingCompany) -> None:
    for first, last in ((date(2026, 1, 1), date(2026, 12, 31)), (date(2026, 4, 1), date(2026, 4, 30))):
        added = _by_entries(shop, first, last)
        for role, row in _balance(shop, first, last).items():
            assert row == added.get(role, (0, 0, 0)), role
    off = [(tie.key, tie.first_cents, tie.second_cents) for tie in shop.ask(ties, TODAY) if not tie.holds]
    assert off == []


EVENTS = st.lists(
    st.tuples(
        st.sampled_from(["pay", "credit", "wrong", "bad", "bill", "credit_bill", "pay_bill", "hours", "trip"]),
        st.integers(1, 120_000),
        st.integers(0, 60),
    ),
    max_size=8,
)


@settings(max_examples=15)
@given(EVENTS, st.sampled_from(["none", "lump_sum", "separated"]), st.booleans())
def test_the_ledger_and_every_tie_hold_in_any_order(
    events: list[tuple[str, int, int]], treatment: str, deposit: bool
) -> None:
    shop = BillingCompany()
    customer_id = shop.customer()
    job_id = shop.job(customer_id, AgreedJob(treatment=treatment, percent="5.5", options=(4_000,), goodwill_cents=777))
    on = date(2026, 3, 21)
    if deposit:
        shop.do(issue_invoice, shop.do(draft_invoice, "deposit", on, job_id=job_id), on)
    final = shop.do(draft_invoice, "final", on, job_id=job_id)
    shop.do(issue_invoice, final, on)
    for number, (kind, cents, later) in enumerate(events):
        day = date.fromordinal(on.toordinal() + later)
        try:
            if kind == "pay":
                shop.do(take_payment, customer_id, day, cents, "check", twice=True)
            elif kind in ("credit", "wrong"):
                shop.do(credit_invoice, final, day, "agreed", gives_up=kind == "credit", amount_cents=cents)
            elif kind == "bad":
                shop.do(write_off_bad_debt, final, day, "gone", cents)
            elif kind in ("bill", "credit_bill"):
                lines = [BillLineDraft("materials", cents, "Pipe", job_id), BillLineDraft("overhead", 100)]
                paper = "bill" if kind == "bill" else "credit"
                shop.do(enter_bill, "Alder Supply", paper, day, lines, number=str(number), tax_cents=cents // 18)
            elif kind == "pay_bill":
                first = shop.ask(open_bills)[0]
                shop.do(pay_bill, first.id, date.fromordinal(first.billed_on.toordinal() + later))
            elif kind == "trip":
                shop.do(add_trip, day, Decimal(cents % 900 + 1), "bank")
            else:
                shop.do(log_hours, job_id, day, 1, 1, cents % 480 + 1)
        except (Refused, IndexError):
            continue
    _check(shop)


def test_closed_jobs_come_to_the_revenue_of_margins(shop: BillingCompany) -> None:
    customer_id = shop.customer()
    job_id = shop.job(customer_id)
    on = date(2026, 3, 21)
    shop.do(issue_invoice, shop.do(draft_invoice, "deposit", on, job_id=job_id), on)
    final = shop.do(draft_invoice, "final", on, job_id=job_id)
    shop.do(issue_invoice, final, on)
    shop.do(credit_invoice, final, on, "scratched floor", gives_up=True, amount_cents=5_000)
    shop.do(take_payment, customer_id, on, 72_000, "check")
    shop.do(write_off_bad_debt, final, on, "moved away")
    shop.do(jobs.close_job, job_id, on)
    tie = {one.key: one for one in shop.ask(ties, TODAY)}["margins"]
    assert tie.holds
    assert tie.second_cents == all_of(shop)[0].revenue_cents > 0
    _check(shop)


def all_of(shop: BillingCompany) -> list[object]:
    found: list[object] = shop.ask(all_job_results)
    return found


def test_months_are_closed_in_order_for_good_with_their_sums(shop: BillingCompany) -> None:
    job_id = shop.job(shop.customer())
    assert shop.ask(month_to_close) == (None, True)
    shop.do(add_trip, date(2026, 2, 3), Decimal(12), "bank")
    entry = shop.do(log_hours, job_id, date(2026, 3, 10), 1, 1, 90)
    assert shop.ask(month_to_close) == ("2026-02", True)
    with pytest.raises(Refused, match="not over"):
        shop.do(close_month, "2026-06", TODAY)
    assert shop.do(close_month, "2026-03", TODAY) == ["2026-02", "2026-03"]
    assert shop.company.undo_label is None
    with pytest.raises(Refused, match="closed already"):
        shop.do(close_month, "2026-03", TODAY)
    with pytest.raises(Refused, match="April 2026 is still open"):
        shop.do(close_month, "2026-05", TODAY)
    shop.do(close_month, "2026-04", TODAY)
    assert [one.month for one in shop.ask(closed)] == ["2026-04", "2026-03", "2026-02"]
    whole, found = shop.ask(deviations)
    assert whole > 0
    assert found == []
    with pytest.raises(Refused, match="are closed"):
        shop.do(change_trip, 1, day=date(2026, 3, 1))
    with shop.company.engine.begin() as conn:  # by other means than the program's
        conn.execute(update(hours_entry).where(hours_entry.c.id == entry).values(minutes=100))
    tie = {one.key: one for one in shop.ask(ties, TODAY)}["closed"]
    assert not tie.holds
    assert "2026-03, minutes" in tie.advice


def test_what_is_open_is_told_before_closing(shop: BillingCompany) -> None:
    customer_id = shop.customer()
    job_id = shop.job(customer_id)
    on = date(2026, 3, 21)
    shop.do(draft_invoice, "final", on, job_id=job_id)
    shop.do(take_payment, customer_id, on, 500, "cash")
    shop.do(enter_bill, "Alder Supply", "bill", on, [BillLineDraft("materials", 900, "Pipe", job_id)])
    shop.do(log_material, job_id, on, None, "Fan", Decimal(1), "each", Decimal(90), "receipt")
    assert {one.key: one.count for one in shop.ask(before_closing, "2026-03")} == {
        "payments": 1, "drafts": 1, "to_log": 1, "unbilled": 1,
    }  # fmt: skip
    assert not any(one.count for one in shop.ask(before_closing, "2026-02"))


def test_hours_of_a_closed_month_are_put_right_in_an_open_one(shop: BillingCompany) -> None:
    job_id = shop.job(shop.customer())
    entry = shop.do(log_hours, job_id, date(2026, 3, 10), 1, 1, 95, 480)
    with pytest.raises(Refused, match="still open"):
        shop.do(correct_hours, entry, TODAY, "slip", minutes=59)
    shop.do(close_month, "2026-03", TODAY)
    with pytest.raises(Refused, match="closed too"):
        shop.do(correct_hours, entry, date(2026, 3, 11), "slip", minutes=59)
    with pytest.raises(Refused, match="what was wrong"):
        shop.do(correct_hours, entry, TODAY, " ", minutes=59)
    back, right = shop.do(correct_hours, entry, TODAY, "slip of the key", minutes=59)
    rows = {row.id: row for row in shop.ask(lambda conn: conn.execute(select(hours_entry)).all())}
    assert [rows[one].minutes for one in (entry, back, right)] == [95, -95, 59]
    assert rows[back].rate_cents == rows[right].rate_cents == rows[entry].rate_cents
    tree = variance_tree(shop.ask(job_figures, job_id))
    (result,) = shop.ask(all_job_results)
    assert result.actual_minutes == 59
    assert result.actual_cost_cents == tree.actual_cost_cents
    ends = shop.ask(corrections)
    assert {(one.wrong.id, one.right.id) for one in ends} == {(entry, back), (entry, right)}
    assert {one.reason for one in ends} == {"slip of the key"}
    with pytest.raises(Refused, match="taken back already"):
        shop.do(correct_hours, entry, TODAY, "again")
    assert shop.ask(correctable, job_id) == []
    assert shop.ask(deviations)[1] == []
    shop.company.undo()
    assert [row.id for row in shop.ask(correctable, job_id)] == [entry]


def test_materials_and_trips_are_taken_back_to_the_cent(shop: BillingCompany) -> None:
    job_id = shop.job(shop.customer())
    use = shop.do(
        log_material, job_id, date(2026, 3, 10), None, "Caulk", Decimal("3.333"), "tube", Decimal("7.777"), "stock"
    )
    drive = shop.do(add_trip, date(2026, 3, 11), Decimal("12.5"), "bank")
    shop.do(close_month, "2026-03", TODAY)
    before = shop.ask(all_job_results)[0].actual_cost_cents
    assert before
    shop.do(correct_material, use, TODAY, "another job's")
    assert shop.ask(all_job_results)[0].actual_cost_cents == 0
    back, right = shop.do(correct_trip, drive, TODAY, "read wrongly", miles=Decimal("2.5"))
    miles = {row.id: row.miles for row in shop.ask(lambda conn: conn.execute(select(trip)).all())}
    assert (miles[back], miles[right]) == (Decimal("-12.5"), Decimal("2.5"))
    _check(shop)


@pytest.mark.parametrize("paid", [0, 500, 1_000])
def test_a_bill_of_a_closed_month_is_taken_back_and_its_payment_pays_the_right_one(
    shop: BillingCompany, paid: int
) -> None:
    day = date(2026, 3, 10)
    wrong = shop.do(enter_bill, "Alder Supply", "bill", day, [BillLineDraft("overhead", 1_000)], number="7")
    if paid:
        shop.do(pay_bill, wrong, day, paid)
    shop.do(close_month, "2026-03", TODAY)
    credit, right = shop.do(
        correct_bill, wrong, TODAY, "wrong amount", lines=[BillLineDraft("overhead", 800)], number="7 again"
    )
    assert {one.id: one.open_cents for one in shop.ask(open_bills)} == {
        key: cents for key, cents in {credit: -max(paid - 800, 0), right: max(800 - paid, 0)}.items() if cents
    }
    _check(shop)
    assert shop.ask(deviations)[1] == []
    assert len(shop.ask(corrections)) == 2
    assert shop.ask(lambda conn: conn.execute(select(bill.c.net_cents)).scalars().all()) == [1_000, -1_000, 800]
    assert shop.ask(lambda conn: len(conn.execute(select(bill_line)).all())) == 3


def test_accounts_take_the_bookkeepers_numbers(shop: BillingCompany) -> None:
    shop.do(name_account, "bank", "1010", "Checking")
    assert shop.ask(trial).rows[0].account.label == "1010 Checking"
    with pytest.raises(Refused, match="Checking"):
        shop.do(name_account, "sales", "1010", "")
    shop.do(name_account, "bank", "", "")
    assert shop.ask(trial).rows[0].account.label == "Bank"


def test_work_in_progress_takes_the_contract_and_what_is_billed(shop: BillingCompany) -> None:
    customer_id = shop.customer()
    job_id = shop.job(customer_id, AgreedJob(goodwill_cents=1_000))
    on = date(2026, 3, 21)
    shop.do(issue_invoice, shop.do(draft_invoice, "deposit", on, job_id=job_id), on)
    shop.do(log_material, job_id, on, None, "Fan", Decimal(1), "each", Decimal("146.22"), "stock")
    (job,) = shop.ask(wip).jobs
    assert (job.contract_cents, job.spent_cents) == (179_000, 14_622)
    assert job.billed_cents == shop.issued(job_id)[0].net_cents
    assert job.budget_cents == 31_337 + 27_150
    assert job.to_come_cents == 31_337 + 27_150  # what was bought is not what was quoted: all of that is to come
    assert job.percent_done == Decimal("20.00")
    assert job.earned_cents == 35_800  # 1,790.00 x 146.22 / 731.09
    shop.do(issue_invoice, shop.do(draft_invoice, "final", on, job_id=job_id), on)
    (job,) = shop.ask(wip).jobs
    assert (job.finished, job.over_billed_cents, job.under_billed_cents) == (True, 0, 0)


def test_the_questions_take_the_same_statements_whatever_the_size(shop: BillingCompany) -> None:
    def counts() -> list[int]:
        asked = (lambda c: ties(c, TODAY), trial, ledger_entries, wip, deviations, corrections)
        return [statements(shop.company, one) for one in asked]

    customer_id = shop.customer()
    shop.do(issue_invoice, shop.do(draft_invoice, "final", TODAY, job_id=shop.job(customer_id)), TODAY)
    few = counts()
    for number in range(4):
        job_id = shop.job(customer_id)
        on = date(2026, 3, 21)
        shop.do(issue_invoice, shop.do(draft_invoice, "final", on, job_id=job_id), on)
        lines = [BillLineDraft("materials", 900, "", job_id)]
        shop.do(enter_bill, "Alder Supply", "bill", on, lines, number=str(number))
    assert counts() == few
