"""Copies of a firm's file kept aside before a recovery, with their size; only a person throws one away."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtWidgets import QVBoxLayout

from db.company_file.keeping_aside import KeptAside, list_kept_aside, throw_away
from db.company_file.problems import CompanyProblem
from desktop.pages.company import safe_words as words
from desktop.widgets.as_typed import set_tip
from desktop.widgets.cards import Card, button, label, row
from domain.dates import format_moment


class KeptAsideCard(Card):
    """Hidden while nothing is kept aside. A copy goes by a second press."""

    def __init__(self) -> None:
        super().__init__("Kept aside before a recovery")
        self._path: Path | None = None
        self._wanted: KeptAside | None = None
        self.add(
            label(
                "Nobody could work in these, and they may hold what could not be read. They stay until you remove "
                "them.",
                "small", "soft", wrap=True,
            )
        )  # fmt: skip
        self._list = QVBoxLayout()
        self._list.setSpacing(6)
        self.add(self._list)
        self.asked = label("", wrap=True)
        self.gone = button("Remove it for good", self._throw_away, icon_name="cross")
        self.add(self.asked)
        self.add(row(self.gone, None))
        self.buttons: list[object] = []
        self.hide()

    def show_of(self, path: Path) -> None:
        """List what is kept aside of this firm."""
        self._path = path
        kept = list_kept_aside(path)
        self._wanted = None
        self._say("")
        self._clear()
        self.setVisible(bool(kept))
        for one in kept:
            press = button("Remove…", partial(self._ask, one), "quiet")
            press.setAccessibleName(f"Remove the copy of {format_moment(one.kept_at)}")
            self.buttons.append(press)
            name = label(f"{format_moment(one.kept_at)}, {words.size(one.size)}", wrap=True)
            set_tip(name, one.path.name)
            self._list.addWidget(name)
            self._list.addWidget(row(press, None))

    def _ask(self, kept: KeptAside) -> None:
        self._wanted = kept
        self._say(
            f"Remove the copy of {format_moment(kept.kept_at)}, {words.size(kept.size)}? What stands only in it is "
            "gone for good.",
        )

    def _throw_away(self) -> None:
        if self._wanted is None:
            return
        try:
            throw_away(self._wanted)
        except CompanyProblem as problem:
            self._say(str(problem))
            return
        if self._path is not None:
            self.show_of(self._path)

    def _say(self, words: str) -> None:
        self.asked.setText(words)
        self.asked.setVisible(bool(words))
        self.gone.setVisible(bool(words))

    def _clear(self) -> None:
        self.buttons.clear()
        while (item := self._list.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
