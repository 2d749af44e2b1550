"""The takeoff into a change order: what is different from what was accepted, from another route, or chosen lines."""

from __future__ import annotations

from decimal import Decimal

import pytest

from db import tables
from db.commands import quotes, takeoff
from db.company_file.problems import Refused
from db.queries.log import job_budget
from db.queries.takeoff import takeoff_facts
from domain.job_takeoff.reckoning import reckon, route_sheet, rules_of
from domain.quoting.lines import LabourLine, MaterialLine
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company

SHORT = "A: pit at -6', crawl 3in up 2', 45, pitched 8' rise 1/4, 45, sleeve, outside up 3', fan, up 10', out"
LONG = "A: pit at -6', crawl 3in up 2', 45, pitched 28' rise 1/4, 45, sleeve, outside up 3', fan, up 10', out"


@pytest.fixture
def shop() -> QuoteCompany:
    """A job whose proposal was taken from the short route and accepted."""
    shop = make_quote_company()
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", SHORT)
    quote_id = shop.do(takeoff.take_into_quote, shop.job_id, TODAY, shop.rates(), shop.firm).quote_id
    shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    return shop


def take(shop: QuoteCompany, **how: object) -> takeoff.Taken:
    taken: takeoff.Taken = shop.do(
        takeoff.take_into_change_order, shop.job_id, TODAY, shop.rates(), shop.firm, **how
    )
    return taken


def retype(shop: QuoteCompany, words: str) -> None:
    shop.do(takeoff.change_route, shop.first_id(tables.route), words=words)


def lines(shop: QuoteCompany, quote_id: int) -> dict[str, MaterialLine | LabourLine]:
    document = shop.document(quote_id)
    return {line.takeoff_key: line for line in (*document.materials, *document.labour)}


def listed(shop: QuoteCompany) -> dict[str, Decimal]:
    with shop.company.read() as conn:
        facts = takeoff_facts(conn, shop.job_id, TODAY)
    rules = rules_of(facts)
    counted = reckon(facts, [route_sheet(row, rules) for row in facts.routes], rules)
    work = {f"work:{total.pick.task.id}": total.quantity for total in counted.totals}
    return {one.line.key: one.quantity for one in counted.bought if one.quantity} | work


def sold(shop: QuoteCompany) -> dict[str, Decimal]:
    with shop.company.read() as conn:
        budget = job_budget(conn, shop.job_id)
    found: dict[str, Decimal] = {}
    for line in (*budget.materials, *budget.labour):
        if line.takeoff_key:
            found[line.takeoff_key] = found.get(line.takeoff_key, Decimal(0)) + line.quantity
    return {key: quantity for key, quantity in found.items() if quantity}


def test_an_unchanged_list_makes_no_change_order(shop: QuoteCompany) -> None:
    with pytest.raises(Refused, match="Nothing is different"):
        take(shop)


def test_only_what_is_more_is_put_on_it(shop: QuoteCompany) -> None:
    retype(shop, LONG)
    taken = take(shop)
    assert taken.begun
    made = lines(shop, taken.quote_id)
    assert made["pipe:3"].quantity == 20
    assert "20 more than the 22.933 before" in made["pipe:3"].reason
    run = made[f"work:{shop.id_of(tables.labour_task, 'Run pipe in crawl space')}"]
    assert isinstance(run, LabourLine)
    assert run.quantity == 20
    assert run.minutes > 0
    assert "fan:3" not in made


def test_what_was_sold_with_the_change_order_is_the_list(shop: QuoteCompany) -> None:
    retype(shop, LONG.replace("45, pitched", "90, pitched").replace(", sleeve", ""))
    taken = take(shop)
    shop.do(quotes.send_quote, taken.quote_id, TODAY)
    shop.do(quotes.accept_quote, taken.quote_id, TODAY)
    assert sold(shop) == listed(shop)
    with pytest.raises(Refused, match="Nothing is different"):
        take(shop)
    retype(shop, SHORT)
    back = take(shop)
    assert back.quote_id != taken.quote_id
    shop.do(quotes.send_quote, back.quote_id, TODAY)
    shop.do(quotes.accept_quote, back.quote_id, TODAY)
    assert sold(shop) == listed(shop)


