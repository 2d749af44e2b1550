"""What stands in the window when no company is open: begin, open, or look at the sample."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from desktop.local_settings import LocalSettings
from desktop.look.icons import icon
from desktop.widgets.cards import Notice

SUFFIX = ".riserbook"


class WelcomePage(QScrollArea):
    """Signals: open_asked(Path), create_asked(Path, name, owner), sample_asked()."""

    open_asked = Signal(object)
    create_asked = Signal(object, str, str)
    sample_asked = Signal()

    def __init__(self, settings: LocalSettings) -> None:
        super().__init__()
        self._settings = settings
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        body = QWidget()
        body.setObjectName("page")
        outer = QHBoxLayout(body)
        outer.addStretch(1)
        column = QVBoxLayout()
        column.setSpacing(16)
        outer.addLayout(column, 3)
        outer.addStretch(1)
        column.addSpacing(36)
        column.addWidget(_line("Riserbook", size=24, bold=True))
        column.addWidget(_line("What did I think this job would take, what did it take, "
                               "and what does that say about the next one?", tone="soft", size=12))
        self._problem = QVBoxLayout()
        column.addLayout(self._problem)
        cards = QHBoxLayout()
        cards.setSpacing(16)
        cards.addWidget(self._new_card(), 1)
        cards.addWidget(self._open_card(), 1)
        column.addLayout(cards)
        column.addWidget(_line("A company is one file on this computer. It is saved after every step, "
                               "backed up when it is opened, and goes nowhere else.", tone="faint"))
        column.addStretch(1)
        self.setWidget(body)

    def _new_card(self) -> QFrame:
        card, column = _card("Begin a company")
        column.addWidget(_line("It starts with job types, labour tasks, access conditions and a price list "
                               "of this trade, all yours to change.", tone="soft"))
        self.company_name = _field(column, "Name of the firm")
        self.owner_name = _field(column, "Your name")
        self.company_name.returnPressed.connect(self.owner_name.setFocus)
        self.owner_name.returnPressed.connect(self._create)
        self._error = _line("", tone="error")
        self._error.hide()
        column.addWidget(self._error)
        self.create_button = QPushButton("Begin and choose where to keep it…")
        self.create_button.setProperty("kind", "primary")
        self.create_button.clicked.connect(self._create)
        column.addWidget(self.create_button)
        column.addStretch(1)
        return card

    def _open_card(self) -> QFrame:
        card, column = _card("Open a company")
        self._recent = QVBoxLayout()
        self._recent.setSpacing(4)
        column.addLayout(self._recent)
        other = QPushButton(icon("open"), "Choose a company file…")
        other.clicked.connect(self._choose)
        column.addWidget(other)
        column.addSpacing(12)
        column.addWidget(_line("Or look around in a made-up firm with three years of work. "
                               "You get a copy: try anything.", tone="soft"))
        self.sample_button = QPushButton(icon("house"), "Open the sample company")
        self.sample_button.clicked.connect(self.sample_asked)
        column.addWidget(self.sample_button)
        column.addStretch(1)
        return card

    def refresh(self) -> None:
        """List the recent companies again and forget an old problem."""
        _empty(self._problem)
        _empty(self._recent)
        recent = self._settings.recent
        for path in recent:
            button = QPushButton(icon("company"), path.stem)
            button.setProperty("kind", "link")
            button.setToolTip(str(path))
            button.clicked.connect(lambda _checked=False, path=path: self.open_asked.emit(path))
            self._recent.addWidget(button)
        if not recent:
            self._recent.addWidget(_line("Companies you have opened will be listed here.", tone="faint"))

    def start_new(self) -> None:
        """Put the cursor where a new company begins."""
        self.company_name.setFocus()

    def show_problem(self, text: str) -> None:
        """Say why a company could not be opened."""
        _empty(self._problem)
        self._problem.addWidget(Notice("error", text))

    def _choose(self) -> None:
        chosen, _ = QFileDialog.getOpenFileName(
            self, "Open company", str(Path.home()), f"Riserbook company (*{SUFFIX});;All files (*)"
        )
        if chosen:
            self.open_asked.emit(Path(chosen))

    def _create(self) -> None:
        name = self.company_name.text().strip()
        if not name:
            self._error.setText("Give the firm a name first; it stands at the head of every paper.")
            self._error.show()
            self.company_name.setFocus()
            return
        self._error.hide()
        safe = "".join(letter for letter in name if letter.isalnum() or letter in " -&.").strip(" .") or "Company"
        chosen, _ = QFileDialog.getSaveFileName(
            self, "Where to keep the company", str(Path.home() / f"{safe}{SUFFIX}"), f"Riserbook company (*{SUFFIX})"
        )
        if chosen:
            path = Path(chosen)
            path = path if path.suffix == SUFFIX else path.with_name(path.name + SUFFIX)
            self.create_asked.emit(path, name, self.owner_name.text().strip())


def _card(title: str) -> tuple[QFrame, QVBoxLayout]:
    card = QFrame()
    card.setProperty("card", "true")
    column = QVBoxLayout(card)
    column.setContentsMargins(20, 18, 20, 18)
    column.setSpacing(10)
    column.addWidget(_line(title, size=13, bold=True))
    return card, column


def _line(text: str, tone: str = "", size: float = 0, bold: bool = False) -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    if tone:
        label.setProperty("tone", tone)
    if size or bold:
        face = label.font()
        if size:
            face.setPointSizeF(size)
        face.setBold(bold)
        label.setFont(face)
    return label


def _field(column: QVBoxLayout, name: str) -> QLineEdit:
    label = _line(name, tone="soft")
    field = QLineEdit()
    field.setAccessibleName(name)
    label.setBuddy(field)
    column.addWidget(label)
    column.addWidget(field)
    return field


def _empty(layout: QVBoxLayout) -> None:
    while (item := layout.takeAt(0)) is not None:
        if (widget := item.widget()) is not None:
            widget.deleteLater()
