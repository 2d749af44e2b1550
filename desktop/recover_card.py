"""On the welcome page: what can be had of a firm's file nobody can work in, to choose from knowingly."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path

from PySide6.QtCore import QCoreApplication, Signal
from PySide6.QtWidgets import QVBoxLayout

from db.company_file.problems import CompanyProblem, Refused
from db.company_file.recovery import Offer, Recovery, recovering, use
from desktop.errands import Errand
from desktop.widgets.cards import Card, Notice, button, label, row

_FIRST = (
    "A copy of the file as it is is kept first. Then you see what can be read of it and what the newest backup holds, "
    "before anything is put in its place."
)
_GONE = "You see what is left of it before anything is put in its place."


class RecoverCard(Card):
    """Hidden until a file is offered to it.

    Signals:
        recovered: (path): another file was put in its place, or it needs no recovery; the window opens it.
    """

    recovered = Signal(object)

    def __init__(self) -> None:
        super().__init__("Recover this firm")
        self.path: Path | None = None
        self.recovery: Recovery | None = None
        self._held = ExitStack()
        self.say = Notice("info")
        self._list = QVBoxLayout()
        self._list.setSpacing(6)
        self.start = button("Recover", self.begin, "primary", "undo")
        self._first = label(_FIRST, tone="soft", wrap=True)
        self.add(self._first)
        self.add(row(self.start, None))
        self.add(self.say)
        self.add(self._list)
        self.uses: list[object] = []
        self.hide()
        if (app := QCoreApplication.instance()) is not None:
            app.aboutToQuit.connect(self._let_go)

    def offer(self, path: Path) -> None:
        """Offer to recover this file."""
        self.forget()
        self.path = path
        self._first.setText(_FIRST if path.exists() else _GONE)
        self.start.setEnabled(True)
        self.show()

    def forget(self) -> None:
        """Offer nothing any more; what was made to choose from is removed."""
        self._let_go()
        self._clear()
        self.say.set_words("info", "")
        self.path = None
        self._first.show()
        self.start.show()
        self.hide()

    def begin(self) -> None:
        """Keep the file aside and read what can be read, off the window's thread."""
        path = self.path
        if path is None:
            return
        self.start.setEnabled(False)
        self.say.set_words("info", "Keeping a copy, then reading what can be read …")
        held = ExitStack()
        Errand(
            self, lambda: held.enter_context(recovering(path)), lambda found: self._show(found, held), self._give_up
        ).begin()

    def _show(self, found: Recovery | None, held: ExitStack) -> None:
        self._let_go()
        self._held, self.recovery = held, found
        self.say.set_words("info", "")
        if self.path is None:
            self._let_go()  # the owner has gone elsewhere meanwhile
            return
        if found is None:
            self.recovered.emit(self.path)
            return
        self._first.hide()
        self.start.hide()
        self._clear()
        kept = "The file is gone; this is what is left of it."
        if found.kept is not None:
            kept = f"A copy of the file as it was is kept: {found.kept}"
        self._list.addWidget(label(kept, "small", "soft", wrap=True))
        for offer in found.offers:
            self._add_offer(offer)

    def _add_offer(self, offer: Offer) -> None:
        self._list.addWidget(label(offer.title(), "strong", wrap=True))
        best = not offer.lacks.steps
        press = button(
            "Put this in its place", lambda: self._ask(offer), "primary" if best else "plain", "check" if best else None
        )
        press.setAccessibleName(f"{offer.title()}: put this in its place")
        self.uses.append(press)
        self._list.addWidget(row(press, None))
        self._list.addWidget(label("\n".join(offer.lines()), wrap=True))

    def _ask(self, offer: Offer) -> None:
        if not offer.lacks.steps:
            self._use(offer)
            return
        recovery = self.recovery
        kept = " They stay in the copy that was kept." if recovery is not None and recovery.kept is not None else ""
        self.say.set_words(
            "caution", f"This would lose {offer.lacks.words()}{kept}",
            ("Lose them and go on", lambda: self._use(offer)),
        )  # fmt: skip

    def _use(self, offer: Offer) -> None:
        recovery = self.recovery
        if recovery is None:
            return
        self.say.set_words("info", "Putting it in place …")
        self.recovery = None  # a second press does nothing
        Errand(
            self, lambda: use(recovery, offer, may_lose=offer.lacks.steps),
            lambda _kept: self._used(recovery.path), self._give_up,
        ).begin()  # fmt: skip

    def _used(self, path: Path) -> None:
        self._let_go()
        self.recovered.emit(path)

    def _give_up(self, error: Exception) -> None:
        self.start.setEnabled(True)
        self.start.show()
        if not isinstance(error, CompanyProblem | Refused):
            self.say.set_words("error", "That did not work. The file and the copy that was kept are as they were.")
            raise error
        self.say.set_words("error", str(error))

    def _let_go(self) -> None:
        self.recovery = None
        self._held.close()

    def _clear(self) -> None:
        self.uses.clear()
        while (item := self._list.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
