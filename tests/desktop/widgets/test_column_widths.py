"""A window too narrow for its columns: the widest give first, none below its least, and some give way."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from desktop.widgets.column_widths import giving_way, squeezed
from desktop.widgets.rows_model import Column

COLUMNS = st.lists(st.tuples(st.integers(40, 400), st.integers(0, 400)), min_size=1, max_size=9)


@given(COLUMNS, st.integers(0, 2000))
def test_what_is_missing_is_taken_to_the_pixel_or_all_stand_at_their_least(
    columns: list[tuple[int, int]], missing: int
) -> None:
    widths, least = [wide for wide, _ in columns], [min(wide, small) for wide, small in columns]
    made = squeezed(widths, least, missing)
    assert all(small <= now <= wide for now, wide, small in zip(made, widths, least, strict=True))
    assert sum(widths) - sum(made) == min(missing, sum(widths) - sum(least))


def test_the_widest_column_gives_first() -> None:
    assert squeezed([300, 120, 80], [60, 60, 60], 100) == [200, 120, 80]


def test_only_columns_that_may_give_way_and_from_the_right() -> None:
    columns = [Column("a", "A"), Column("b", "B", gives_way=True), Column("c", "C"), Column("d", "D", gives_way=True)]
    assert giving_way(columns, [100] * 4, 400) == set()
    assert giving_way(columns, [100] * 4, 350) == {3}
    assert giving_way(columns, [100] * 4, 150) == {1, 3}
