"""Text as it leaves the program: nothing in it is a command, a mark or a turn of direction to whoever reads it next.

Everything that leaves (workbook, csv, calendar, PDF, terminal, JSON, file names) passes one of these. What a person
can read stays as it was typed; what only a machine would read goes:

* line ends of every kind (CR, vertical tab, form feed, U+0085, U+2028, U+2029) become one kind, or a space;
* control characters, U+FEFF, U+FFF9 to U+FFFB and what is no character at all are left out, halves of pairs are
  replaced by U+FFFD (Unicode Standard, sections 23.1, 23.6 and 23.7, from memory);
* marks that turn the direction of what follows are left out (Unicode Standard Annex 9, section 2, from memory); the
  two that only say where one letter belongs, U+200E and U+200F, stay.
"""

from __future__ import annotations

import re

_LINE_ENDS = re.compile("\r\n|[\r\v\f\x1c\x1d\x1e\x85\u2028\u2029]")
_NEVER = re.compile(
    "[\x00-\x08\x0e-\x1b\x1f\x7f-\x84\x86-\x9f"  # control characters, without tab and line ends
    "\u202a-\u202e\u2066-\u2069\u206a-\u206f"  # embeddings, overrides and isolates of direction, old ones too
    "\ufeff\ufff9-\ufffb\ufdd0-\ufdef"
    + "".join(chr(plane << 16 | last) for plane in range(17) for last in (0xFFFE, 0xFFFF))
    + "\U000e0000-\U000e007f]"  # tags, which nobody sees
)
_HALVES = re.compile("[\ud800-\udfff]")
_SPACES = re.compile("[ \t\n]*[\t\n][ \t\n]*")
_SUSPECT = re.compile("[^ -~\u00a0-\u1fff]")
"""Cheap first look: text of plain letters alone has nothing to take out."""

LOOKS_LIKE_A_FORMULA = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""Text that begins so could be taken for a formula, the wide forms of the signs too (some spreadsheets take those)."""

_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_NOT_IN_FILE_NAMES = re.compile(r'[<>:"/\\|?*\n\t]+')
_AT_EITHER_END = re.compile(r"^[\s.~-]+|[\s.~-]+$")
_DEVICES = re.compile(r"(?i)(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\..*)?")
_LONGEST_NAME = 120
"""Bytes of a proposed file name: with folder, suffix and a backup's day it stays below what file systems take."""


def many_lines(text: str) -> str:
    """The text with its lines: every line end is a line feed, tabs stay, what is not for reading is left out."""
    if _SUSPECT.search(text) is None:
        return text
    return _HALVES.sub("\ufffd", _NEVER.sub("", _LINE_ENDS.sub("\n", text)))


def one_line(text: str) -> str:
    """The text on one line: a line end or a tab, with the spaces around it, becomes one space."""
    if _SUSPECT.search(text) is None:
        return text
    return _SPACES.sub(" ", many_lines(text)).strip()


def table_cell(text: str) -> str:
    """A cell of a csv file: its lines, and the apostrophe that marks text where a formula could be read.

    A plain number stays as it is, so a negative amount can still be added up.
    """
    clean = many_lines(text)
    return f"'{clean}" if looks_like_a_formula(clean) and _NUMBER.fullmatch(clean) is None else clean


def looks_like_a_formula(text: str) -> bool:
    """True when a spreadsheet could take the text for a formula; some look past spaces at its beginning."""
    return text.lstrip().startswith(LOOKS_LIKE_A_FORMULA)


def json_words(dumped: str) -> str:
    r"""JSON with nothing harmful in the clear: in its strings such letters are written ``\uXXXX``, so none is lost.

    Args:
        dumped: what `json.dumps` made; outside its strings it has none of these.
    """
    return _ESCAPED.sub(lambda found: _escape(found[0]), dumped)


_ESCAPED = re.compile(f"{_NEVER.pattern}|{_HALVES.pattern}|[\x85\u2028\u2029]")


def _escape(letter: str) -> str:
    units = letter.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[at]:02x}{units[at + 1]:02x}" for at in range(0, len(units), 2))


def file_name(text: str, otherwise: str = "Riserbook") -> str:
    """Words as the name of a file on any system, without a suffix.

    No sign that parts folders, no point or space at either end, no name a system keeps for a device, at most
    120 bytes of UTF-8.

    Args:
        text: e.g. a firm's name, or the title of a paper.
        otherwise: taken when nothing of the text can be used.
    """
    words = _NOT_IN_FILE_NAMES.sub("-", one_line(text))
    words = words.encode()[:_LONGEST_NAME].decode("utf-8", "ignore")
    words = _AT_EITHER_END.sub("", words)
    if not words:
        return otherwise
    return f"_{words}" if _DEVICES.fullmatch(words) else words


def whole_file_name(text: str) -> str:
    """A file name with its suffix, e.g. ``26-014 visits.ics``: what stands before the suffix is made harmless."""
    text = _AT_EITHER_END.sub("", _NOT_IN_FILE_NAMES.sub("-", one_line(text)))
    stem, point, suffix = text.rpartition(".")
    return f"{file_name(stem)}.{suffix}" if point and suffix.isalnum() else file_name(text)