def test_less_is_given_back_at_the_price_it_was_sold_for(shop: QuoteCompany) -> None:
    with shop.company.read() as conn:
        was = next(line for line in job_budget(conn, shop.job_id).materials if line.takeoff_key == "sleeve:3")
    with shop.company.action("dearer") as edit:
        edit.add(tables.item_price, item_id=was.item_id, starts_on=TODAY, unit_cost=was.unit_cost * 3)
    retype(shop, SHORT.replace(", sleeve", ""))
    line = lines(shop, take(shop).quote_id)["sleeve:3"]
    assert isinstance(line, MaterialLine)
    assert (line.quantity, line.unit_cost) == (-was.quantity, was.unit_cost)
    assert line.description == was.description


def test_the_open_change_order_follows_the_list_and_typed_lines_stay(shop: QuoteCompany) -> None:
    retype(shop, LONG)
    first = take(shop)
    shop.do(quotes.add_other, first.quote_id, "permit", Decimal(1), Decimal(40))
    typed = shop.do(quotes.add_material, first.quote_id, None, Decimal(2), description="shims")
    retype(shop, LONG.replace("28'", "18'"))
    again = take(shop)
    assert (again.quote_id, again.begun) == (first.quote_id, False)
    assert again.changed
    assert lines(shop, again.quote_id)["pipe:3"].quantity == 10
    assert typed in {line.id for line in shop.document(again.quote_id).materials}
    assert take(shop).changed == 0
    retype(shop, SHORT)
    assert take(shop).removed
    assert {line.takeoff_key for line in shop.document(again.quote_id).materials} == {""}


def test_chosen_lines_alone(shop: QuoteCompany) -> None:
    retype(shop, LONG)
    taken = take(shop, keys={"pipe:3"})
    assert set(lines(shop, taken.quote_id)) == {"pipe:3"}
    taken = take(shop, keys={"cement"})
    assert set(lines(shop, taken.quote_id)) >= {"pipe:3"}, "lines that were not chosen stay"


def test_the_whole_list_and_the_difference_to_another_route(shop: QuoteCompany) -> None:
    other = shop.do(takeoff.add_route, shop.job_id, "proposed", "long way", LONG)
    whole = take(shop, against=takeoff.NOTHING)
    assert lines(shop, whole.quote_id)["pipe:3"].quantity == Decimal("22.933")
    taken = take(shop, against=other)
    assert taken.quote_id == whole.quote_id
    assert lines(shop, taken.quote_id)["pipe:3"].quantity == -20
    with pytest.raises(Refused, match="no longer there"):
        take(shop, against=99)


def test_a_typed_line_of_the_same_item_counts_as_sold() -> None:
    shop = make_quote_company()
    quote_id = shop.start()
    for line in (*shop.document(quote_id).materials, *shop.document(quote_id).labour):
        shop.do(quotes.remove_line, "material" if isinstance(line, MaterialLine) else "labour", line.id)
    pipe = shop.first_id(tables.item, tables.item.c.code == "P3-40")
    shop.do(quotes.add_material, quote_id, pipe, Decimal(30), waste_percent=Decimal(0))
    shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", LONG)
    assert lines(shop, take(shop).quote_id)["pipe:3"].quantity == Decimal("12.933")


def test_before_anything_was_accepted_it_says_so() -> None:
    shop = make_quote_company()
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", SHORT)
    with pytest.raises(Refused, match="none yet"):
        take(shop)


def test_a_line_changed_by_hand_is_left_and_named_until_it_is_counted_anew(shop: QuoteCompany) -> None:
    retype(shop, LONG)
    first = take(shop)
    pipe = lines(shop, first.quote_id)["pipe:3"]
    shop.do(quotes.change_material, pipe.id, net_quantity=Decimal(24))
    retype(shop, LONG.replace("28'", "18'"))
    again = take(shop)
    assert again.kept == ("Pipe, 3 in, Schedule 40",)
    assert lines(shop, again.quote_id)["pipe:3"].quantity == 24
    anew = take(shop, anew=True)
    assert anew.kept == ()
    assert lines(shop, again.quote_id)["pipe:3"].quantity == 10


def test_whole_sticks_are_bought_for_what_a_job_is_costed_by(shop: QuoteCompany) -> None:
    with shop.company.read() as conn:
        sold_pipe = next(line for line in job_budget(conn, shop.job_id).materials if line.takeoff_key == "pipe:3")
    assert (sold_pipe.quantity, sold_pipe.needed) == (Decimal("22.933"), 30)
    retype(shop, LONG)
    order = lines(shop, take(shop).quote_id)["pipe:3"]
    assert isinstance(order, MaterialLine)
    assert (order.quantity, order.needed) == (20, 20)


