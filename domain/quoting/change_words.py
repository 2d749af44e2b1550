"""What a change order covers, in the customer's words: every line once, with its quantity, what is left out as such."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from domain.quoting.lines import LabourLine, QuoteDocument
from domain.units.said import customer_name, customer_quantity

LOGGED = "logged "
"""How the reason of a line begins that was made from the log: it stands as it was paid or done."""

Key = tuple[str, str]  # name, unit


def change_words(
    document: QuoteDocument, task_names: Mapping[int, str], task_units: Mapping[int, str]
) -> tuple[str, tuple[str, ...]]:
    """The text of a change order and the points beneath it.

    A point of the text that begins with the name of a line ("- Correct the slope at joints: found two more") gets the
    line's quantity, so that nothing is printed twice.
    """
    lines = _summed(document, task_names, task_units, None)
    text, used = [], set()
    for point in document.quote.scope_text.splitlines():
        begins = next((key for key in lines if _is_about(point, key[0])), None)
        if begins is not None and begins not in used:
            used.add(begins)
            name, rest = point.split(":", 1)
            quantity = _quantity(lines[begins], begins[1])
            point = f"{name} ({quantity}):{rest}" if quantity else point
        text.append(point)
    points = tuple(_words(key, amount) for key, amount in lines.items() if key not in used)
    return "\n".join(text), points


def covered(
    document: QuoteDocument, task_names: Mapping[int, str], task_units: Mapping[int, str], option_id: int | None
) -> tuple[str, ...]:
    """The lines of the base (None) or of one option, each once, with its quantity and without what it costs."""
    return tuple(_words(*one) for one in _summed(document, task_names, task_units, option_id).items())


def _summed(
    document: QuoteDocument, names: Mapping[int, str], units: Mapping[int, str], option_id: int | None
) -> dict[Key, Decimal | None]:
    """Quantities by name and unit, in the order of the lines; None where nobody counted."""
    found: dict[Key, Decimal | None] = {}
    for key, quantity in _keys(document, names, units, option_id):
        if key not in found:
            found[key] = quantity
        elif quantity is not None:
            found[key] = (found[key] or Decimal(0)) + quantity
    return {key: quantity for key, quantity in found.items() if quantity != 0}


def _keys(
    document: QuoteDocument, names: Mapping[int, str], units: Mapping[int, str], option_id: int | None
) -> Iterator[tuple[Key, Decimal | None]]:
    for line in document.labour:
        if line.option_id == option_id:
            key = names.get(line.task_id, "Work"), units.get(line.task_id, "each")
            yield key, None if _is_uncounted(line) else line.quantity
    for goods in document.materials:
        if goods.option_id == option_id:
            yield (goods.description, goods.unit), goods.quantity
    for other in document.others:
        if other.option_id == option_id:
            yield (other.description or other.kind.capitalize(), other.unit), other.quantity


def _is_uncounted(line: LabourLine) -> bool:
    """Made from hours in the log: how many joints or feet it was nobody wrote down, and one is not claimed."""
    return line.reason.startswith(LOGGED) and line.override_minutes is not None and line.quantity == 1


def _is_about(point: str, name: str) -> bool:
    return point.lstrip("-•* \t").casefold().startswith(f"{name.casefold()}:")


def _quantity(amount: Decimal | None, unit: str) -> str:
    """``4 joints``; empty for one of a thing that is not measured, and where nobody counted."""
    if amount is None:
        return ""
    said = _said(amount, unit)
    return f"{said} less" if said and amount < 0 else said


def _said(amount: Decimal, unit: str) -> str:
    """How many, without a sign; empty for one, and for what has no figure on a customer's paper."""
    said = customer_quantity(amount, unit).removeprefix("-")
    return "" if unit == "each" and said == "1" else said


def _words(key: Key, amount: Decimal | None) -> str:
    name, unit = key
    if amount is not None and amount < 0:
        said = _said(amount, unit)
        if not customer_quantity(amount, unit):  # a part only: there is still some of it
            return f"Less of it, taken off: {customer_name(name, unit)}"
        return f"Not done, taken off: {name}" + (f", {said}" if said else "")
    quantity = _quantity(amount, unit)
    return f"{name}: {quantity}" if quantity else name if amount is None else customer_name(name, unit)
