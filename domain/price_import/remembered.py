"""How a supplier's sheet was read before: it is recognised by its headings, whatever order its columns come in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from domain.price_import.columns import FIELDS
from domain.price_import.plan import ImportPlan
from domain.price_import.rows import FORMULA, MERGED
from domain.price_list import PricedItem
from domain.words import fold

_LOOKED_AT = 25
_LEAST_ALIKE = 0.5  # of all headings on either side; two short words alone make no sheet the same


@dataclass(frozen=True, slots=True)
class RememberedSheet:
    """The headings of a sheet that was brought in, and which of them held what (field -> heading)."""

    headings: tuple[str, ...]
    columns: Mapping[str, str]
    supplier: str  # of most of its items; empty when there was none
    used_on: date


@dataclass(frozen=True, slots=True)
class Recognised:
    """A sheet that looks like one read before: the index of its line of headings, and field -> column number."""

    sheet: RememberedSheet
    header: int
    columns: dict[str, int]


def heading_names(cells: Sequence[str]) -> tuple[str, ...]:
    """The headings in plain small letters; a heading that comes again gets its number: ``price``, ``price #2``."""
    seen: dict[str, int] = {}
    names = []
    for cell in cells:
        plain = " ".join(fold("" if cell in (FORMULA, MERGED) else cell).split())
        if plain:
            seen[plain] = seen.get(plain, 0) + 1
            plain = plain if seen[plain] == 1 else f"{plain} #{seen[plain]}"
        names.append(plain)
    return tuple(names)


def named_columns(cells: Sequence[str], columns: Mapping[str, int]) -> dict[str, str]:
    """field -> heading of the column chosen for it; columns without a heading cannot be remembered and are left out."""
    names = heading_names(cells)
    return {field: names[n] for field, n in columns.items() if n < len(names) and names[n]}


def recognise(lines: Sequence[Sequence[str]], sheets: Sequence[RememberedSheet]) -> Recognised | None:
    """The remembered sheet one of the first lines has all the used headings of, or None.

    Of several, the one that shares most headings with the line; of equals, the first given.
    """
    best: tuple[float, Recognised] | None = None
    for index, cells in enumerate(lines[:_LOOKED_AT]):
        places = {name: number for number, name in reversed(list(enumerate(heading_names(cells)))) if name}
        for sheet in sheets:
            used = {field: heading for field, heading in sheet.columns.items() if field in FIELDS}
            if "code" not in used or not all(heading in places for heading in used.values()):
                continue
            known = {heading for heading in sheet.headings if heading}
            alike = len(known & set(places)) / len(known | set(places))
            if alike >= _LEAST_ALIKE and (best is None or alike > best[0]):
                found = Recognised(sheet, index, {field: places[heading] for field, heading in used.items()})
                best = (alike, found)
    return best[1] if best else None


def supplier_of_sheet(plan: ImportPlan, existing: Iterable[PricedItem]) -> str:
    """The supplier more than half of a sheet's items come from once it is brought in; empty when there is none."""
    known = {fold(priced.item.code): priced.supplier for priced in existing}
    names = [new.supplier for new in plan.added]
    names += [str(dict(change.values).get("supplier", known.get(fold(change.code), ""))) for change in plan.changed]
    names += [known.get(fold(row.code), "") for row in plan.unchanged]
    (name, count), *_ = Counter(names).most_common(1) or [("", 0)]
    return name if 2 * count > len(names) else ""
