"""Reads the starting library's own files."""

from __future__ import annotations

import csv
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

_FOLDER = Path(__file__).resolve().parent


def table_rows(name: str) -> list[dict[str, str]]:
    """The rows of a csv file, each by its headings."""
    with (_FOLDER / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def usual_link(of: str, name: str, job_type: str) -> str:
    """The part of the takeoff a usual line of the library stands for; ``of`` is task or item, by name or by code."""
    links = _links()
    return links.get((of, name, job_type), links.get((of, name, ""), ""))


@cache
def _links() -> dict[tuple[str, str, str], str]:
    return {(row["of"], row["name"], row["job_type"]): row["part"] for row in table_rows("stands_for.csv")}


def settings(name: str) -> dict[str, Any]:
    """What a toml file holds."""
    return tomllib.loads((_FOLDER / name).read_text(encoding="utf-8"))
