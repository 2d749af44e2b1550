"""When more than was quoted is more than the usual spread of a day."""

from __future__ import annotations

from domain.earned_value import WARN_OVER_PERCENT


def clearly_over(actual: int, quoted: int) -> bool:
    """True when ``actual`` is more than WARN_OVER_PERCENT beyond ``quoted``; minutes or cents, both of one kind."""
    return actual * 100 > quoted * (100 + WARN_OVER_PERCENT)
