"""Lines of a form that is not entered yet, as words for its draft: whatever cannot be read again is left out."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from decimal import Decimal
from typing import Any, TypeVar, get_type_hints

_Line = TypeVar("_Line")


def lines_as_words(lines: Sequence[Any]) -> str:
    """Lines of one kind of dataclass as one text; "" for none."""
    return json.dumps([asdict(line) for line in lines], default=str) if lines else ""


def lines_in_words(kind: type[_Line], words: str) -> list[_Line]:
    """The lines a text of `lines_as_words` holds."""
    decimals = {name for name, hint in get_type_hints(kind).items() if "Decimal" in str(hint)}
    try:
        rows = [
            {name: Decimal(value) if name in decimals and value is not None else value for name, value in row.items()}
            for row in json.loads(words or "[]")
        ]
        return [kind(**row) for row in rows]
    except (ArithmeticError, AttributeError, TypeError, ValueError):
        return []
