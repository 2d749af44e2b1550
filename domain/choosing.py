"""Choosing from a list by typing: beginnings before middles, common words by what they mean, nothing guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from domain.errors import NotUnderstood, as_typed

WHOLE, BEGINS, WORD_BEGINS, MEANS, WITHIN = range(5)
"""How well a text fits a name, best first."""

LEAST_WITHIN = 3
"""So many letters are needed for a name to be taken that only has them somewhere inside a word."""

MEANINGS = {
    "electrician": ("subcontractor", "electric", "wire"),
    "electrical": ("subcontractor", "electric", "wire"),
    "plumber": ("subcontractor",),
    "roofer": ("subcontractor",),
    "mason": ("subcontractor",),
    "carpenter": ("subcontractor",),
    "helper for hire": ("subcontractor",),
    "miles": ("travel", "mile"),
    "mileage": ("travel", "mile"),
    "drive": ("travel", "mile"),
    "driving": ("travel", "mile"),
    "gas": ("travel", "mile"),
    "fuel": ("travel", "mile"),
    "license": ("permit",),
    "inspection": ("permit",),
    "travel": ("travel", "mile"),
    "toll": ("other",),
    "bridge toll": ("other",),
    "parking": ("other",),
    "ferry": ("other",),
    "dump fee": ("other",),
    "lodging": ("other",),
    "town hall": ("permit",),
    "county": ("permit",),
    "rental": ("equipment",),
    "rented": ("equipment",),
    "hired": ("equipment",),
    "vapor barrier": ("membrane",),
    "plastic": ("membrane",),
    "sheeting": ("membrane",),
    "caulk": ("seal",),
    "glue": ("cement",),
    "blower": ("fan",),
    "gauge": ("pressure", "manometer"),
    "conduit": ("electric", "wire", "whip"),
}
"""What people type, and words of the trade that it stands for (common practice, no source)."""

_APART = re.compile(r"[^\w]+")


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())


def _in_words(text: str) -> str:
    return f" {_APART.sub(' ', text.casefold()).strip()}"


def meaning_of(text: str) -> str:
    """The common word that a text begins, "" when it begins none: ``elec`` is electrician."""
    wanted = _folded(text)
    return next((word for word in MEANINGS if len(wanted) > 1 and word.startswith(wanted)), "")


class NameList:
    """Names to choose from; each may have several, of which the last is the one shown."""

    def __init__(self, names: Iterable[str | Sequence[str]]) -> None:
        all_of = [(one,) if isinstance(one, str) else tuple(one) for one in names]
        self._folded = [tuple(_folded(name) for name in one) for one in all_of]
        self._words = [" ".join(_in_words(name) for name in one) for one in all_of]

    def ranks(self, text: str) -> list[tuple[int, int]]:
        """(how well it fits, place in the list) of every name that fits at all, best first; all for no text."""
        wanted = _folded(text)
        if not wanted:
            return [(BEGINS, place) for place in range(len(self._folded))]
        begins_word = _in_words(text)
        stands_for = {f" {goal}" for word, goals in MEANINGS.items() if _meant(word, wanted) for goal in goals}
        found = []
        for place, names in enumerate(self._folded):
            if wanted in names:
                found.append((WHOLE, place))
            elif any(name.startswith(wanted) for name in names):
                found.append((BEGINS, place))
            elif len(begins_word) > 1 and begins_word in self._words[place]:
                found.append((WORD_BEGINS, place))
            elif stands_for and any(goal in self._words[place] for goal in stands_for):
                found.append((MEANS, place))
            elif any(wanted in name for name in names):
                found.append((WITHIN, place))
        return sorted(found)

    def best(self, text: str) -> list[int]:
        """Places of the names that fit best, none when a few letters are only somewhere within."""
        ranks = self.ranks(text)
        if not _folded(text) or not ranks or (ranks[0][0] == WITHIN and len(_folded(text)) < LEAST_WITHIN):
            return []
        return [place for rank, place in ranks if rank == ranks[0][0]]

    def choose(self, text: str, missing: str = "", *, within: bool = True) -> int:
        """The place of the one name that is meant; of several that fit equally well none is taken.

        Without `within` a name that has the letters only somewhere inside a word is named, and not taken.

        Raises NotUnderstood: with `missing` when none fits, else with how many do.
        """
        best = self.best(text)
        if len(best) == 1 and not within and self.ranks(text)[0][0] == WITHIN:
            raise NotUnderstood(f"No name in the list begins with {as_typed(text)}. Press Down to see what is.", text)
        if len(best) == 1:
            return best[0]
        if best:
            raise NotUnderstood(f"{as_typed(text)} fits {len(best)} of the list. Type more of it, or choose one.", text)
        raise NotUnderstood(missing or f"{as_typed(text)} is not in the list. Press Down to see what is.", text)


def one_beginning(words: Mapping[str, str], text: str, missing: str) -> str:
    """The key whose word is typed or begun; of several nothing is guessed.

    Raises NotUnderstood: with `missing` when none begins so, else with those that do.
    """
    wanted = _folded(text)
    found = [key for key, word in words.items() if wanted and _folded(word).startswith(wanted)]
    found = [key for key in found if _folded(words[key]) == wanted] or found
    if not found:
        raise NotUnderstood(missing, text)
    if len(found) > 1:
        several = " or ".join(words[key] for key in found)
        raise NotUnderstood(f"{as_typed(text)} may be {several}. Type more of it.", text)
    return found[0]


def _meant(word: str, wanted: str) -> bool:
    return len(wanted) > 1 and word.startswith(wanted)
