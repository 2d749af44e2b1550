"""Taken again and again, with routes changed, rows switched and lines typed between: nothing twice, nothing lost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from decimal import Decimal

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from db import tables
from db.commands import quotes, takeoff
from db.company_file.problems import Refused
from domain.job_takeoff.answers import BOTH, KEPT
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
    before = numbers(shop)
    try:
        taken = take(shop, answers=answers, seen=read)
    except Refused:
        return
    assert totals(shop, taken.quote_id) == made.after, "what was read is what came"
    after = numbers(shop)
    added, gone = len(after.keys() - before.keys()), len(before.keys() - after.keys())
    changed = sum(before[key] != after[key] for key in before.keys() & after.keys())
    assert (taken.added + taken.usual, taken.changed, taken.removed) == (added, changed, gone)
    assert made.lines.added == taken.added, "what was read is what is told"
    again = rows_of(shop)
    assert again.before == made.after
    assert again.after == again.before, "taken at once again it changes nothing"
    check(shop, taken.quote_id, made)


def numbers(shop: QuoteCompany) -> dict[tuple[str, int, str], object]:
    """Each line of the quote with its numbers; an id is given out again, so the key goes with it."""
    quote_id = shop.first_id(tables.quote)
    if quote_id is None:
        return {}
    document = shop.document(quote_id)
    work = {
        ("work", one.id, one.takeoff_key): (one.task_id, one.quantity, one.factor_percent, one.minutes)
        for one in document.labour
    }
    goods = {
        ("goods", one.id, one.takeoff_key): (one.item_id, one.quantity, one.unit_cost) for one in document.materials
    }
    return {**work, **goods}


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
        if not row.keeps:
            assert "is back" not in row.reason, "a reason says what its row does"
            assert ": kept" not in row.reason
        elif row.counted is None:
            assert "comes out" not in row.reason
            assert "not on this job" not in row.reason
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


@settings(max_examples=12, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate))
@given(steps)
def test_whatever_happens_between_two_takings(order: list[tuple[Step, int]]) -> None:
    shop = of_type("Rework of an existing system")
    shop.do(takeoff.add_route, shop.job_id, "found", "", FOUND)
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", REWORK)
    for step, n in order:
        if step is not undo or shop.first_id(tables.quote) is not None:
            step(shop, n)
    take_it(shop, 1)


def test_a_line_kept_though_it_is_no_longer_counted_stays_and_is_charged_once() -> None:
    shop = of_type("Rework of an existing system")
    shop.do(takeoff.add_route, shop.job_id, "proposed", "", REWORK)
    quote_id = take(shop).quote_id
    change_route(shop, 2)  # without its fan
    read = rows_of(shop)
    tubing = read.row("indicator_tubing")
    kept = read.answered({tubing.key: KEPT})
    assert [row.key for row in kept.twice] == [f"usual:item:{tubing.standing.of_id}"], "its usual line is back"  # type: ignore[union-attr]
    once = kept.counted_once()
    assert not once.twice
    assert once.row(tubing.key).keeps
    take(shop, answers={row.key: row.answer for row in once.rows if row.answer != read.row(row.key).answer})
    assert rows_of(shop).row(tubing.key).reason == "kept, as you said before"
    lines = [one for one in shop.document(quote_id).materials if one.item_id == tubing.standing.of_id]  # type: ignore[union-attr]
    assert len(lines) == 1
