"""Papers a customer, an inspector or a bookkeeper is given: their kinds, their record, the words the owner may set."""

from domain.papers.kinds import PAPER_KINDS, PaperKind, kind_of
from domain.papers.record import IssuedPaper, PaperRow
from domain.papers.texts import PARTS, TextPart, parts_of, words_of

__all__ = [
    "PAPER_KINDS",
    "PARTS",
    "IssuedPaper",
    "PaperKind",
    "PaperRow",
    "TextPart",
    "kind_of",
    "parts_of",
    "words_of",
]
