"""Quotes in a company file: written, sent and frozen, revised, answered, priced anew."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from db import tables
from db.commands import jobs, quotes
from db.company_file.problems import Refused
from db.queries.quotes import changes_since, price_picks, quotes_of_job, task_picks
from domain.quoting.lines import QuoteDocument
from domain.quoting.price import build_price
from tests.db.quote_company import STARTED, TODAY, QuoteCompany, make_quote_company


@pytest.fixture
def shop() -> Iterator[QuoteCompany]:
    made = make_quote_company()
    yield made
    made.company.close()


def test_a_proposal_starts_with_the_usual_lines_terms_and_texts(shop: QuoteCompany) -> None:
    document = shop.document(shop.start())
    quote, firm = document.quote, shop.firm
    assert (quote.kind, quote.version, quote.created_on) == ("proposal", 1, TODAY)
    assert document.labour
    assert document.materials
    assert all(line.unit_cost > 0 for line in document.materials)
    assert quote.owner_rate_cents == shop.rates().owner_cents > 0
    assert quote.minimum_charge_cents == firm.minimum_charge_cents
    assert quote.scope_text
    assert quote.warranty_text == firm.warranty_text


def test_a_proposal_can_start_empty(shop: QuoteCompany) -> None:
    document = shop.document(shop.start(usual_lines=False))
    assert (document.labour, document.materials, document.others) == ((), (), ())


def test_usual_lines_come_once(shop: QuoteCompany) -> None:
    quote_id = shop.start(usual_lines=False)
    assert shop.do(quotes.add_usual_lines, quote_id) > 0
    assert shop.do(quotes.add_usual_lines, quote_id) == 0


def test_access_conditions_lengthen_the_work_and_say_so(shop: QuoteCompany) -> None:
    factor = shop.first_id(tables.task_factor, tables.task_factor.c.factor_percent > 100)
    with shop.company.read() as conn:
        row = conn.execute(tables.task_factor.select().where(tables.task_factor.c.id == factor)).one()
        plain = next(pick for pick in task_picks(conn, shop.job_id) if pick.task.id == row.task_id)
    assert plain.factor_percent == 100
    shop.do(jobs.set_conditions, shop.job_id, [row.condition_id])
    quote_id = shop.start(usual_lines=False)
    line_id = shop.do(quotes.add_labour, quote_id, row.task_id, Decimal(3))
    (line,) = shop.document(quote_id).labour
    assert line.id == line_id
    assert line.factor_percent == row.factor_percent
    assert line.standard_minutes > 3 * line.unit_minutes
    assert line.reason


def test_an_override_is_kept_beside_the_standard(shop: QuoteCompany) -> None:
    quote_id = shop.start(usual_lines=False)
    task_id = shop.first_id(tables.labour_task)
    line_id = shop.do(quotes.add_labour, quote_id, task_id, Decimal(1), override_minutes=200)
    (line,) = shop.document(quote_id).labour
    assert (line.minutes, line.override_minutes) == (200, 200)
    assert line.standard_minutes != 200
    shop.do(quotes.change_labour, line_id, override_minutes=None)
    (line,) = shop.document(quote_id).labour
    assert line.minutes == line.standard_minutes


def test_another_hand_brings_another_rate(shop: QuoteCompany) -> None:
    quote_id = shop.start(usual_lines=False)
    line_id = shop.do(quotes.add_labour, quote_id, shop.first_id(tables.labour_task), Decimal(1))
    shop.do(quotes.change_labour, line_id, crew="helper")
    (line,) = shop.document(quote_id).labour
    assert line.rate_cents == shop.rates().helper_cents
    with pytest.raises(Refused, match="neither owner nor helper"):
        shop.do(quotes.change_labour, line_id, crew="cousin")


def test_another_item_brings_its_own_price_unit_and_waste(shop: QuoteCompany) -> None:
    quote_id = shop.start(usual_lines=False)
    with shop.company.read() as conn:
        first, second = price_picks(conn, TODAY)[:2]
    line_id = shop.do(quotes.add_material, quote_id, first.item.id, Decimal(4))
    shop.do(quotes.change_material, line_id, item_id=second.item.id)
    (line,) = shop.document(quote_id).materials
    assert (line.description, line.unit, line.unit_cost) == (second.item.name, second.item.unit, second.unit_cost)
    shop.do(quotes.change_material, line_id, waste_percent=Decimal(25))
    assert shop.document(quote_id).materials[0].quantity == Decimal(5)


def test_travel_is_counted_in_miles_at_the_firms_cost(shop: QuoteCompany) -> None:
    quote_id = shop.start(usual_lines=False)
    line_id = shop.do(quotes.add_other, quote_id, "travel", Decimal(40))
    (line,) = shop.document(quote_id).others
    assert (line.unit, line.unit_cost) == ("mile", shop.rates().mile_cost)
    shop.do(quotes.change_other, line_id, kind="permit", unit_cost=Decimal(90), quantity=Decimal(1))
    assert shop.document(quote_id).others[0].unit == "each"


def test_lines_move_among_their_neighbours(shop: QuoteCompany) -> None:
    quote_id = shop.start(usual_lines=False)
    ids = [shop.do(quotes.add_other, quote_id, "permit", Decimal(1), Decimal(n)) for n in range(3)]
    shop.do(quotes.move_line, "other", ids[0], 1)
    assert [line.id for line in shop.document(quote_id).others] == [ids[1], ids[0], ids[2]]
    shop.do(quotes.move_line, "other", ids[0], -9)
    assert [line.id for line in shop.document(quote_id).others] == ids


def test_an_option_goes_with_its_lines(shop: QuoteCompany) -> None:
    quote_id = shop.start(usual_lines=False)
    option_id = shop.do(quotes.add_option, quote_id, "Quieter fan")
    shop.do(quotes.add_other, quote_id, "equipment", Decimal(1), Decimal(90), option_id=option_id)
    shop.do(quotes.change_option, option_id, description="A fan with less noise.")
    assert shop.document(quote_id).options[0].description
    shop.do(quotes.remove_option, option_id)
    document = shop.document(quote_id)
    assert (document.options, document.others) == ((), ())


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({"pricing_percent": Decimal(100)}, "below 100%"),
        ({"pricing": "guess"}, "no way to price"),
        ({"tax_percent": Decimal(101)}, "between 0% and 100%"),
        ({"tax_treatment": "maybe"}, "no tax treatment"),
        ({"rounding_cents": 0}, "rounded up"),
        ({"fixed_price_cents": -1}, "price has to lie"),
    ],
)
def test_impossible_terms_are_refused(shop: QuoteCompany, values: dict[str, Any], message: str) -> None:
    quote_id = shop.start()
    before = shop.document(quote_id)
    with pytest.raises(Refused, match=message):
        shop.do(quotes.set_pricing, quote_id, **values)
    assert shop.document(quote_id) == before


def test_less_than_nothing_belongs_on_a_change_order(shop: QuoteCompany) -> None:
    quote_id = shop.start()
    with pytest.raises(Refused, match="less than nothing"):
        shop.do(quotes.add_other, quote_id, "permit", Decimal(-1), Decimal(5))
    with pytest.raises(Refused, match="more than one job"):
        shop.do(quotes.add_other, quote_id, "permit", Decimal(10**9), Decimal(5))
    order_id = accepted_with_change_order(shop, quote_id)
    shop.do(quotes.add_other, order_id, "permit", Decimal(-1), Decimal(50))
    assert build_price(shop.document(order_id)).alone.list_price_cents < 0


def accepted_with_change_order(shop: QuoteCompany, quote_id: int) -> int:
    shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    order_id: int = shop.do(quotes.start_change_order, shop.job_id, TODAY, shop.rates(), shop.firm)
    return order_id


# Sent means frozen


def changes(quote_id: int, document: QuoteDocument, shop: QuoteCompany) -> list[Callable[[], Any]]:
    """Every way to change a quote."""
    labour_id, material_id = document.labour[0].id, document.materials[0].id
    other_id, option_id = document.others[0].id, document.options[0].id
    calls: list[tuple[Any, ...]] = [
        (quotes.add_labour, quote_id, document.labour[0].task_id, Decimal(1)),
        (quotes.change_labour, labour_id, {"quantity": Decimal(9)}),
        (quotes.add_material, quote_id, document.materials[0].item_id, Decimal(1)),
        (quotes.change_material, material_id, {"net_quantity": Decimal(9)}),
        (quotes.add_other, quote_id, "permit", Decimal(1), Decimal(5)),
        (quotes.change_other, other_id, {"quantity": Decimal(9)}),
        *((quotes.remove_line, kind, one) for kind, one in
          (("labour", labour_id), ("material", material_id), ("other", other_id))),
        *((quotes.move_line, kind, one, 1) for kind, one in
          (("labour", labour_id), ("material", material_id), ("other", other_id))),
        (quotes.add_option, quote_id, "more"),
        (quotes.change_option, option_id, {"name": "else"}),
        (quotes.remove_option, option_id),
        (quotes.set_pricing, quote_id, {"pricing_percent": Decimal(5)}),
        (quotes.set_goodwill, quote_id, 100),
        (quotes.set_texts, quote_id, {"scope_text": "else"}),
        (quotes.add_usual_lines, quote_id),
        (quotes.refresh_rates_and_prices, quote_id, TODAY + timedelta(400)),
        (quotes.send_quote, quote_id, TODAY),
        (quotes.delete_draft, quote_id),
    ]  # fmt: skip

    def run(call: tuple[Any, ...]) -> Callable[[], Any]:
        command, *args = call
        named = args.pop() if args and isinstance(args[-1], dict) else {}
        return lambda: shop.do(command, *args, **named)

    return [run(call) for call in calls]


def full_quote(shop: QuoteCompany) -> int:
    quote_id = shop.start()
    option_id = shop.do(quotes.add_option, quote_id, "Second pit")
    shop.do(quotes.add_other, quote_id, "permit", Decimal(1), Decimal(90))
    shop.do(quotes.add_other, quote_id, "equipment", Decimal(1), Decimal(40), option_id=option_id)
    return quote_id


def test_nothing_moves_a_sent_quote(shop: QuoteCompany) -> None:
    quote_id = full_quote(shop)
    told = build_price(shop.document(quote_id))
    shop.do(quotes.send_quote, quote_id, TODAY)
    before = shop.document(quote_id)
    assert before.quote.price_cents == told.alone.list_price_cents
    assert before.options[0].price_cents == told.options[0].price_cents
    assert before.quote.expires_on == TODAY + timedelta(shop.firm.valid_days)
    for change in changes(quote_id, before, shop):
        with pytest.raises(Refused):
            change()
        assert shop.document(quote_id) == before


def test_later_prices_and_rates_do_not_reach_a_sent_quote(shop: QuoteCompany) -> None:
    quote_id = full_quote(shop)
    shop.do(quotes.send_quote, quote_id, TODAY)
    before = build_price(shop.document(quote_id))
    with shop.company.action("dearer") as edit:
        for line in shop.document(quote_id).materials:
            edit.add(tables.item_price, item_id=line.item_id, starts_on=TODAY + timedelta(1), unit_cost=Decimal(999))
        edit.add(tables.mile_cost, starts_on=TODAY + timedelta(1), unit_cost=Decimal(9))
    after = shop.document(quote_id)
    assert build_price(after) == before
    with shop.company.read() as conn:
        assert changes_since(conn, after, TODAY + timedelta(2)) == ()


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(order=st.permutations(range(20)))
def test_no_order_of_attempts_moves_it_either(shop: QuoteCompany, order: list[int]) -> None:
    with shop.company.read() as conn:
        heads = quotes_of_job(conn, shop.job_id)
    quote_id = heads[0].quote.id if heads else full_quote(shop)
    if not heads:
        shop.do(quotes.send_quote, quote_id, TODAY)
    before = shop.document(quote_id)
    attempts = changes(quote_id, before, shop)
    for place in order:
        with pytest.raises(Refused):
            attempts[place % len(attempts)]()
    assert shop.document(quote_id) == before


def test_an_empty_quote_is_not_sent(shop: QuoteCompany) -> None:
    quote_id = shop.start(usual_lines=False)
    with pytest.raises(Refused, match="nothing on this quote"):
        shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.set_pricing, quote_id, pricing="fixed", fixed_price_cents=50000)
    shop.do(quotes.set_goodwill, quote_id, 50001)
    with pytest.raises(Refused, match="more than the price"):
        shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.set_goodwill, quote_id, 0)
    shop.do(quotes.send_quote, quote_id, TODAY)


# Versions and answers


def test_a_revision_is_a_copy_that_can_be_changed(shop: QuoteCompany) -> None:
    first = full_quote(shop)
    shop.do(quotes.send_quote, first, TODAY)
    second = shop.do(quotes.revise_quote, first, TODAY + timedelta(3))
    old, new = shop.document(first), shop.document(second)
    assert (new.quote.version, new.quote.sent_on, new.quote.price_cents) == (2, None, None)
    assert build_price(new).together.list_price_cents == build_price(old).together.list_price_cents
    assert [line.option_id for line in new.others] == [None, new.options[0].id]
    with pytest.raises(Refused, match="still a draft"):
        shop.do(quotes.revise_quote, first, TODAY)
    with pytest.raises(Refused, match="not sent yet"):
        shop.do(quotes.revise_quote, second, TODAY)


def test_acceptance_tells_the_price_of_what_was_chosen(shop: QuoteCompany) -> None:
    quote_id = full_quote(shop)
    shop.do(quotes.send_quote, quote_id, TODAY)
    sent = shop.document(quote_id)
    option = sent.options[0]
    shop.do(quotes.accept_quote, quote_id, TODAY + timedelta(2), [option.id])
    accepted = shop.document(quote_id)
    assert accepted.options[0].chosen
    assert sent.quote.price_cents is not None
    assert option.price_cents is not None
    assert accepted.quote.price_cents == sent.quote.price_cents + option.price_cents
    assert build_price(accepted).together.list_price_cents == accepted.quote.price_cents


def test_only_one_proposal_of_a_job_is_accepted(shop: QuoteCompany) -> None:
    first = full_quote(shop)
    shop.do(quotes.send_quote, first, TODAY)
    second = shop.do(quotes.revise_quote, first, TODAY)
    shop.do(quotes.send_quote, second, TODAY)
    shop.do(quotes.accept_quote, second, TODAY)
    with pytest.raises(Refused, match="accepted version 2"):
        shop.do(quotes.accept_quote, first, TODAY)
    with pytest.raises(Refused, match="change order"):
        shop.start()
    with pytest.raises(Refused, match="change order"):
        shop.do(quotes.revise_quote, second, TODAY)


def test_answers_need_a_sent_quote_a_day_and_a_reason(shop: QuoteCompany) -> None:
    quote_id = full_quote(shop)
    with pytest.raises(Refused, match="not sent yet"):
        shop.do(quotes.accept_quote, quote_id, TODAY)
    shop.do(quotes.send_quote, quote_id, TODAY)
    with pytest.raises(Refused, match="before that"):
        shop.do(quotes.accept_quote, quote_id, TODAY - timedelta(1))
    with pytest.raises(Refused, match="few words why"):
        shop.do(quotes.decline_quote, quote_id, TODAY, "  ")
    shop.do(quotes.decline_quote, quote_id, TODAY, "dearer than the other offer")
    with pytest.raises(Refused, match="was declined"):
        shop.do(quotes.accept_quote, quote_id, TODAY)
    assert shop.do(quotes.revise_quote, quote_id, TODAY) != quote_id


def test_a_cancelled_job_gets_no_quote(shop: QuoteCompany) -> None:
    shop.do(jobs.cancel_job, shop.job_id, TODAY, "sold the house")
    with pytest.raises(Refused, match="is canceled"):
        shop.start()


def test_sending_and_accepting_can_be_undone(shop: QuoteCompany) -> None:
    quote_id = full_quote(shop)
    draft = shop.document(quote_id)
    shop.do(quotes.send_quote, quote_id, TODAY)
    sent = shop.document(quote_id)
    shop.do(quotes.accept_quote, quote_id, TODAY, [sent.options[0].id])
    shop.company.undo()
    assert shop.document(quote_id) == sent
    shop.company.undo()
    assert shop.document(quote_id) == draft


def test_a_deleted_draft_comes_back_whole(shop: QuoteCompany) -> None:
    quote_id = full_quote(shop)
    before = shop.document(quote_id)
    shop.do(quotes.delete_draft, quote_id)
    with pytest.raises(LookupError):
        shop.document(quote_id)
    shop.company.undo()
    assert shop.document(quote_id) == before


# Priced anew


def test_a_draft_is_priced_anew_with_what_was_typed_kept(shop: QuoteCompany) -> None:
    quote_id = full_quote(shop)
    document = shop.document(quote_id)
    typed = document.labour[0]
    shop.do(quotes.change_labour, typed.id, override_minutes=77)
    later = TODAY + timedelta(30)
    with shop.company.action("dearer") as edit:
        edit.add(tables.item_price, item_id=document.materials[0].item_id, starts_on=later, unit_cost=Decimal("9.99"))
        edit.change(tables.labour_task, typed.task_id, standard_minutes=Decimal(55))
    with shop.company.read() as conn:
        found = changes_since(conn, shop.document(quote_id), later)
    assert {(one.kind, one.row_id) for one in found} == {("labour", typed.id), ("material", document.materials[0].id)}
    assert shop.do(quotes.refresh_rates_and_prices, quote_id, later) == 2
    fresh = shop.document(quote_id)
    assert fresh.materials[0].unit_cost == Decimal("9.99")
    assert (fresh.labour[0].unit_minutes, fresh.labour[0].minutes) == (Decimal(55), 77)
    assert shop.do(quotes.refresh_rates_and_prices, quote_id, later) == 0


def test_travel_follows_the_mile_and_a_price_typed_by_hand_does_not(shop: QuoteCompany) -> None:
    quote_id = shop.start(usual_lines=False)
    follows = shop.do(quotes.add_other, quote_id, "travel", Decimal(10))
    typed = shop.do(quotes.add_other, quote_id, "travel", Decimal(10), Decimal("1.25"))
    later = TODAY + timedelta(30)
    with shop.company.action("dearer") as edit:
        edit.add(tables.mile_cost, starts_on=later, unit_cost=Decimal("0.9"))
    shop.do(quotes.refresh_rates_and_prices, quote_id, later)
    costs = {line.id: line.unit_cost for line in shop.document(quote_id).others}
    assert costs == {follows: Decimal("0.9"), typed: Decimal("1.25")}


def test_a_pick_has_the_price_of_its_day(shop: QuoteCompany) -> None:
    with shop.company.read() as conn:
        assert all(pick.unit_cost is None for pick in price_picks(conn, STARTED - timedelta(1)))
        today = price_picks(conn, TODAY)
    assert today == sorted(today, key=lambda pick: pick.item.code)
    assert all(pick.unit_cost for pick in today)


def test_reading_a_document_takes_a_fixed_number_of_statements(shop: QuoteCompany) -> None:
    from sqlalchemy import event

    quote_id = full_quote(shop)
    counted: list[str] = []
    event.listen(shop.company.engine, "before_cursor_execute", lambda *args: counted.append(args[2]))
    shop.document(quote_id)
    assert len(counted) == 5


# Change orders


def log_unquoted(shop: QuoteCompany, day: date) -> tuple[int, int, int, int]:
    """Two hour entries on one task, a bought item and a rented tool, none of them quoted."""
    task_id = shop.first_id(tables.labour_task)
    person_id = shop.first_id(tables.person)
    with shop.company.action("log") as edit:
        hours = [
            edit.add(
                tables.hours_entry, job_id=shop.job_id, day=day, task_id=task_id, person_id=person_id, minutes=minutes,
                rate_cents=6000, overhead_rate_cents=1000, unquoted=True, note="old pipe",
            )
            for minutes in (45, 30)
        ]  # fmt: skip
        bought = edit.add(
            tables.material_use, job_id=shop.job_id, day=day, item_id=None, description="Union", quantity=Decimal(2),
            unit="each", unit_cost=Decimal("7.5"), source="receipt", unquoted=True,
        )  # fmt: skip
        rented = edit.add(
            tables.other_cost, job_id=shop.job_id, day=day, kind="equipment", description="Saw", quantity=Decimal(1),
            unit="day", unit_cost=Decimal(60), unquoted=True,
        )  # fmt: skip
    return hours[0], hours[1], bought, rented


def marks(shop: QuoteCompany) -> list[bool]:
    with shop.company.read() as conn:
        return [
            row.unquoted
            for table in (tables.hours_entry, tables.material_use, tables.other_cost)
            for row in conn.execute(table.select().order_by(table.c.id))
        ]


def test_unquoted_work_becomes_a_change_order_and_is_quoted_once_accepted(shop: QuoteCompany) -> None:
    proposal = shop.start()
    shop.do(quotes.send_quote, proposal, TODAY)
    shop.do(quotes.accept_quote, proposal, TODAY)
    log_unquoted(shop, TODAY)
    order_id = shop.do(quotes.start_change_order, shop.job_id, TODAY, shop.rates(), shop.firm, title="Old pipe")
    order = shop.document(order_id)
    assert (order.quote.kind, order.quote.version, order.quote.minimum_charge_cents) == ("change_order", 1, 0)
    (work,) = order.labour
    assert (work.minutes, work.override_minutes, work.crew) == (75, 75, "owner")
    assert work.reason == "logged Mar 3, 2026: old pipe"
    assert order.quote.scope_text.endswith(": old pipe"), "a draft of the customer's words, for the owner to change"
    assert [(line.description, line.quantity, line.unit_cost) for line in order.materials] == [
        ("Union", Decimal(2), Decimal("7.5"))
    ]
    assert [(line.kind, line.description) for line in order.others] == [("equipment", "Saw")]
    log_unquoted(shop, TODAY + timedelta(5))  # more of it, after the change order was written
    shop.do(quotes.send_quote, order_id, TODAY)
    assert all(marks(shop))
    shop.do(quotes.accept_quote, order_id, TODAY + timedelta(6))
    assert marks(shop) == [False, False, True, True, False, True, False, True]
    shop.company.undo()
    assert all(marks(shop))


def test_a_change_order_needs_an_accepted_proposal(shop: QuoteCompany) -> None:
    with pytest.raises(Refused, match="changes an accepted proposal"):
        shop.do(quotes.start_change_order, shop.job_id, TODAY, shop.rates(), shop.firm)


def test_change_orders_can_all_be_accepted(shop: QuoteCompany) -> None:
    proposal = shop.start()
    first = accepted_with_change_order(shop, proposal)
    second = shop.do(quotes.start_change_order, shop.job_id, TODAY, shop.rates(), shop.firm)
    for order_id in (first, second):
        shop.do(quotes.add_other, order_id, "permit", Decimal(1), Decimal(90))
        shop.do(quotes.send_quote, order_id, TODAY)
        shop.do(quotes.accept_quote, order_id, TODAY)
    with shop.company.read() as conn:
        heads = quotes_of_job(conn, shop.job_id)
    assert [(head.quote.kind, head.quote.version) for head in heads] == [
        ("proposal", 1), ("change_order", 1), ("change_order", 2)
    ]  # fmt: skip
    assert heads[1].lines == 1
