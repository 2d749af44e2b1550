"""Numbers that a standard or a tax table sets are looked up by date: code holds only the numbers named here.

Each number that stands in the rooms below, other than 0, 1, 2 and 100, has its reason. A new one is either looked up in
`domain.standards` or gets a reason here: a unit, a rounding, an assumption of the program that no standard sets.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

DOMAIN = Path(__file__).parents[2] / "domain"
PLAIN = {"0", "0.0", "1", "2", "100"}

PLACES = {"3": "places of a quantity", "0.01": "places of a percentage or of inches shown", "0.001": "places"}
INCHES = {"12": "inches in a foot"}
CACHE = {"512": "size of a cache", "2048": "size of a cache", "4096": "size of a cache"}
SEARCH = {"4": "search", "150": "search", "500": "search", "400000": "search"}

REASONS: dict[str, dict[str, str]] = {
    "takeoff/conduit.py": INCHES | {"1000": "longest section anybody types"},
    "takeoff/conduit_fill.py": PLACES,  # and the third wire
    "takeoff/cutting.py": SEARCH | CACHE,
    "takeoff/stick_search.py": SEARCH,
    "takeoff/lines.py": PLACES,
    "takeoff/membrane.py": INCHES | {"1000": "longest floor anybody types"},  # 12: also a usual roll
    "takeoff/paint.py": INCHES | PLACES | {"5": "most coats anybody types"},
    "takeoff/pieces.py": INCHES | {"16": "sixteenths", "192": "sixteenths in a foot", "0.0625": "a sixteenth"},
    "takeoff/pipe.py": INCHES | PLACES | {"10": "a stick of a size without a stock length; every size has one"},
    "takeoff/rules.py": {"10": "waste, an allowance of the program that the owner changes"},
    "takeoff/sealing.py": INCHES
    | {
        "3.14159265358979323846": "pi",
        "1.25": "rod and swell: common practice, no source",
        "1155": "cubic inches of five gallons",
        "1728": "cubic inches in a cubic foot",
        "0.375": "a usual bead, typed by the owner",
        "3": "a bowl is two thirds of its cylinder",
        "4": "a quarter of pi",
        "8": "eighths",
        "16": "sixteenths",
    },
    "routes/checking.py": {"0.021": "a quarter of an inch, in feet: rounding, not a jump"},
    "routes/outlet.py": INCHES,
    "routes/route.py": INCHES
    | CACHE
    | dict.fromkeys(("1.5", "3", "4", "6"), "a nominal size")
    | dict.fromkeys(("22.5", "45", "90"), "an angle"),
    "routes/rules.py": {"300": "longest leg anybody types", "1.5": "a nominal size"},
    "routes/slope.py": INCHES | PLACES,
    "routes/supports.py": INCHES  # and a foot a foot, from where a pipe stands: our own words
    | PLACES
    | {"1e12": "more feet than any route", "1000": "more supports than are placed"},
    "routes/walk.py": {"4": "digits of a direction"},
    "company_costs/hour.py": CACHE,
    "company_costs/overhead.py": {"60": "minutes in an hour"},
    "company_costs/rates.py": {
        "5": "percent, ours", "12": "months in a year", "60": "minutes in an hour"
    },
    "closeout/defects.py": {"4": "places of a unit cost"},
    "closeout/exposure.py": {"5": "places shown", "7": "days in a week", "60": "minutes in an hour"},
    "closeout/handover.py": dict.fromkeys(("3.0", "4.0", "6.0"), "inches of a label, offered by the program"),
    "closeout/reduction.py": PLACES | {"28": "the last day of February in a common year"},
    "closeout/running_cost.py": {"8760": "hours in a year", "10": "watts to kilowatts, dollars to cents"},
    "closeout/timing.py": {
        "60": "minutes in an hour", "24": "hours in a day", "7": "days from which a length is said in days",
        "0.1": "a tenth of an hour, as shown",
    },
    "takeoff/fittings.py": {"3": "places shown"},
    "airflow/limits.py": {"3": "a nominal size", "4": "a nominal size"},
}
ROOMS = [
    *sorted((DOMAIN / "takeoff").glob("*.py")),
    *sorted((DOMAIN / "company_costs").glob("*.py")),
    *sorted((DOMAIN / "closeout").glob("*.py")),
    *(DOMAIN / "routes" / f"{name}.py" for name in (
        "checking", "outlet", "route", "rules", "rule_words", "slope", "study", "supports", "walk"
    )),
    DOMAIN / "airflow" / "limits.py",
]  # fmt: skip


def numbers(source: str) -> Iterator[tuple[str, int]]:
    """Every number in code, also one handed to Decimal or Fraction as text, with its line."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Constant) and type(node.value) in (int, float):
            yield str(node.value), node.lineno
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("Decimal", "Fraction"):
            for given in node.args:
                if isinstance(given, ast.Constant) and isinstance(given.value, str):
                    yield given.value, given.lineno


@pytest.mark.parametrize("path", ROOMS, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_every_number_in_code_has_a_reason_or_is_looked_up(path: Path) -> None:
    allowed = PLAIN | REASONS.get(f"{path.parent.name}/{path.name}", {}).keys()
    found = [f"{number} in line {line}" for number, line in numbers(path.read_text("utf-8")) if number not in allowed]
    assert not found, f"{path.name}: look it up in domain.standards, or say here what it is: {', '.join(found)}"


STATED = re.compile(
    r"\b(within|at|each|every|least|most|over|under|than|from) [0-9.]+ ?(ft|in|%|percent|cfm|hours|days|years)(?!\w)"
)


def words(source: str) -> Iterator[str]:
    """Every text in code that is no docstring."""
    tree = ast.parse(source)
    told = {
        id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in told:
            yield node.value


@pytest.mark.parametrize("path", ROOMS, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_a_reason_says_the_figure_it_counted_by(path: Path) -> None:
    assert not [text for text in words(path.read_text("utf-8")) if STATED.search(text)]


@pytest.mark.parametrize("text", ["one within 3 ft of it", "wants at least 12 in", "over 40% of it", "each 20 ft"])
def test_the_search_finds_a_figure_in_words(text: str) -> None:
    assert STATED.search(next(words(f"f = {text!r}")))
    assert not list(words(f'"""{text}"""'))


def test_the_search_finds_numbers_however_they_are_written() -> None:
    source = 'a = 24\nb = Decimal("0.8")\nc = Fraction("1/3")\nd = 0.5\ne = f(x, most=53)'
    assert sorted(number for number, _ in numbers(source)) == sorted(["24", "0.5", "0.8", "1/3", "53"])
