"""The words of the shorthand beside the field: what one can say, by what it is for."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.widgets.cards import label, scroll_page

WORDS = (
    ("Begin", "A: pit  sump  tile  membrane  block, then its height above grade: at -7'. pit kept: there already"),
    ("Legs", "up 7'  down 2'  along 31'  pitched 5' rise 4, or u7 d2 a31. Slope: rise 1/8, drop 1/4, level"),
    ("Room", "under 6'8\"  over 2': heights the pipe must keep"),
    ("Heading", "left  right  near  far"),
    ("Where", "slab basement crawl garage room attic outside roof: holds until the next one"),
    ("Size", "2in 3in 4in 1-1/2in: holds until the next one"),
    ("Fittings", "90  90L  45  22  wye B  tee B  coupling  flex  flex to 4in  reduce 4in  valve  drain"),
    ("Through", "sleeve  fire  flashing"),
    ("Ends", "fan  out"),
    ("Stays", "kept, behind a part that is there already"),
    ("Near", "near: opening 12' top 9' wall 6'"),
    ("Name", "found: old pipe, or proposed: north wall"),
)


class WordsHelp(QWidget):
    """A narrow strip that scrolls."""

    def __init__(self) -> None:
        super().__init__()
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(4, 0, 8, 4)
        column.setSpacing(1)
        for title, words in WORDS:
            column.addWidget(label(title, "small_strong"))
            column.addWidget(label(words, "small", "soft", wrap=True))
        column.addStretch(1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(scroll_page(inside))
        self.setAccessibleName("Words of the shorthand")
