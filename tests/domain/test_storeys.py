"""The stories of a house: read as people say them, refused in words when they are none."""

from __future__ import annotations

import pytest

from domain.errors import NotUnderstood
from domain.people import parse_storeys


@pytest.mark.parametrize(
    ("typed", "stored"),
    [("2", "2"), ("1.5", "1.5"), ("1 1/2", "1.5"), ("2½", "2.5"), ("two stories", "2"), ("One story", "1"),
     ("3 levels", "3")],
)  # fmt: skip
def test_read(typed: str, stored: str) -> None:
    assert parse_storeys(typed) == stored
    assert parse_storeys(stored) == stored


@pytest.mark.parametrize("typed", ["Typed in full", "0", "-1", "10", "1/0", "two dogs", "x" * 10_000])
def test_refused_with_what_to_type(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="no number of stories") as refused:
        parse_storeys(typed)
    assert len(str(refused.value)) < 300
