"""A line with some of its values changed and everything that follows from them worked out again."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from domain.quoting.lines import LabourLine, MaterialLine
from domain.quoting.quantities import quantity_with_waste, standard_minutes


def recount_labour(line: LabourLine, **changed: Any) -> LabourLine:
    """The line with new values; standard minutes and minutes (override, else standard) follow."""
    line = replace(line, **changed)
    standard = standard_minutes(line.quantity, line.unit_minutes, line.factor_percent)
    minutes = standard if line.override_minutes is None else line.override_minutes
    return replace(line, standard_minutes=standard, minutes=minutes)


def recount_material(line: MaterialLine, **changed: Any) -> MaterialLine:
    """The line with new values; the quantity with waste follows."""
    line = replace(line, **changed)
    return replace(line, quantity=quantity_with_waste(line.net_quantity, line.waste_percent))
