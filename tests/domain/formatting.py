"""Finds text that prints a percentage, a length of time, an amount of money or a day by itself."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

FORMATTERS = ("domain/units/", "domain/money.py", "domain/dates.py")
"""The rooms that print figures for everybody."""

_BEHIND = {
    "percent": re.compile(r"\s?(%|percent\b)"),
    "hours": re.compile(r"\s?(h|hrs?|hours?|min|mins|minutes?)\b(?!/| entr)"),
}
_SPEC = {"percent": re.compile(r"%$"), "day": re.compile(r"%[aAbBdcHIjmMpSxXyY]")}
_FIGURES_ONLY = re.compile(r"[%YymdHMSf .,_:-]*")
"""A stamp of digits alone, as names of files have it, reads alike in every language."""

_LOCALE = ("QLocale", "locale")
_QT_DATES = ("toString",)


def _text(part: ast.expr | None) -> str:
    return part.value if isinstance(part, ast.Constant) and isinstance(part.value, str) else ""


def _spec(part: ast.FormattedValue) -> str:
    return "".join(_text(piece) for piece in part.format_spec.values) if isinstance(
        part.format_spec, ast.JoinedStr
    ) else ""  # fmt: skip


def _in_string(node: ast.JoinedStr) -> Iterator[tuple[int, str]]:
    parts = [None, *node.values, None]
    for before, part, behind in zip(parts, parts[1:], parts[2:], strict=False):
        if not isinstance(part, ast.FormattedValue):
            continue
        around = _text(before), _text(behind)
        if not around[0].endswith(("%", "\\", "=")):  # a search pattern of SQL, a cell's name in a workbook
            yield from ((part.lineno, kind) for kind, word in _BEHIND.items() if word.match(around[1]))
        if re.search(r"(^|[\s(+-])\$$", around[0]):
            yield part.lineno, "money"
        spec = _spec(part)
        for kind, form in _SPEC.items():
            if form.search(spec) and not _FIGURES_ONLY.fullmatch(spec):
                yield part.lineno, kind


def _in_call(node: ast.Call) -> Iterator[tuple[int, str]]:
    name = node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id if isinstance(
        node.func, ast.Name
    ) else ""  # fmt: skip
    form = _text(node.args[0]) if node.args else ""
    if name in ("strftime", "strptime") and form and not _FIGURES_ONLY.fullmatch(form):
        yield node.lineno, "day"
    if name in _QT_DATES and re.search(r"[dMyhm]{1,4}", form):
        yield node.lineno, "day"


def printed_by_itself(source: str) -> list[tuple[int, str]]:
    """Line and kind ("percent", "hours", "money", "day", "locale") of each text that does not ask a formatter."""
    found: list[tuple[int, str]] = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.JoinedStr):
            found += _in_string(node)
        elif isinstance(node, ast.Call):
            found += _in_call(node)
        elif isinstance(node, ast.Import | ast.ImportFrom):
            names = [alias.name for alias in node.names] + [getattr(node, "module", "") or ""]
            found += [(node.lineno, "locale") for name in names if name in _LOCALE]
    return found


def program_files(root: Path) -> list[Path]:
    """Every module whose texts people read, without the formatters and the migrations."""
    files = [path for room in ("desktop", "db", "domain", "sample_company") for path in (root / room).rglob("*.py")]
    names = {path: path.relative_to(root).as_posix() for path in files}
    return sorted(p for p in files if "/migrations/" not in names[p] and not names[p].startswith(FORMATTERS))
