"""What can become of a row when a list is taken into a quote, and how that is kept."""

from __future__ import annotations

from typing import Final

INSTEAD: Final = "instead"
BOTH: Final = "both"
KEPT: Final = "kept"
OFF: Final = "off"
LEFT: Final = "left"
"""What becomes of a row: counted instead of what stands there; counted as well; what stands there is kept; it is not on
this job; what is counted is left out."""

GIVEN_WAY: Final = "given way"
"""Kept about a usual line that made room for something counted: it comes back when that is no longer counted."""


def gone_key(line_key: str) -> str:
    """How it is kept that a line stays though it is no longer counted."""
    return f"gone:{line_key}"


def usual_key(of: str, of_id: int) -> str:
    """How an answer about a usual line is kept; ``of`` is task or item."""
    return f"usual:{of}:{of_id}"
