"""Taken again and again, with routes changed, rows switched and lines typed between: nothing twice, nothing lost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from db import tables
from db.commands import quotes, takeoff
from db.company_file.problems import Refused
from domain.job_takeoff.answers import BOTH
from domain.job_takeoff.stands_for import ALONE, SLOPE, settled_by
from domain.quoting.lines import MaterialLine
from domain.takeoff import Circuit, SealJoint
from tests.db.quote_company import QuoteCompany
from tests.db.test_reconciling import FOUND, NEW, REWORK, of_type, rows_of, take, totals

WORDS = (REWORK, NEW, REWORK.replace("flex to 4in, fan, flex, ", ""), REWORK.replace("up 1', 45", "up 1' kept, 45"))
Step = Callable[[QuoteCompany, int], None]


def change_route(shop: QuoteCompany, n: int) -> None:
    route_id = shop.first_id(tables.route, tables.route.c.status == "proposed")
    shop.do(takeoff.change_route, route_id, words=WORDS[n % len(WORDS)])


def count_beside(shop: QuoteCompany, n: int) -> None:
    part = shop.first_id(tables.takeoff_part)
    if part is not None:
        shop.do(takeoff.remove_part, part)
    else:
        value = SealJoint("slab edge", Decimal(30)) if n % 2 else Circuit("fan", (Decimal(12),))
        shop.do(takeoff.add_part, shop.job_id, value)


def type_over(shop: QuoteCompany, n: int) -> None:
    quote_id = shop.first_id(tables.quote)
    if quote_id is not None:
        document = shop.document(quote_id)
        lines = [*document.labour, *document.materials]
        line = lines[n % len(lines)]
        if isinstance(line, MaterialLine):
            shop.do(quotes.change_material, line.id, net_quantity=line.net_quantity + 3)
        else:
            shop.do(quotes.change_labour, line.id, quantity=line.quantity + 1)


def add_usual(shop: QuoteCompany, _: int) -> None:
    quote_id = shop.first_id(tables.quote)
    if quote_id is not None:
        shop.do(quotes.add_usual_lines, quote_id)
    else:
        shop.start()


def undo(shop: QuoteCompany, _: int) -> None:
    shop.company.undo()


def take_it(shop: QuoteCompany, n: int) -> None:
    read = rows_of(shop)
    answers = {}
    if n % 3 == 0 and read.rows:
        row = read.rows[n % len(read.rows)]
        answers[row.key] = row.answers[-1]
    made = read.answered(answers)
    try:
        taken = take(shop, answers=answers, seen=read)
    except Refused:
        return
    assert totals(shop, taken.quote_id) == made.after, "what was read is what came"
    again = rows_of(shop)
    assert again.before == made.after
    assert again.after == again.before, "taken at once again it changes nothing"
    check(shop, taken.quote_id, made)


def check(shop: QuoteCompany, quote_id: int, made: object) -> None:
    document = shop.document(quote_id)
    lines = [*document.labour, *document.materials]
    keys = Counter(line.takeoff_key for line in lines if line.takeoff_key)
    assert all(count == 1 for count in keys.values()), "no counted line is there twice"
    rows = rows_of(shop).rows
    said = {row.key for row in rows if row.twice and row.keeps}
    counted = [row.counted for row in rows if row.takes and row.counted is not None]
    items = {(one.of, one.of_id) for one in counted if one.of_id is not None}
    parts = {(one.of, part) for one in counted for part in one.parts if not one.unlisted}
    for row in rows:
        one = row.standing
        if one is not None and row.keeps and not one.takeoff_key and row.key not in said and row.answer != BOTH:
            assert (one.of, one.of_id) not in items
            if one.usual and one.stands_for not in ("", ALONE, SLOPE):
                assert not {(one.of, part) for part in settled_by(one.stands_for)} & parts


steps = st.lists(
    st.tuples(
        st.sampled_from((take_it, take_it, change_route, count_beside, type_over, add_usual, undo)), st.integers(0, 60)
    ),
    min_size=2, max_size=7,
)  # fmt: skip


@settings(max_examples=12, deadline=None)
@given(steps)
def test_whatever_happens_between_two_takings(order: list[tuple[Step, int]]) -> None:
    shop = of_type("Rework of an existing system")
    shop.do(takeoff.add_route, shop.job_id, "found", "", FOUND)
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", REWORK)
    for step, n in order:
        if step is not undo or shop.first_id(tables.quote) is not None:
            step(shop, n)
    take_it(shop, 1)
