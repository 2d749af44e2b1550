"""One-line fields that read what people type and keep it when it cannot be read.

All fields share one face:
    value()        the last valid value; None when empty (TextField: "")
    set_value(v)   show a value. While the owner is typing in the field the text is left alone (see reset)
    reset(v=None)  show a value whatever has been typed, e.g. to clear an entry row
    problem()      the message about what was typed, "" when all is well
    edited(object)         a valid, different value was committed (Enter or leaving the field)
    typed(object)          on each keystroke that can be read; misread(str) on each that cannot, with the reason
    problem_changed(str)   the message appeared, changed or went; a Form shows it below the field

    TextField(placeholder="", required=False)
    MoneyField(required=False, least=None)      int cents
    QuantityField(unit="", required=False, least=Decimal(0))   Decimal; set_unit(unit)
    PercentField(required=False, least=None, most=None)        Decimal percent
    DurationField(required=False, allow_negative=False)        int minutes; 2h15, 2.25, 150m, 8:15-10:30
    doubt=          of most: what is odd about a value, "" for nothing; see `domain.unlikely`
    RadonField(unit="pCi/L", required=False)    Decimal pCi/L, whatever unit was typed; set_unit(unit)
    TypedField(parse, show, ...)                any other pair of functions

While something is typed, its reading stands at the right in grey: "2h15" shows "2 h 15". Escape takes typing back.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from decimal import Decimal
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent, QMouseEvent, QPaintEvent, QShowEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from desktop.widgets.half import keeps_itself, watch
from desktop.widgets.reading import at_least, paint_reading
from desktop.widgets.wrong_look import mark_wrong
from domain.errors import NotUnderstood
from domain.money import format_money, parse_money
from domain.units import (
    format_minutes,
    format_percent,
    format_quantity,
    format_radon,
    parse_minutes,
    parse_percent,
    parse_quantity,
    parse_radon,
    unlikely_radon,
)
from domain.unlikely import asked, percent_doubt


class TypedField(QLineEdit):
    """A line that holds a value read by `parse` and shown by `show`."""

    edited = Signal(object)
    typed = Signal(object)
    problem_changed = Signal(str)
    misread = Signal(str)  # on each keystroke that cannot be read: why
    empty_value: Any = None

    def __init__(
        self,
        parse: Callable[[str], Any],
        show: Callable[[Any], str],
        *,
        required: bool = False,
        check: Callable[[Any], str | None] | None = None,
        placeholder: str = "",
        right: bool = False,
        parent: QWidget | None = None,
        doubt: Callable[[Any], str] | None = None,
    ) -> None:
        super().__init__(parent)
        self._doubt = doubt
        self._doubted: Any = None
        self._sure: Any = None
        self.is_asking = False
        self._just_clicked = False
        self._parse, self._show, self._check = parse, show, check
        self._required = required
        self._value: Any = self.empty_value
        self._problem = ""
        self._reading = ""
        self._right = right
        self._offered = ""
        self.touched = False
        self.setPlaceholderText(placeholder)
        if right:
            self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.textEdited.connect(self._typing)
        self.editingFinished.connect(self.commit)

    def value(self) -> Any:
        """The last valid value, None (text: "") when empty."""
        return self._value

    def set_value(self, value: Any) -> None:
        """Show `value`; what is being typed in the field at this moment stays."""
        if (self.hasFocus() and self.isModified()) or (self._problem and value == self._value):
            self._value = value
            return
        self.reset(value)

    def reset(self, value: Any = None) -> None:
        """Show `value` and forget what was typed."""
        self.touched, self._offered = False, ""
        watch().untouch(self)
        self._value = self.empty_value if value is None else value
        self._put(self._shown(self._value))
        self.set_problem("")

    def retype(self, text: str) -> None:
        """Put words in as if they had just been typed, and commit them where they can be read."""
        self.setText(text)
        self.setModified(True)
        self._typing(text)
        self.commit()

    def shown(self, value: Any) -> str:
        """This value as it stands in the field."""
        return self._shown(value)

    def hold(self, stored: Any, words: str, reason: str, *, offered: bool = False) -> None:
        """What is stored stays `stored`; these words stand here for another try, marked as not kept.

        Words that are only `offered`, from before, are taken by Enter alone, not by leaving the field.
        """
        self.reset(stored)
        self.setText(words)
        self.setModified(True)
        self.touched = True
        self._offered = words if offered else ""
        self.set_problem(reason)
        watch().touch(self)

    def again(self) -> bool:
        """Try once more to keep what stands here."""
        self._offered = ""
        return self.commit()

    clear = reset

    def problem(self) -> str:
        """What is wrong with the text, in a sentence for the owner; empty when nothing is."""
        return self._problem

    def set_problem(self, text: str, asks: bool = False) -> None:
        """Say that this entry cannot be used for a reason only the page knows, or ask about it; the text stays."""
        if text == self._problem:
            return
        self._problem, self.is_asking = text, asks
        mark_wrong(self, bool(text), asks)
        self.setAccessibleDescription(text)
        self.problem_changed.emit(text)

    def refuse(self, text: str, shown: Any) -> None:
        """What was committed cannot be shown: the words stay, marked; the value, and what Escape brings, is `shown`."""
        self._value = shown
        self.set_problem(text)

    def commit(self) -> bool:
        """Take what stands in the field; False when it cannot be read (the text is kept).

        What is unlikely is asked about until Enter says yes. A field that saves by itself keeps it all the same; a form
        that adds something waits for the answer.
        """
        if not self.isModified():
            return not self._problem or (self.is_asking and keeps_itself(self))
        if self._offered and self.text() == self._offered:
            return False
        typed = self._typed_value()
        new = typed is not None and typed not in (self._value, self._sure)
        words = asked(self._doubt(typed)) if new and self._doubt is not None else ""
        if words and not keeps_itself(self):
            self._doubted = typed
            self.set_problem(words, asks=True)
            return False
        self._doubted = self._sure = None
        try:
            value = self._read()
        except NotUnderstood as error:
            self.set_problem(str(error))
            return False
        changed = value != self._value
        self._value = value
        self._put(self._shown(value))
        self._forget_typing()
        self.set_problem("")
        if changed:
            self.edited.emit(value)
        if not self.isModified():  # else it was refused, and the words stand there for correction
            watch().settled(self)
            if words and self._value == value:
                self._doubted = value
                self.set_problem(words, asks=True)
        return True

    def ask_anew(self) -> bool:
        """What a question here depends on may have changed: ask the one that is due now; True when it is another."""
        if self._doubt is None or keeps_itself(self) or (self._problem and not self.is_asking):
            return False
        words = asked(self._doubt(self._doubted)) if self.is_asking else ""
        if words == self._problem:
            return False
        self.set_problem(words, asks=bool(words))
        return bool(words)

    def _typed_value(self) -> Any:
        """What stands typed and is not kept yet, where a doubt may be had of it."""
        if self._doubt is None or not self.isModified():
            return None
        with suppress(NotUnderstood):
            return self._read()
        return None

    def _read(self) -> Any:
        text = self.text()
        if not text.strip():
            if self._required:
                raise NotUnderstood("This cannot stay empty.", text)
            return self.empty_value
        value = self._parse(text)
        if self._check and (message := self._check(value)):
            raise NotUnderstood(message, text)
        return value

    def _shown(self, value: Any) -> str:
        return "" if value is None or value == "" else self._show(value)

    def _put(self, text: str) -> None:
        self._reading = ""
        if self.text() != text:
            self.setText(text)
            if not self.hasFocus() and not self._right:
                self.setCursorPosition(0)
        self.setModified(False)

    def _forget_typing(self) -> None:
        """From here on Ctrl+Z takes back the saved step, not the letters it was typed with."""
        if self.isUndoAvailable():
            place = self.cursorPosition()
            self.setText(self.text())
            self.setCursorPosition(place)

    def _typing(self, text: str) -> None:
        self.touched = True
        watch().touch(self)
        try:
            value = self._read()
        except NotUnderstood as error:
            self._reading = ""
            self.misread.emit(str(error))
        else:
            shown = self._shown(value)
            self._reading = shown if shown != text.strip() else ""
            self.set_problem("")
            self.typed.emit(value)
        self.update()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        watch().came_back(self)

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if self.touched and not event.spontaneous():
            watch().hid(self)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.selectAll()
        self._just_clicked = event.reason() == Qt.FocusReason.MouseFocusReason

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The click that comes into a figure takes it whole, to be typed over; the next one places the cursor."""
        super().mouseReleaseEvent(event)
        if self._just_clicked and self.empty_value is None and not self.hasSelectedText():
            self.selectAll()
        self._just_clicked = False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._offered = ""
            if self.is_asking:
                if self.ask_anew():
                    return  # what stood there when it was asked has changed: this Enter has not read the new question
                self._sure = self._doubted if self._typed_value() in (self._doubted, None) else None
                self.set_problem("")
        if event.key() == Qt.Key.Key_Escape and (self.isModified() or self._problem):
            self.reset(self._value)
            self.selectAll()
            self.typed.emit(self._value)
            return
        super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        if self._reading and self.hasFocus():
            paint_reading(self, self._reading, self._right)


