"""What stands in the window when no company is open: begin, open, or look at the sample."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QLayout, QLineEdit, QSizePolicy, QVBoxLayout, QWidget

from desktop.local_settings import LocalSettings
from desktop.widgets.cards import Card, Notice, button, label, scroll_page
from desktop.widgets.cards import column as stacked
from domain.leaving import file_name

if TYPE_CHECKING:
    from desktop.recover_card import RecoverCard

SUFFIX = ".riserbook"
FILTER = f"Riserbook firm (*{SUFFIX})"
WIDEST = 920


class WelcomePage(QWidget):
    """Signals: open_asked(Path), create_asked(Path, name, owner), sample_asked()."""

    open_asked = Signal(object)
    create_asked = Signal(object, str, str)
    sample_asked = Signal()

    def __init__(self, settings: LocalSettings) -> None:
        super().__init__()
        self._settings = settings
        self.problem = Notice("error")
        self.recover_card: RecoverCard | None = None
        cards = QHBoxLayout()
        cards.setSpacing(16)
        cards.addWidget(self._new_card(), 1)
        cards.addWidget(self._open_card(), 1)
        self._middle = middle = stacked(
            label("Riserbook", "title"),
            label("Quoted against actual, job by job, so that the next quote is a better one.", tone="soft", wrap=True),
            self.problem,
            cards,
            label(
                "A firm is one file on this computer. It is saved after every step, backed up when it is opened, "
                "and goes nowhere else.",
                "small",
                "soft",
                wrap=True,
            ),
            spacing=14,
        )
        middle.setMaximumWidth(WIDEST)
        middle.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        body = QWidget()
        across = QHBoxLayout(body)
        across.setContentsMargins(28, 28, 28, 28)
        across.addWidget(middle, 1, Qt.AlignmentFlag.AlignVCenter)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(scroll_page(body))

    def _new_card(self) -> Card:
        card = Card("Begin a firm")
        card.add(
            label(
                "It starts with job types, labor tasks, access conditions and a price list of this trade, "
                "all yours to change.",
                tone="soft",
                wrap=True,
            )
        )
        self.company_name = _field(card, "Name of the firm", "stands at the head of every paper")
        self.owner_name = _field(card, "Your name")
        self.company_name.returnPressed.connect(self.owner_name.setFocus)
        self.owner_name.returnPressed.connect(self._create)
        self._error = label("", tone="error", wrap=True)
        self._error.hide()
        card.add(self._error)
        self.create_button = button("Begin, and choose where to keep it…", self._create, "primary", "plus")
        card.add(self.create_button)
        card.body.addStretch(1)
        return card

    def _open_card(self) -> Card:
        card = Card("Open a firm")
        self._recent = QVBoxLayout()
        self._recent.setSpacing(2)
        card.add(self._recent)
        card.add(button("Choose a firm's file…", self._choose, icon_name="open"))
        self.restore_button = button("Restore a backup…", self._restore, icon_name="undo")
        card.add(self.restore_button)
        card.body.addSpacing(14)
        card.add(
            label(
                "Or look around in a made-up firm with three years of work. You get a copy: try anything.",
                tone="soft",
                wrap=True,
            )
        )
        self.sample_button = button("Open the sample firm", self.sample_asked.emit, icon_name="house")
        card.add(self.sample_button)
        card.body.addStretch(1)
        return card

    def refresh(self) -> None:
        """List the recent companies again and forget an old problem."""
        self.problem.set_words("error", "")
        if self.recover_card is not None:
            self.recover_card.forget()
        _empty(self._recent)
        recent = self._settings.recent
        names = [path.stem for path in recent]
        for path in recent:
            where = f" in {path.parent}" if names.count(path.stem) > 1 else ""
            opener = button(f"{path.stem}{where}", lambda path=path: self.open_asked.emit(path), "link", tip=str(path))
            self._recent.addWidget(opener)
        if not recent:
            self._recent.addWidget(label("Firms you have opened will be listed here.", tone="soft", wrap=True))

    def start_new(self) -> None:
        """Put the cursor where a new company begins."""
        self.company_name.setFocus()

    def show_problem(self, text: str, kind: str = "error") -> None:
        """Say why a company could not be opened or begun, or what else is to be known; what was typed stays."""
        self.problem.set_words(kind, text)

    def offer_recovery(self, path: Path) -> None:
        """Offer to recover a file that cannot be worked in, right below what is said of it."""
        from desktop.recover_card import RecoverCard

        if self.recover_card is None:
            self.recover_card = RecoverCard()
            self.recover_card.recovered.connect(self.open_asked.emit)
            column = self._middle.layout()
            assert isinstance(column, QVBoxLayout)
            column.insertWidget(column.indexOf(self.problem) + 1, self.recover_card)
        self.recover_card.offer(path)

    def _choose(self) -> None:
        chosen, _ = QFileDialog.getOpenFileName(self, "Open firm", str(Path.home()), f"{FILTER};;All files (*)")
        if chosen:
            self.open_asked.emit(Path(chosen))

    def _restore(self) -> None:
        from db.company_file.problems import CompanyProblem
        from desktop.restoring_backup import restore_to_new_place

        try:
            path = restore_to_new_place(self)
        except CompanyProblem as problem:
            self.show_problem(str(problem))
            return
        if path is not None:
            self.open_asked.emit(path)

    def _create(self) -> None:
        name = self.company_name.text().strip()
        if not name:
            self._error.setText("Give the firm a name first; it can be changed later.")
            self._error.show()
            self.company_name.setFocus()
            return
        self._error.hide()
        proposed = Path.home() / f"{file_name(name, 'Firm')}{SUFFIX}"
        chosen, _ = QFileDialog.getSaveFileName(self, "Where to keep the firm", str(proposed), FILTER)
        if chosen:
            path = Path(chosen)
            path = path if path.suffix == SUFFIX else path.with_name(path.name + SUFFIX)
            self.create_asked.emit(path, name, self.owner_name.text().strip())


def _field(card: Card, name: str, hint: str = "") -> QLineEdit:
    caption = QLabel(name)
    caption.setTextFormat(Qt.TextFormat.PlainText)
    caption.setProperty("tone", "soft")
    field = QLineEdit()
    field.setAccessibleName(name)
    field.setPlaceholderText(hint)
    caption.setBuddy(field)
    card.add(caption)
    card.add(field)
    return field


def _empty(layout: QLayout) -> None:
    while (item := layout.takeAt(0)) is not None:
        if (widget := item.widget()) is not None:
            widget.deleteLater()
