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
from domain.price_import.remembered import (
    Recognised,
    RememberedSheet,
    heading_names,
    named_columns,
    recognise,
    supplier_of_sheet,
)
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
    "Recognised",
    "RefusedRow",
    "RememberedSheet",
    "SheetRow",
    "decimal_comma_used",
    "find_header",
    "guess_columns",
    "heading_names",
    "missing_columns",
    "named_columns",
    "plan_import",
    "read_rows",
    "recognise",
    "supplier_of_sheet",
]
