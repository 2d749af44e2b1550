"""Words typed into fields that save by themselves, until they are saved: refused, half typed, or the program killed.

    desk.kept.follow(field, "Change note of job", lambda: ("job", job_id))   # done by `Autosave.bind`
    desk.kept.show(field, stored_value)                                     # done by `Autosave.show`

What stands in such a field and is not in the firm's file waits with the drafts, under the record it was typed for.
It is there again when that record is shown, marked as not kept, and Enter keeps it; it never takes the place of
something kept since without a word.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import shiboken6
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit

from desktop.widgets.half import is_unkept, watch
from domain.errors import as_typed

TEXT, STORED, REASON = "text", "stored", "reason"
TYPED_BEFORE = "Typed before and not kept yet: Enter keeps it."
FIELD = "field of"
"""How keys of such drafts begin."""


@dataclass(eq=False, slots=True)
class _Followed:
    field: Any
    name: str
    of: Callable[[], object]
    at: str | None = None  # the record that is shown
    stored: Any = None

    def key(self) -> str:
        """Where its words wait; "" while it shows no record."""
        record = self.of()
        return f"{FIELD} {record} {self.name}" if record else ""


class KeptWords(QObject):
    """Of one desk; see the module's first lines."""

    def __init__(self, desk: Any) -> None:
        super().__init__(desk)
        self._desk = desk
        self._fields: dict[int, _Followed] = {}
        self._noted: dict[int, str] = {}
        watch().changed.connect(self._settle)

    def follow(self, field: Any, name: str, of: Callable[[], object]) -> None:
        """Keep what is typed in this field; `of` says of which record it is, nothing (0, None) for none."""
        if not isinstance(field, (QLineEdit, QComboBox, QPlainTextEdit)):
            return  # a switch holds no words
        if len(self._fields) % 50 == 49:
            self._fields = {key: one for key, one in self._fields.items() if shiboken6.isValid(one.field)}
        one = self._fields[id(field)] = _Followed(field, name, of)
        if isinstance(field, QComboBox):
            field.lineEdit().textEdited.connect(lambda *_: self._note(one))  # type: ignore[union-attr]
        elif isinstance(field, QPlainTextEdit):
            field.textChanged.connect(lambda: self._note(one))
        else:
            field.textEdited.connect(lambda *_: self._note(one))
        field.problem_changed.connect(lambda *_: self._note(one))  # type: ignore[attr-defined]

    def show(self, field: Any, value: Any) -> None:
        """Show what is stored, and over it what waits here; what is half typed at this moment stays."""
        one = self._fields.get(id(field))
        key = one.key() if one is not None else ""
        if one is None or not key:
            field.set_value(value)
            return
        turned, one.at, one.stored = key != one.at, key, value
        if not turned:
            words = words_of(field)
            if field.problem() and is_unkept(field) and value != field.value() and not field.hasFocus():
                field.hold(value, words, changed_since("what you typed", field.shown(value)), offered=True)
            else:
                field.set_value(value)
            return
        field.reset(value)
        self._offer(one)

    def _offer(self, one: _Followed) -> None:
        """What waits for the record now shown stands in its field again."""
        assert one.at is not None
        if not (kept := self._desk.drafts.words(one.at)):
            return
        field, now = one.field, one.field.shown(one.stored)
        words, before, reason = kept.get(TEXT, ""), kept.get(STORED, ""), kept.get(REASON, "")
        if words == now:
            self._desk.drafts.keep(one.at, {})
            return
        if before != now:
            reason = changed_since(as_typed(before) if before else "nothing", now)
        field.hold(one.stored, words, reason or TYPED_BEFORE, offered=True)
        self._noted[id(field)] = one.at

    def _note(self, one: _Followed) -> None:
        field = one.field
        if one.at is None or one.at != one.key() or not is_unkept(field):
            return
        before = self._desk.drafts.words(one.at).get(STORED) if id(field) in self._noted else None
        stored = field.shown(one.stored) if before is None else before
        self._noted[id(field)] = one.at
        self._desk.drafts.keep(one.at, {TEXT: words_of(field), STORED: stored, REASON: field.problem()})
        self._desk.drafts.soon()

    def _settle(self) -> None:
        """What was kept in the firm's file, or taken back, waits no longer."""
        for number, key in list(self._noted.items()):
            one = self._fields.get(number)
            if one is None or not shiboken6.isValid(one.field) or one.at != key or one.key() != key:
                del self._noted[number]  # its record is out of sight; the words go on waiting
            elif not is_unkept(one.field):
                del self._noted[number]
                self._desk.drafts.keep(key, {})
                self._desk.drafts.soon()


def changed_since(before: str, now: str) -> str:
    """Words for a draft over something newer."""
    return f"Typed over {before}; {as_typed(now) if now else 'nothing'} is kept since. Enter keeps what you typed."


def words_of(field: Any) -> str:
    """What stands in a field, letter by letter."""
    if isinstance(field, QPlainTextEdit):
        return field.toPlainText()
    return str(field.currentText() if isinstance(field, QComboBox) else field.text())