def test_what_was_sold_in_whole_packs_before_is_not_given_back(shop: QuoteCompany) -> None:
    """A quote from before a job was costed by what it uses: no credit comes of the other way of counting."""
    with shop.company.action("as it once was") as edit:
        for line in edit.conn.execute(tables.material_line.select()).all():
            if line.takeoff_key:
                whole = line.quantity if line.buy_quantity is None else line.buy_quantity
                whole = Decimal(1) if line.takeoff_key in ("cement", "primer") else whole
                old = {"takeoff_quantity": None, "buy_quantity": None, "net_quantity": whole, "quantity": whole}
                lines = tables.material_line
                edit.conn.execute(lines.update().where(lines.c.id == line.id).values(old))  # as a program then wrote it
    with pytest.raises(Refused, match="Nothing is different"):
        take(shop)


def test_what_the_rows_left_out_is_in_no_change_order() -> None:
    shop = make_quote_company()
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", SHORT)
    task = f"work:{shop.id_of(tables.labour_task, 'Run pipe in crawl space')}"
    answers = {f"usual:task:{shop.id_of(tables.labour_task, 'Run pipe in basement')}": "kept"}
    quote_id = shop.do(
        takeoff.take_into_quote, shop.job_id, TODAY, shop.rates(), shop.firm, answers=answers
    ).quote_id
    assert task not in {line.takeoff_key for line in shop.document(quote_id).labour}
    shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    with pytest.raises(Refused, match="Nothing is different"):
        take(shop)


def test_what_is_more_takes_the_factor_of_the_spaces_it_is_in(shop: QuoteCompany) -> None:
    """Old pipe in a low crawl space and in the garage: more of it in the garage is not lengthened by the crawl."""
    low = shop.id_of(tables.access_condition, "Low crawl")
    task = shop.id_of(tables.labour_task, "Remove old pipe")
    shop = make_quote_company()
    with shop.company.action("a low crawl space") as edit:
        edit.add(tables.job_condition, job_id=shop.job_id, condition_id=low)

    def old_pipe(crawl: int, garage: int) -> str:
        return f"A: pit, crawl 3in along {crawl}' level, 90, garage along {garage}' level, out"

    found = shop.do(takeoff.add_route, shop.job_id, "found", "", old_pipe(20, 4))
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", SHORT)
    quote_id = shop.do(takeoff.take_into_quote, shop.job_id, TODAY, shop.rates(), shop.firm).quote_id
    sold = lines(shop, quote_id)[f"work:{task}"]
    assert isinstance(sold, LabourLine)
    assert sold.factor_percent > 100
    shop.do(quotes.send_quote, quote_id, TODAY)
    shop.do(quotes.accept_quote, quote_id, TODAY)
    shop.do(takeoff.change_route, found, words=old_pipe(20, 14))
    more = lines(shop, take(shop).quote_id)[f"work:{task}"]
    assert isinstance(more, LabourLine)
    assert more.quantity == 10
    assert abs(more.factor_percent - 100) < Decimal("0.1"), "a garage is not low"
    assert more.minutes == 25
    shop.do(takeoff.change_route, found, words=old_pipe(26, 4))
    more = lines(shop, take(shop).quote_id)[f"work:{task}"]
    assert isinstance(more, LabourLine)
    assert more.factor_percent > sold.factor_percent, "more of it is in the crawl space alone"


def test_work_no_longer_needed_gives_back_the_minutes_it_was_sold_for(shop: QuoteCompany) -> None:
    task = shop.id_of(tables.labour_task, "Run pipe outside")
    with shop.company.read() as conn:
        was = next(line for line in job_budget(conn, shop.job_id).labour if line.task_id == task)
    with shop.company.action("slower by now") as edit:
        edit.change(tables.labour_task, task, standard_minutes=was.unit_minutes * 2)
    retype(shop, "A: pit at -6', crawl 3in up 2', 45, pitched 8' rise 1/4, 45, up 3', fan, up 10', out")
    back = lines(shop, take(shop).quote_id)[f"work:{task}"]
    assert isinstance(back, LabourLine)
    assert (back.quantity, back.minutes) == (-was.quantity, -was.minutes)
