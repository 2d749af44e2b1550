"""Works out the formulas of our workbooks, for tests: the few functions they use, by the rules of the open standard.

OpenDocument 1.3, part 4 (OpenFormula) was consulted from memory for SUMIFS, SUMPRODUCT, MEDIAN, IF and ROUND; ROUND
is half away from zero there. Text never equals a number, and comparing text ignores case.
"""

from __future__ import annotations

import re
import statistics
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Any

from openpyxl import Workbook
from openpyxl.formula import Tokenizer
from openpyxl.utils import range_boundaries
from openpyxl.worksheet.formula import ArrayFormula


class Missing(Exception):
    """The #NUM! or #DIV/0! of a spreadsheet."""


class Error:
    """The result of dividing by nothing; harmless in the branch of an IF that is not taken."""

    def __sub__(self, other: Any) -> Error:
        return self


class Number(Fraction):
    """A cell's number; its division by nothing is an error value, not an exception."""

    def __truediv__(self, other: Any) -> Any:
        return Error() if other == 0 else super().__truediv__(other)


class Array(list[Any]):
    """A column of values; arithmetic goes over it value by value."""

    def _with(self, other: Any, work: Any) -> Array:
        others = other if isinstance(other, list) else [other] * len(self)
        return Array(work(one, two) for one, two in zip(self, others, strict=True))

    def __mul__(self, other: Any) -> Array:
        return self._with(other, lambda one, two: one * two)

    __rmul__ = __mul__

    def compare(self, other: Any, sign: str) -> Array:
        return self._with(other, lambda one, two: _compare(one, two, sign))


def _compare(one: Any, two: Any, sign: str) -> bool:
    one, two = (value.casefold() if isinstance(value, str) else value for value in (one, two))
    if isinstance(one, str) is not isinstance(two, str):
        return {"=": False, "<>": True, ">": isinstance(one, str), "<": isinstance(two, str)}[sign]
    return {"=": one == two, "<>": one != two, ">": one > two, "<": one < two}[sign]


class Calculated:
    """A loaded workbook whose cells answer with what a spreadsheet would show."""

    def __init__(self, book: Workbook) -> None:
        self.book = book
        self._known: dict[tuple[str, int, int], Any] = {}

    def cell(self, sheet: str, row: int, column: int) -> Any:
        """The value of a cell; formulas worked out exactly, empty cells as ""."""
        place = (sheet, row, column)
        if place not in self._known:
            value = self.book[sheet].cell(row, column).value
            if isinstance(value, ArrayFormula):
                value = value.text
            if isinstance(value, str) and value.startswith("=") and self.book[sheet].cell(row, column).data_type == "f":
                value = self._work_out(sheet, value)
            elif isinstance(value, (int, float)) and not isinstance(value, bool):
                value = Fraction(str(value))
            assert not isinstance(value, Error), f"{sheet} {row}, {column} shows an error"
            self._known[place] = "" if value is None else Number(value) if isinstance(value, Fraction) else value
        return self._known[place]

    def rows(self, sheet: str) -> list[dict[str, Any]]:
        """Every row below the heading, by heading."""
        page = self.book[sheet]
        heads = [cell.value for cell in page[1]]
        return [
            {head: self.cell(sheet, row, n) for n, head in enumerate(heads, 1)} for row in range(2, page.max_row + 1)
        ]

    def _values(self, sheet: str, reference: str) -> Any:
        if "!" in reference:
            sheet, reference = reference.split("!")
        left, top, right, bottom = range_boundaries(reference.replace("$", ""))
        if ":" not in reference:
            return self.cell(sheet, top, left)
        assert left == right, "only single columns are used"
        page = self.book[sheet]
        return Array(
            Number(0) if page.cell(row, left).value is None else self.cell(sheet, row, left)  # empty counts as 0
            for row in range(top, bottom + 1)
        )

    def _work_out(self, sheet: str, formula: str) -> Any:
        names = {"REF": lambda reference: self._values(sheet, reference), **_FUNCTIONS}
        return eval(_as_python(formula), {"__builtins__": {}, **names})


def _as_python(formula: str) -> str:
    """The formula as a Python expression; comparisons become calls, since they go over whole columns."""
    words = []
    for token in Tokenizer(formula).items:
        if token.type == "OPERAND" and token.subtype == "RANGE":
            words.append(f"REF({token.value!r})")
        elif token.type == "OPERAND" and token.subtype == "NUMBER":
            words.append(f"NUMBER({token.value!r})")
        elif token.type == "OPERAND":
            words.append(repr(token.value[1:-1]))
        elif token.type == "FUNC":
            words.append({"IF(": "IF_(", "IFERROR(": "IFERROR(lambda: "}.get(token.value, token.value))
        elif token.type == "OPERATOR-INFIX" and token.value in ("=", "<", ">", "<>"):
            words.append(f" |COMPARE({token.value!r})| ")
        else:
            words.append(token.value)
    return "".join(words)


class Comparison:
    """``a |COMPARE("=")| b``: binds more loosely than + and *, as comparisons do in a spreadsheet."""

    def __init__(self, sign: str, left: Any = None) -> None:
        self.sign, self.left = sign, left

    def __ror__(self, left: Any) -> Comparison:
        return Comparison(self.sign, left)

    def __or__(self, right: Any) -> Any:
        if isinstance(self.left, Array):
            return self.left.compare(right, self.sign)
        return _compare(self.left, right, self.sign)


def _sumifs(total: Array, *pairs: Any) -> Any:
    wanted = [True] * len(total)
    for values, criterion in zip(pairs[::2], pairs[1::2], strict=True):
        sign, text = re.fullmatch(r"(<>)?(.*)", str(criterion)).groups()  # type: ignore[union-attr]
        for n, value in enumerate(values):
            same = str(value).casefold() == text.casefold()
            wanted[n] = wanted[n] and (same is not (sign == "<>"))
    return sum((value for value, there in zip(total, wanted, strict=True) if there), Fraction(0))


def _sumproduct(*columns: Array) -> Any:
    total = Fraction(0)
    for values in zip(*columns, strict=True):
        product = Fraction(1)
        for value in values:
            product *= value
        total += product
    return total


def _if(condition: Any, then: Any, otherwise: Any = False) -> Any:
    if not isinstance(condition, Array):
        return then if condition else otherwise
    return Array(
        (then[n] if isinstance(then, Array) else then) if there else otherwise for n, there in enumerate(condition)
    )


def _median(values: Array) -> Any:
    numbers = [value for value in values if isinstance(value, Fraction)]
    if not numbers:
        raise Missing
    return statistics.median(numbers)


def _iferror(work: Any, otherwise: Any) -> Any:
    try:
        return work()
    except Missing:
        return otherwise


def _round(value: Any, places: Any) -> Any:
    if isinstance(value, Array):
        return Array(_round(one, places) for one in value)
    scaled = Fraction(value) * 10 ** int(places)
    size = int(abs(scaled) + Fraction(1, 2))
    return Fraction(size if scaled >= 0 else -size, 10 ** int(places))


_FUNCTIONS: dict[str, Any] = {
    "NUMBER": Fraction,
    "COMPARE": Comparison,
    "SUMIFS": _sumifs,
    "SUMPRODUCT": _sumproduct,
    "IF_": _if,
    "MEDIAN": _median,
    "IFERROR": _iferror,
    "ROUND": _round,
}


def cents(value: Any) -> int:
    """A shown amount in cents, half up."""
    return int((Decimal(value.numerator) / value.denominator * 100).to_integral_value(ROUND_HALF_UP))
