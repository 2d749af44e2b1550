"""The log: what can be entered, at which rates, and what is refused kindly."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace

import pytest
from sqlalchemy import StaticPool, create_engine, select

from db.commands import log, write_offs
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.queries.log import job_budget, job_log, log_day
from db.queries.log_offers import jobs_to_offer, running_timer
from db.queries.so_far import job_so_far
from db.records import fetch_all, fetch_one
from db.tables import (
    METADATA,
    customer,
    hours_entry,
    item,
    item_price,
    job,
    job_type,
    labour_line,
    labour_task,
    material_line,
    material_use,
    mile_cost,
    other_cost,
    overhead_basis,
    overhead_item,
    person,
    person_cost,
    price_adjustment,
    property_,
    quote,
    quote_option,
    timer,
)
from domain.actuals import HoursEntry, MaterialUse, OtherCost, PriceAdjustment
from domain.jobs import Job
from domain.log_day import hours_rows
from domain.log_so_far import materials_so_far

TODAY = date(2026, 11, 12)
EARLIER = date(2026, 3, 2)


@pytest.fixture
def company() -> Iterator[Company]:
    engine = create_engine("sqlite://", poolclass=StaticPool)
    METADATA.create_all(engine)
    made = Company(Path(":memory:"), engine)
    yield made
    made.close()


@pytest.fixture
def firm(company: Company) -> SimpleNamespace:
    """A firm with an owner and a helper, one job with an accepted quote, and dated rates and prices."""
    ids = SimpleNamespace()
    with company.action("A firm to log in") as edit:
        ids.owner = edit.add(person, name="Wren Osei", role="owner")
        ids.helper = edit.add(person, name="Tam Birch", role="helper")
        for who, starts, wage in (
            (ids.owner, date(2026, 1, 1), 3000),
            (ids.owner, date(2026, 7, 1), 3400),
            (ids.helper, date(2026, 1, 1), 2000),
        ):
            edit.add(
                person_cost, person_id=who, starts_on=starts, wage_cents=wage, paid_hours=2000, billable_hours=1250,
                workers_comp_percent=Decimal(5), state_unemployment_percent=Decimal(2),
                state_unemployment_base_cents=1_000_000, other_cents_per_year=0,
            )  # fmt: skip
        edit.add(overhead_item, name="Van", cents_per_month=90_000, starts_on=date(2026, 1, 1))
        edit.add(overhead_basis, starts_on=date(2026, 1, 1), billable_minutes_per_month=6000)
        edit.add(mile_cost, starts_on=date(2026, 1, 1), unit_cost=Decimal("0.7000"))
        edit.add(mile_cost, starts_on=date(2026, 7, 1), unit_cost=Decimal("0.7250"))
        kind = edit.add(job_type, name="Rework")
        who = edit.add(customer, kind="person", name="Ada Quill", created_on=date(2026, 1, 5))
        house = edit.add(property_, customer_id=who, street="9 Alder Court", town="Weller")
        ids.job = edit.add(
            job, number="26-001", customer_id=who, property_id=house, job_type_id=kind, opened_on=date(2026, 2, 1)
        )
        ids.seal = edit.add(labour_task, name="Seal", unit="joint", standard_minutes=Decimal(12), role="work")
        ids.paint = edit.add(labour_task, name="Paint", unit="ft", standard_minutes=Decimal(3), role="work")
        ids.pipe = edit.add(
            item, code="P3", name="3 in pipe", item_class="pipe", unit="ft", pack_quantity=Decimal(10),
            waste_percent=Decimal(10),
        )  # fmt: skip
        edit.add(item_price, item_id=ids.pipe, starts_on=date(2026, 1, 1), unit_cost=Decimal("2.1000"))
        edit.add(item_price, item_id=ids.pipe, starts_on=date(2026, 6, 1), unit_cost=Decimal("2.2500"))
        ids.quote = _quote(edit, ids.job, "proposal", date(2026, 2, 10))
        _labour(edit, ids.quote, ids.seal, 120)
        edit.add(
            material_line, quote_id=ids.quote, item_id=ids.pipe, description="3 in pipe", net_quantity=Decimal(60),
            waste_percent=Decimal(0), quantity=Decimal(60), unit="ft", unit_cost=Decimal("2.0000"),
        )  # fmt: skip
        edit.add(
            material_line, quote_id=ids.quote, description="Roof boot", net_quantity=Decimal(1),
            waste_percent=Decimal(0), quantity=Decimal(1), unit="each", unit_cost=Decimal("18.0000"),
        )  # fmt: skip
    return ids


def _quote(edit, job_id, kind, accepted_on, version=1):
    return edit.add(
        quote, job_id=job_id, kind=kind, version=version, created_on=date(2026, 2, 2), accepted_on=accepted_on,
        pricing="margin", pricing_percent=Decimal(40), minimum_charge_cents=0, rounding_cents=1, tax_treatment="none",
        tax_percent=Decimal(0), deposit_percent=Decimal(0), owner_rate_cents=6000, helper_rate_cents=4000,
        overhead_rate_cents=900, mile_cost=Decimal("0.7000"),
    )  # fmt: skip


def _labour(edit, quote_id, task_id, minutes, option_id=None):
    edit.add(
        labour_line, quote_id=quote_id, option_id=option_id, task_id=task_id, crew="owner", quantity=Decimal(1),
        unit_minutes=Decimal(minutes), factor_percent=Decimal(100), standard_minutes=minutes, minutes=minutes,
        rate_cents=6000,
    )  # fmt: skip


def _do(company, work):
    with company.action("Log") as edit:
        return work(edit)


def _hours(company, entry_id) -> HoursEntry:
    with company.read() as conn:
        return fetch_one(conn, HoursEntry, hours_entry, entry_id)


# Hours


def test_hours_carry_the_rates_of_their_own_day(company, firm):
    old = _do(company, lambda e: log.log_hours(e, firm.job, EARLIER, firm.seal, firm.owner, 90))
    new = _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.owner, 90))
    by_helper = _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.helper, 90))
    before, after, helper = (_hours(company, one) for one in (old, new, by_helper))
    assert 0 < before.rate_cents < after.rate_cents
    assert helper.rate_cents < after.rate_cents
    assert before.overhead_rate_cents == 900  # $900 a month over 100 billable hours


def test_hours_moved_to_another_day_take_the_rate_of_that_day(company, firm):
    entry = _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.owner, 90))
    now = _hours(company, entry).rate_cents
    _do(company, lambda e: log.change_hours(e, entry, day=EARLIER))
    assert _hours(company, entry).rate_cents < now
    _do(company, lambda e: log.change_hours(e, entry, day=TODAY))
    assert _hours(company, entry).rate_cents == now


def test_a_correction_of_minutes_takes_the_typed_span_away(company, firm):
    entry = _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.owner, 90, began=480))
    _do(company, lambda e: log.change_hours(e, entry, minutes=60))
    assert (_hours(company, entry).minutes, _hours(company, entry).began) == (60, None)
    company.undo()
    assert (_hours(company, entry).minutes, _hours(company, entry).began) == (90, 480)


@pytest.mark.parametrize(
    ("day", "minutes", "word"),
    [
        (TODAY + timedelta(days=1), 60, "not come yet"),
        (date(2026, 1, 31), 60, "opened on"),
        (TODAY, 0, "no time at all"),
        (TODAY, -5, "no time at all"),
        (TODAY, 1441, "more than a day has"),
    ],
)
def test_an_impossible_day_or_length_is_refused_with_its_reason(company, firm, day, minutes, word):
    with pytest.raises(Refused, match=word):
        _do(company, lambda e: log.log_hours(e, firm.job, day, firm.seal, firm.owner, minutes, today=TODAY))
    with company.read() as conn:
        assert not fetch_all(conn, HoursEntry, hours_entry)


def test_a_whole_day_is_the_most_one_person_can_have(company, firm):
    _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.owner, 1440))
    _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.helper, 60))
    with pytest.raises(Refused, match="more than 24 hours"):
        _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.paint, firm.owner, 1))


@pytest.mark.parametrize(
    ("day", "began", "minutes", "meets"),
    [
        (TODAY, 8 * 60, 60, False),  # ends as the other begins
        (TODAY, 8 * 60, 61, True),
        (TODAY, 11 * 60, 30, False),
        (TODAY, 10 * 60, 5, True),
        (TODAY - timedelta(days=1), 23 * 60, 10 * 60 + 1, True),  # past midnight into the morning's work
        (TODAY - timedelta(days=1), 23 * 60, 10 * 60, False),
    ],
)
def test_spans_of_one_person_that_overlap_are_pointed_out(company, firm, day, began, minutes, meets):
    _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.owner, 120, began=9 * 60))

    def enter(edit):
        return log.log_hours(edit, firm.job, day, firm.paint, firm.owner, minutes, began=began)

    if meets:
        with pytest.raises(Refused, match=r"overlaps 9:00-11:00 that Wren Osei has on job 26-001 \(Seal\)"):
            _do(company, enter)
    else:
        assert _do(company, enter)


def test_another_person_may_work_at_the_same_time(company, firm):
    for who in (firm.owner, firm.helper):
        assert _do(company, lambda e, who=who: log.log_hours(e, firm.job, TODAY, firm.seal, who, 120, began=540))


def test_an_entry_does_not_overlap_itself_when_corrected(company, firm):
    entry = _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.owner, 120, began=540))
    _do(company, lambda e: log.change_hours(e, entry, minutes=150, began=540))
    assert _hours(company, entry).minutes == 150


def test_the_log_of_a_closed_job_stands(company, firm):
    entry = _do(company, lambda e: log.log_hours(e, firm.job, EARLIER, firm.seal, firm.owner, 60))
    _do(company, lambda e: e.change(job, firm.job, closed_on=TODAY))
    for work in (
        lambda e: log.log_hours(e, firm.job, EARLIER, firm.seal, firm.owner, 60),
        lambda e: log.change_hours(e, entry, minutes=30),
        lambda e: log.remove_hours(e, entry),
        lambda e: log.log_material(e, firm.job, EARLIER, firm.pipe, "", Decimal(1)),
        lambda e: log.log_other_cost(e, firm.job, EARLIER, "travel", "", Decimal(10)),
        lambda e: log.use_as_quoted(e, firm.job, EARLIER),
        lambda e: log.start_timer(e, firm.job, firm.seal, firm.owner, datetime(2026, 11, 12, 8)),
    ):
        with pytest.raises(Refused, match=r"26-001 was closed on .* Reopen"):
            _do(company, work)


def test_a_write_off_needs_no_reopening_of_a_closed_job(company, firm):
    _do(company, lambda e: e.change(job, firm.job, closed_on=EARLIER))
    entry = _do(company, lambda e: write_offs.write_off(e, firm.job, TODAY, 4_000, "never paid", today=TODAY))
    with company.read() as conn:
        assert fetch_one(conn, PriceAdjustment, price_adjustment, entry).amount_cents == 4_000
        assert fetch_one(conn, Job, job, firm.job).closed_on == EARLIER
    _do(company, lambda e: write_offs.remove_write_off(e, entry))
    with company.read() as conn:
        assert fetch_all(conn, PriceAdjustment, price_adjustment) == []


def test_hours_taken_out_come_back_with_undo(company, firm):
    entry = _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.owner, 60, note="north wall"))
    _do(company, lambda e: log.remove_hours(e, entry))
    with company.read() as conn:
        assert log_day(conn, firm.job, TODAY).hours == ()
    company.undo()
    assert _hours(company, entry).note == "north wall"


# Materials and other costs


def test_a_material_without_a_typed_price_takes_the_one_in_force(company, firm):
    old = _do(company, lambda e: log.log_material(e, firm.job, EARLIER, firm.pipe, "", Decimal(5)))
    new = _do(company, lambda e: log.log_material(e, firm.job, TODAY, firm.pipe, "", Decimal(5)))
    with company.read() as conn:
        uses = fetch_all(conn, MaterialUse, material_use)
    assert [(one.id, one.unit_cost, one.unit, one.description) for one in uses] == [
        (old, Decimal("2.1000"), "ft", "3 in pipe"), (new, Decimal("2.2500"), "ft", "3 in pipe"),
    ]  # fmt: skip


def test_something_off_the_list_needs_words_and_a_price(company, firm):
    with pytest.raises(Refused, match="Say what was used"):
        _do(company, lambda e: log.log_material(e, firm.job, TODAY, None, " ", Decimal(1), "each", Decimal(4)))
    with pytest.raises(Refused, match="no price for Odd coupling"):
        _do(company, lambda e: log.log_material(e, firm.job, TODAY, None, "Odd coupling", Decimal(1), "each"))
    with pytest.raises(Refused, match="counted in"):
        _do(company, lambda e: log.log_material(e, firm.job, TODAY, None, "Odd coupling", Decimal(1), "", Decimal(4)))
    entry = _do(
        company,
        lambda e: log.log_material(
            e, firm.job, TODAY, None, "Odd coupling", Decimal(1), "each", Decimal("4.10"), "receipt", "No. 18", True
        ),
    )
    with company.read() as conn:
        use = fetch_one(conn, MaterialUse, material_use, entry)
    assert (use.source, use.receipt, use.unquoted) == ("receipt", "No. 18", True)


@pytest.mark.parametrize("quantity", [Decimal(0), Decimal(-1)])
def test_nothing_used_is_no_entry(company, firm, quantity):
    with pytest.raises(Refused, match="Type how many"):
        _do(company, lambda e: log.log_material(e, firm.job, TODAY, firm.pipe, "", quantity))


def test_as_quoted_uses_what_is_left_at_the_price_in_force_or_as_quoted(company, firm):
    _do(company, lambda e: log.log_material(e, firm.job, TODAY, firm.pipe, "", Decimal(22)))
    made = _do(company, lambda e: log.use_as_quoted(e, firm.job, TODAY))
    with company.read() as conn:
        uses = [fetch_one(conn, MaterialUse, material_use, one) for one in made]
    assert [(one.description, one.quantity, one.unit_cost) for one in uses] == [
        ("3 in pipe", Decimal(38), Decimal("2.2500")), ("Roof boot", Decimal(1), Decimal("18.0000")),
    ]  # fmt: skip
    assert _do(company, lambda e: log.use_as_quoted(e, firm.job, TODAY)) == []


def test_as_quoted_can_be_asked_for_one_material_alone(company, firm):
    made = _do(company, lambda e: log.use_as_quoted(e, firm.job, TODAY, keys=[(firm.pipe, "")]))
    assert len(made) == 1


def test_miles_cost_what_a_mile_costs_that_day(company, firm):
    entry = _do(company, lambda e: log.log_other_cost(e, firm.job, EARLIER, "travel", "", Decimal(42)))
    with company.read() as conn:
        cost = fetch_one(conn, OtherCost, other_cost, entry)
    assert (cost.unit, cost.unit_cost) == ("mile", Decimal("0.7000"))
    _do(company, lambda e: log.change_other_cost(e, entry, day=TODAY))
    with company.read() as conn:
        assert fetch_one(conn, OtherCost, other_cost, entry).unit_cost == Decimal("0.7250")


def test_a_permit_needs_its_amount_and_a_known_kind(company, firm):
    with pytest.raises(Refused, match="what it cost"):
        _do(company, lambda e: log.log_other_cost(e, firm.job, TODAY, "permit", "Town", Decimal(1)))
    with pytest.raises(Refused, match="not one of the kinds"):
        _do(company, lambda e: log.log_other_cost(e, firm.job, TODAY, "gift", "", Decimal(1), "", Decimal(1)))


# The running clock


def test_the_clock_runs_on_while_the_program_is_closed(company, firm):
    _do(company, lambda e: log.start_timer(e, firm.job, firm.seal, firm.owner, datetime(2026, 11, 12, 8, 15, 20)))
    with company.read() as conn:
        running = running_timer(conn)
    assert running is not None
    assert (running.timer.started_at, running.task, running.job_number) == ("2026-11-12T08:15:20", "Seal", "26-001")
    entry = _do(company, lambda e: log.stop_timer(e, datetime(2026, 11, 12, 10, 30, 10)))
    hours = _hours(company, entry)
    assert (hours.day, hours.minutes, hours.began) == (TODAY, 135, 8 * 60 + 15)
    with company.read() as conn:
        assert running_timer(conn) is None


def test_a_rounded_clock_keeps_no_span(company, firm):
    _do(company, lambda e: log.start_timer(e, firm.job, firm.seal, firm.owner, datetime(2026, 11, 12, 8)))
    entry = _do(company, lambda e: log.stop_timer(e, datetime(2026, 11, 12, 8, 22, 30), round_to=15))
    assert (_hours(company, entry).minutes, _hours(company, entry).began) == (30, None)


def test_starting_on_another_task_stops_and_logs_the_first(company, firm):
    _do(company, lambda e: log.start_timer(e, firm.job, firm.seal, firm.owner, datetime(2026, 11, 12, 8)))
    _do(company, lambda e: log.start_timer(e, firm.job, firm.paint, firm.owner, datetime(2026, 11, 12, 9)))
    with company.read() as conn:
        assert [one.minutes for one in job_log(conn, firm.job).hours] == [60]
        assert conn.execute(select(timer.c.task_id)).scalars().all() == [firm.paint]


def test_a_clock_of_seconds_or_of_days_is_not_logged(company, firm):
    _do(company, lambda e: log.start_timer(e, firm.job, firm.seal, firm.owner, datetime(2026, 11, 10, 8)))
    with pytest.raises(Refused, match="less than a minute"):
        _do(company, lambda e: log.stop_timer(e, datetime(2026, 11, 10, 8, 0, 20)))
    with pytest.raises(Refused, match="left running"):
        _do(company, lambda e: log.stop_timer(e, datetime(2026, 11, 12, 8)))
    entry = _do(company, lambda e: log.stop_timer(e, datetime(2026, 11, 12, 8), minutes=200))
    assert (_hours(company, entry).day, _hours(company, entry).minutes) == (date(2026, 11, 10), 200)


def test_a_cancelled_clock_logs_nothing(company, firm):
    _do(company, lambda e: log.start_timer(e, firm.job, firm.seal, firm.owner, datetime(2026, 11, 12, 8)))
    _do(company, log.cancel_timer)
    with company.read() as conn:
        assert running_timer(conn) is None
        assert job_log(conn, firm.job).hours == ()
    with pytest.raises(Refused, match="No clock"):
        _do(company, lambda e: log.stop_timer(e, datetime(2026, 11, 12, 9)))


# Budget and log side by side


def test_the_budget_is_the_accepted_base_its_chosen_options_and_accepted_change_orders(company, firm):
    with company.action("More quotes") as edit:
        chosen = edit.add(quote_option, quote_id=firm.quote, name="Paint it", chosen=True)
        other = edit.add(quote_option, quote_id=firm.quote, name="Not wanted")
        _labour(edit, firm.quote, firm.paint, 30, chosen)
        _labour(edit, firm.quote, firm.paint, 500, other)
        _labour(edit, _quote(edit, firm.job, "change_order", date(2026, 3, 1)), firm.seal, 45)
        _labour(edit, _quote(edit, firm.job, "change_order", None, 2), firm.seal, 1000)
    with company.read() as conn:
        budget, so_far = job_budget(conn, firm.job), job_so_far(conn, firm.job)
    assert [(line.task_id, line.minutes) for line in budget.labour] == [
        (firm.seal, 120), (firm.paint, 30), (firm.seal, 45),
    ]  # fmt: skip
    # $120.00 + $30.00 + $45.00 labour, $120.00 pipe, $18.00 boot, $22.50 and $6.75 overhead
    assert so_far.quoted_minutes == 195
    assert so_far.quoted_cents == 19_500 + 12_000 + 1_800 + 2_250 + 675


def test_work_on_a_task_without_a_line_counts_as_unquoted(company, firm):
    _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.owner, 130))
    _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.seal, firm.owner, 20, unquoted=True))
    _do(company, lambda e: log.log_hours(e, firm.job, TODAY, firm.paint, firm.owner, 15))
    with company.read() as conn:
        rows = hours_rows(job_budget(conn, firm.job), job_log(conn, firm.job), TODAY, firm.owner)
    assert [(r.key, r.quoted_minutes, r.minutes, r.over_minutes) for r in rows] == [
        ((firm.seal, False), 120, 130, 10), ((firm.seal, True), 0, 20, 0), ((firm.paint, True), 0, 15, 0),
    ]  # fmt: skip


def test_materials_used_twice_are_one_row(company, firm):
    for quantity in (20, 50):
        _do(company, lambda e, n=quantity: log.log_material(e, firm.job, TODAY, firm.pipe, "", Decimal(n)))
    with company.read() as conn:
        rows = materials_so_far(job_budget(conn, firm.job).materials, job_log(conn, firm.job).materials)
    assert [(r.description, r.quoted, r.used, r.left) for r in rows] == [
        ("3 in pipe", 60, 70, 0), ("Roof boot", 1, 0, 1),
    ]  # fmt: skip


def test_jobs_scheduled_today_are_offered_first(company, firm):
    with company.action("Two more jobs") as edit:
        for number, day in (("26-002", TODAY), ("26-003", TODAY + timedelta(days=4))):
            edit.add(
                job, number=number, customer_id=1, property_id=1, job_type_id=1, opened_on=EARLIER, scheduled_on=day
            )
        log.log_hours(edit, firm.job, TODAY - timedelta(days=1), firm.seal, firm.owner, 60)
    with company.read() as conn:
        offered = jobs_to_offer(conn, TODAY)
    assert [one.number for one in offered] == ["26-002", "26-001", "26-003"]
    assert offered[1].logged_on == TODAY - timedelta(days=1)
