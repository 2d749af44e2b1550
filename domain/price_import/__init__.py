"""A price list from a file: which column is what, and what bringing it in would add, change and refuse."""

from domain.price_import.columns import (
    FIELD_NAMES,
    FIELDS,
    decimal_comma_used,
    find_header,
    guess_columns,
    missing_columns,
)
from domain.price_import.plan import FieldChange, ImportPlan, ItemChange, NewItem, RefusedRow, plan_import
from domain.price_import.rows import FORMULA, MERGED, ImportRow, SheetRow, read_rows

__all__ = [
    "FIELDS",
    "FIELD_NAMES",
    "FORMULA",
    "MERGED",
    "FieldChange",
    "ImportPlan",
    "ImportRow",
    "ItemChange",
    "NewItem",
    "RefusedRow",
    "SheetRow",
    "decimal_comma_used",
    "find_header",
    "guess_columns",
    "missing_columns",
    "plan_import",
    "read_rows",
]
