"""How a company file of an earlier version becomes one of this version, one small step after the other."""

from __future__ import annotations

from pathlib import Path

FOLDER = Path(__file__).resolve().parent

REVISIONS: tuple[str, ...] = tuple(
    sorted(step.name.partition("_")[0] for step in (FOLDER / "versions").glob("[0-9]*_*.py"))
)
"""Every revision this program knows, oldest first; each step's file is named after it: 0001_first_tables.py."""

HEAD = REVISIONS[-1] if REVISIONS else ""
"""The revision of a file that is up to date."""
