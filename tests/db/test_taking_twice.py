"""What is charged twice, what changed since it was taken, and a sent version that is revised by taking again."""

from __future__ import annotations

from decimal import Decimal

from db.commands import quotes, takeoff
from db.queries.since_taken import since_taken, twice_on
from domain.job_takeoff.answers import KEPT
from domain.job_takeoff.reconciling_words import caution_words, said_of
from tests.db.quote_company import TODAY, QuoteCompany, make_quote_company
from tests.db.test_reconciling import NEW, rows_of, take
from tests.db.test_takeoff import task_id

TWO_SIZES = (
    "A: pit at -7', basement 3in up 6', 90, pitched 30' rise 1/4, 90, sleeve, outside up 3', flex to 4in, fan, flex, "
    "up 30', out"
)


def with_route(words: str = NEW) -> tuple[QuoteCompany, int]:
    shop = make_quote_company()
    return shop, shop.do(takeoff.add_route, shop.job_id, "proposed", words=words)


def of_one_item(shop: QuoteCompany) -> int:
    """Two lines of the list that buy the same item; its id."""
    made = rows_of(shop)
    keys = [row.counted.key for row in made.rows if row.counted and row.counted.key.startswith("support_")][:2]
    assert len(keys) == 2, "the route has supports of two kinds"
    bracket = shop.do(_new_item)
    for key in keys:
        shop.do(takeoff.choose_item, key, bracket)
    return bracket


def _new_item(edit: object) -> int:
    from db.tables import item

    return edit.add(  # type: ignore[attr-defined, no-any-return]
        item, code="ZBR", name="Wall bracket", unit="each", item_class="hanging", pack_quantity=1, waste_percent=0,
    )  # fmt: skip


def test_typed_is_held_against_all_that_is_counted_of_the_item() -> None:
    shop, _ = with_route(TWO_SIZES)
    with shop.company:
        bracket = of_one_item(shop)
        quote_id = shop.start()
        shop.do(quotes.add_material, quote_id, bracket, Decimal(3))
        made = rows_of(shop)
        counted = [row for row in made.rows if row.counted and row.counted.of_id == bracket]
        assert len(counted) == 2
        row = next(one for one in counted if one.standing is not None and one.standing.of_id == bracket)
        alone = made.switched(row.key, KEPT)
        said = said_of(alone, made)[row.key]
        assert said.twice
        assert "charged twice" in said.words
        total = sum(one.counted.quantity for one in counted if one.counted)
        assert f"= {total.normalize():f} in all" in said.reason
        assert "Charged twice as it stands: Wall bracket" in caution_words(alone)
        assert not made.with_what_was_typed().twice, "kept is kept in place of all that is counted of it"
        once = alone.counted_once()
        assert not once.twice
        ours = [one.counted for one in once.rows if one.takes and one.counted and one.counted.of_id == bracket]
        assert sum(one.quantity for one in ours) == total
        taken = take(shop, answers={row.key: KEPT}, seen=made)
        assert [one.name for one in taken.doubles] == ["Wall bracket"]
        assert "Wall bracket (3 typed" in twice_on(shop.document(quote_id), {})


def test_a_changed_route_is_said_with_what_differs_until_it_is_taken_again() -> None:
    shop, route_id = with_route()
    with shop.company:
        quote_id = take(shop).quote_id

        def said() -> str:
            with shop.company.read() as conn:
                return since_taken(conn, shop.document(quote_id), TODAY)

        assert said() == ""
        shop.do(takeoff.change_route, route_id, words=NEW.replace("18'", "40'"))
        words = said()
        assert "differ" in words
        assert "+$" in words
        take(shop)
        assert said() == ""


def test_after_a_version_was_sent_the_next_begins_as_a_copy_of_it() -> None:
    shop, route_id = with_route()
    with shop.company:
        first = take(shop).quote_id
        shop.do(quotes.add_other, first, "permit", Decimal(1), Decimal(125))
        shop.do(quotes.set_pricing, first, pricing="fixed", fixed_price_cents=333_300)
        shop.do(quotes.send_quote, first, TODAY)
        shop.do(takeoff.change_route, route_id, words=NEW.replace("18'", "40'"))
        made = rows_of(shop)
        assert not made.begins
        taken = take(shop, answers={}, seen=made)
        assert taken.begun
        assert taken.revised == 1
        after = shop.document(taken.quote_id)
        assert after.quote.version == 2
        assert after.quote.fixed_price_cents == 333_300
        assert [(one.kind, one.unit_cost) for one in after.others] == [("permit", 125)]
        assert shop.document(first).quote.sent_on == TODAY
        assert made.after[1] == sum(row.after[1] for row in rows_of(shop).rows) + rows_of(shop).rest[1]


def test_own_lines_have_a_row_and_own_minutes_are_named() -> None:
    shop, route_id = with_route()
    with shop.company:
        quote_id = take(shop).quote_id
        bracket = shop.do(_new_item)
        shop.do(quotes.add_material, quote_id, bracket, Decimal(3))
        pipe = task_id(shop, "Run pipe in basement")
        line = next(one for one in shop.document(quote_id).labour if one.task_id == pipe)
        shop.do(quotes.change_labour, line.id, override_minutes=77)
        shop.do(takeoff.change_route, route_id, words=NEW.replace("18'", "40'"))
        made = rows_of(shop)
        own = next(row for row in made.rows if row.standing and row.standing.name == "Wall bracket")
        assert own.words == "yours, kept"
        assert made.rest == (0, 0), "every line has a row"
        assert "Run pipe in basement, 1 h 17 of your own, the standard for" in caution_words(made)
        row = next(one for one in made.rows if one.own_minutes is not None)
        assert "of your own" in said_of(made, made)[row.key].reason


def test_a_usual_line_wanted_beside_the_counted_one_comes() -> None:
    shop, _ = with_route()
    with shop.company:
        take(shop)
        read = rows_of(shop)
        row = next(one for one in read.rows if one.is_new and not one.keeps)
        wanted = read.switched(row.key, KEPT)
        take(shop, answers={row.key: KEPT}, seen=read)
        assert rows_of(shop).before == wanted.after, "what was read is what came"
