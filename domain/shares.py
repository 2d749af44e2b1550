"""Whole numbers divided by weight, so that none is lost."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import TypeVar

Key = TypeVar("Key", bound=Hashable)


def shared(whole: int, by: Mapping[Key, int]) -> dict[Key, int]:
    """`whole` in whole parts by weight: the largest remainders get what rounding left, the first named of equal ones.

    Nothing weighs anything: no part at all.
    """
    total = sum(by.values())
    if total <= 0:
        return {}
    parts = {key: whole * weight // total for key, weight in by.items()}
    rest = sorted(by, key=lambda key: -(whole * by[key] % total))
    for key in rest[: whole - sum(parts.values())]:
        parts[key] += 1
    return parts