class TextField(TypedField):
    """Plain words; empty is "" and not None."""

    empty_value = ""

    def __init__(self, placeholder: str = "", required: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(str.strip, str, required=required, placeholder=placeholder, parent=parent)


class MoneyField(TypedField):
    """An amount in int cents."""

    def __init__(
        self, required: bool = False, least: int | None = None, parent: QWidget | None = None,
        doubt: Callable[[int], str] | None = None,
    ) -> None:  # fmt: skip
        super().__init__(
            parse_money, format_money, required=required, check=at_least(least, format_money), right=True,
            parent=parent, doubt=doubt,
        )  # fmt: skip


class QuantityField(TypedField):
    """A Decimal quantity in a unit."""

    def __init__(
        self, unit: str = "", required: bool = False, least: Decimal | None = Decimal(0),
        parent: QWidget | None = None, doubt: Callable[[Decimal], str] | None = None,
    ) -> None:  # fmt: skip
        self._unit = unit
        super().__init__(
            lambda text: parse_quantity(text, self._unit),
            lambda value: format_quantity(value, self._unit),
            required=required,
            check=at_least(least, lambda value: format_quantity(value, self._unit)),
            right=True, parent=parent, doubt=doubt,
        )  # fmt: skip

    def set_unit(self, unit: str) -> None:
        """Show and read quantities in `unit` from now on; the number stays."""
        self._unit = unit
        if not self.isModified():
            self.reset(self._value)


class PercentField(TypedField):
    """A Decimal percentage: 15 means 15%."""

    def __init__(
        self, required: bool = False, least: Decimal | None = None, most: Decimal | None = None,
        parent: QWidget | None = None, doubt: Callable[[Decimal], str] | None = None,
    ) -> None:  # fmt: skip
        low = at_least(least, format_percent)

        def check(value: Decimal) -> str | None:
            if most is not None and value > most:
                return f"This can be {format_percent(most)} at most."
            return low(value)

        super().__init__(
            parse_percent, format_percent, required=required, check=check, right=True, parent=parent,
            doubt=doubt or percent_doubt,
        )  # fmt: skip


class DurationField(TypedField):
    """A stretch of time in int minutes: 2h15, 2.25, 150m, 8:15-10:30."""

    def __init__(
        self, required: bool = False, allow_negative: bool = False, parent: QWidget | None = None,
        doubt: Callable[[int], str] | None = None,
    ) -> None:  # fmt: skip
        super().__init__(
            lambda text: parse_minutes(text, allow_negative),
            format_minutes, required=required, placeholder="2h15", right=True, parent=parent,
            doubt=doubt,
        )  # fmt: skip


class RadonField(TypedField):
    """A radon level, kept in Decimal pCi/L, typed and shown in the company's unit."""

    def __init__(self, unit: str = "pCi/L", required: bool = False, parent: QWidget | None = None) -> None:
        self._unit = unit
        super().__init__(
            lambda text: parse_radon(text, self._unit),
            lambda level: format_radon(level, self._unit),
            required=required, placeholder="4.1 or 152 Bq", right=True, parent=parent,
            doubt=lambda level: unlikely_radon(level, self._unit),
        )  # fmt: skip

    def set_unit(self, unit: str) -> None:
        """Show and read levels in `unit` from now on; the level stays."""
        self._unit = unit
        if not self.isModified():
            self.reset(self._value)
