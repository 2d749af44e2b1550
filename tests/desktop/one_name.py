"""One name for one thing: the words a person reads, and the second names they must not get."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOMS = ("desktop", "domain", "db", "sample_company")

SECOND_NAMES: dict[str, str] = {
    # a pattern over every text that is shown: what is said instead
    r"[Ww]ho changed what": "Journal",
    r"\b[Cc]ompany (file|page)\b|\b(your|this|the|new|sample|open) company\b": "firm",
    r"\b[Tt]hr(o|e)w(n|s|ing)?( it| them| \w+ draft| the \w+)? away\b": "Remove",
    r"^Delete (?!removes|and Enter|key)\w|\b[Dd]eleted\b(?!, moved)": "Remove, removed",
    r"^Take out\b": "Remove, removed",
    r"\bhour entr(y|ies)\b": "hours entry, hours entries",
    r"\bno log yet\b": "not logged yet",
    r"Bq/m3.|.Bq/m3": "Bq/m³",
    r"\b[Ss]ave (it )?as csv\b": "Save as CSV…",
    r"\b[Nn]ought\b": "zero, nothing",
    r"\b[Cc]ame back\b.*\bbill": "returned",
    r"\b([Cc]olour|[Ll]abour|[Ff]avourable|[Uu]nfavourable|[Ll]icence|[Cc]ancelled|[Cc]ancelling|[Mm]etres?|[Cc]entre"
    r"|[Nn]eighbour|[Gg]rey|[Cc]heque|[Oo]rganis\w+|[Rr]ecognis\w+|[Cc]atalogue)\b": "the American spelling",
}  # fmt: skip

LEFT_ALONE: frozenset[str] = frozenset({
    "{labour}+{overhead}+{materials}+{others}+{tax}",  # names of columns in a formula
    "Recognised",  # a name that the package hands out
    "Bq/m3 per pCi/L",  # the key of a unit, as it is stored
})  # fmt: skip

_NAME = re.compile(r"[\w.:/*%-]*")
"""A key, a column, a path: nobody reads it as words."""


def _docstrings(tree: ast.AST) -> set[int]:
    return {
        id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }


def shown_texts(source: str) -> Iterator[tuple[int, str]]:
    """Line and text of every string that may be shown: no docstring, no bare name."""
    tree = ast.parse(source)
    docs = _docstrings(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
            yield node.lineno, node.value


def second_names(source: str) -> list[str]:
    """Each shown text that calls a thing by a second name, with what is said instead."""
    found: list[str] = []
    for line, text in shown_texts(source):
        if text in LEFT_ALONE or "(?P<" in text or (_NAME.fullmatch(text) and text.lower() == text):
            continue
        found += [f"{line}: {text[:60]!r}: say {said}" for form, said in SECOND_NAMES.items() if re.search(form, text)]
    return found


def program_texts(root: Path) -> Iterator[tuple[str, str]]:
    """Name and source of every module of the program."""
    for room in ROOMS:
        for path in sorted((root / room).rglob("*.py")):
            if "migrations" not in path.parts:
                yield path.relative_to(root).as_posix(), path.read_text(encoding="utf-8")
