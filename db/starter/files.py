"""Reads the starting library's own files."""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path
from typing import Any

_FOLDER = Path(__file__).resolve().parent


def table_rows(name: str) -> list[dict[str, str]]:
    """The rows of a csv file, each by its headings."""
    with (_FOLDER / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def settings(name: str) -> dict[str, Any]:
    """What a toml file holds."""
    return tomllib.loads((_FOLDER / name).read_text(encoding="utf-8"))
