"""The keys of the program in one list: what the sheet shows (F1), and what is said of a key that does nothing here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QGridLayout, QLabel, QVBoxLayout, QWidget

from desktop.widgets.flow import scroll_page

if TYPE_CHECKING:
    from desktop.window import Window


@dataclass(frozen=True, slots=True)
class Keys:
    """Keys that belong together: where they work ("" everywhere), as the program binds them, and what they do."""

    where: str
    keys: tuple[str, ...]
    what: str
    shown: str = ""

    @property
    def words(self) -> str:
        """The keys as they are read."""
        return self.shown or ", ".join(self.keys)


KEYS = (
    Keys("", ("Ctrl+1", "Ctrl+2", "Ctrl+3", "Ctrl+4", "Ctrl+5"), "Tonight, Customers, Jobs, Margins, Firm",
         "Ctrl+1 … Ctrl+5"),
    Keys("", ("Ctrl+K",), "Find a customer, a job or an item"),
    Keys("", ("Ctrl+Z", "Ctrl+Shift+Z", "Ctrl+Y"), "Undo, redo, redo"),
    Keys("", ("F8",), "To what is typed and not kept yet"),
    Keys("", ("Ctrl+S",), "Keep what is typed now; try again what could not be saved"),
    Keys("", ("Return",), "Keep what is typed and go on", "Enter"),
    Keys("", ("Esc",), "Leave a field as it was"),
    Keys("", ("Tab", "Shift+Tab"), "To the next field or cell, and back"),
    Keys("", ("F1",), "These keys"),
    Keys("", ("F10",), "The menu of the firm"),
    Keys("", ("F11",), "Fill the screen"),
    Keys("", ("Ctrl+O",), "Open a firm"),
    Keys("", ("Ctrl+Q",), "Leave Riserbook"),
    Keys("in lists of customers, jobs, bills and payments, in a job, in the week and month", ("Ctrl+N",),
         "Begin a new one; in a job a new job"),
    Keys("in a form", ("Ctrl+Return", "Ctrl+Enter"), "Add it, open it or issue it", "Ctrl+Enter"),
    Keys("in a table", ("F2",), "Open the cell; Enter and typing do so too"),
    Keys("in a table", ("Ctrl+C",), "Copy the chosen rows"),
    Keys("in a table", ("Delete",), "Take the row out, where it can be"),
    Keys("in a table", ("Ctrl+Up", "Ctrl+Down", "Alt+Up", "Alt+Down"), "Move the row: Ctrl in a job, Alt in the "
         "firm's lists"),
    Keys("on Tonight", ("Alt+1", "Alt+2", "Alt+3"), "Tonight, the week, the month"),
    Keys("in the week and month", ("Insert", "PgUp", "PgDown", "Home"), "Book, turn, to today"),
    Keys("on a job", (*(f"Alt+{n}" for n in range(1, 8)), "Alt+0"), "The sections of a job, and its facts",
         "Alt+1 … Alt+7, Alt+0"),
    Keys("on a job", ("Alt+B",), "Book a visit"),
    Keys("on a job, in Margins", ("Alt+Left",), "Back to the list"),
    Keys("in a takeoff", ("Ctrl+R", "Ctrl+B", "Ctrl+L", "Ctrl+I"), "Routes, beside them, the list, the air"),
    Keys("in a takeoff", ("Ctrl+T",), "Take the list into the quote, or into a change order"),
    Keys("in a takeoff", ("Ctrl+Shift+T",), "Chosen lines into a change order"),
    Keys("in a takeoff", ("Ctrl+Shift+R",), "Begin the proposed route"),
    Keys("in a takeoff", ("Ctrl+Shift+O",), "Offcuts onto the truck"),
    Keys("in a takeoff", ("Ctrl+D", "Ctrl+PgUp", "Ctrl+PgDown"), "Copy the route, turn to another"),
    Keys("in a quote", ("Ctrl+U", "Ctrl+L", "Ctrl+R", "Ctrl+T", "Ctrl+P"), "Usual lines; its lines, track record, "
         "texts, preview"),
    Keys("in a quote", ("Ctrl+J", "Ctrl+Shift+J"), "The last such job of a line; take its pace"),
    Keys("in the closeout", ("Ctrl+P",), "Look at the pack"),
    Keys("at closing", ("Ctrl+Shift+A", "Ctrl+Shift+M"), "Tasks left, in other tasks' time; materials left, as quoted"),
    Keys("at a paper shown", ("Ctrl++", "Ctrl+=", "Ctrl+-", "Ctrl+0", "Ctrl+9"), "Larger, smaller, and how it fits",
         "Ctrl++, Ctrl+-, Ctrl+0, Ctrl+9"),
    Keys("at a paper shown", ("Ctrl+Shift+S",), "Save it as a file"),
)  # fmt: skip


def said_where(window: Window, event: QKeyEvent) -> bool:
    """A key of the list that does nothing here says where it works; False for every other key."""
    held = event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier)
    pressed = QKeySequence(event.keyCombination()).toString(QKeySequence.SequenceFormat.PortableText)
    known = [one for one in KEYS if pressed in one.keys and one.where] if held else []
    if not known or window.desk is None:
        return False
    window.desk.say(f"{pressed} works {'; '.join(f'{one.where}: {one.what}' for one in known)}.")
    return True


class KeySheet(QDialog):
    """The list, in a window that scrolls where it does not fit."""

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self.setWindowTitle("Keys")
        inside = QWidget()
        inside.setObjectName("page")
        grid = QGridLayout(inside)
        grid.setContentsMargins(20, 14, 20, 14)
        grid.setHorizontalSpacing(18)
        grid.setVerticalSpacing(6)
        for row, one in enumerate(KEYS):
            what = f"{one.where[0].upper()}{one.where[1:]}: {one.what}" if one.where else one.what
            for column, words in enumerate((one.words, what)):
                said = QLabel(words)
                said.setTextFormat(Qt.TextFormat.PlainText)
                said.setWordWrap(True)
                said.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
                if column == 0:
                    said.setProperty("tone", "strong")
                grid.addWidget(said, row, column)
        grid.setColumnStretch(1, 1)
        grid.setColumnMinimumWidth(0, 190)
        grid.setRowStretch(len(KEYS), 1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column_of_all = QVBoxLayout(self)
        self.scrolled = scroll_page(inside)
        column_of_all.addWidget(self.scrolled, 1)
        column_of_all.addWidget(buttons)
        room = window.size()
        self.resize(min(720, room.width() - 40), min(660, room.height() - 60))
