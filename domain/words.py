"""Words made comparable: case, accents and punctuation aside, so that "lukasz" finds "Łukasz"."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable

_LETTERS = str.maketrans({"ł": "l", "ø": "o", "đ": "d", "æ": "ae", "œ": "oe", "ð": "d", "þ": "th", "ı": "i"})


def fold(text: str) -> str:
    """The text in lower case without accents: ``fold("Łukasz Sørensen") == "lukasz sorensen"``."""
    if text.isascii():
        return text.lower()
    plain = unicodedata.normalize("NFKD", text.casefold().translate(_LETTERS))
    folded = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return folded if folded == text else fold(folded)  # taking a sign apart can leave capitals: ㎒ is MHz


def phone_digits(text: str) -> str:
    """The digits of a phone number, the long-distance 1 of a US number left out; extensions are dropped."""
    digits = re.sub(r"\D", "", re.split(r"(?i)\b(?:ext|x)\.?\s*\d", text)[0])
    return digits[1:] if len(digits) == 11 and digits.startswith("1") else digits


def search_text(*parts: str, phones: Iterable[str] = ()) -> str:
    """What a search looks through: the folded parts and the bare digits of the phones, one a line."""
    return "\n".join([*(fold(part) for part in parts if part), *(phone_digits(phone) for phone in phones)])


def search_for(wanted: str) -> Callable[[str], bool]:
    """A test for texts made by `search_text`: True when every word of `wanted` occurs in one.

    Words that are only digits, spaces and the signs of a phone number are compared as bare digits too:
    ``(207) 555-0143`` finds ``2075550143``. Nothing wanted: everything is found.
    """
    words = fold(wanted).split()
    numeric = re.fullmatch(r"[\d\s()+.\-/]+", wanted.strip()) is not None
    digits = phone_digits(wanted) if numeric else ""
    if len(words) == 1 and not numeric:  # the first letters, in the longest lists
        word = words[0]
        return lambda searched: word in searched
    if len(digits) < 3:
        return lambda searched: all(word in searched for word in words)
    return lambda searched: digits in searched or all(word in searched for word in words)


def matches(wanted: str, searched: str) -> bool:
    """`search_for` for a single text."""
    return search_for(wanted)(searched)
