"""Cuts a typed route into lines and words, each with its place in the text."""

from __future__ import annotations

import re
from dataclasses import dataclass

_WORD = re.compile(r"[^\s,;]+")
_HEAD = re.compile(r"[ \t]*([^\W\d_]+)[ \t]*:")


@dataclass(slots=True)
class Word:
    """A word as typed and in lower case, first and last character."""

    text: str
    start: int
    end: int
    low: str


@dataclass(slots=True)
class Line:
    """What stands before a colon at its beginning, and the words behind."""

    head: str
    words: list[Word]
    start: int
    end: int


def lines_of(text: str) -> list[Line]:
    """Every line of a text, with its head and its words."""
    lines = []
    offset = 0
    for raw in text.splitlines(keepends=True):
        head = _HEAD.match(raw)
        begin = offset + (head.end() if head else 0)
        end = offset + len(raw.rstrip())
        words = [
            Word(match[0], begin + match.start(), begin + match.end(), match[0].casefold())
            for match in _WORD.finditer(text[begin:end])
        ]
        lines.append(Line(head[1] if head else "", words, begin, max(begin, end)))
        offset += len(raw)
    return lines
