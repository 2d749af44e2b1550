"""Drafts: what was typed into a form and not added yet waits there, also on another job and after the program ended.

    self.draft = Draft(desk, "radon test", self.fields, lambda: self._job_id)
    self.draft.turn()     # the form was cleared because it now stands at another job: what was begun there comes back
    self.draft.note()     # a line was typed into its table (`lines` are read as words, and put back from them)
    self.draft.drop()     # the form goes: it was added, or given up in words

A form that is cleared where it stands (it was added, or given up) has no draft any more; that needs no call.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import shiboken6
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QComboBox, QLineEdit, QPlainTextEdit, QWidget

from desktop.widgets.half import belongs_to, half_entries, named, watch, words_in

JOB_FORMS = ("radon test", "deadline", "person with a part", "defect", "exposure")
"""Drafts that stand at a job; those of customers have keys with other names."""


def half_of_job(inside: QWidget, desk: Any, job_id: int) -> list[str]:
    """What of this job is typed and not added yet, in a sentence; ``inside``: any widget of the job's page."""
    names = dict.fromkeys(name for name in desk.drafts.begun(f" {job_id}") if name in JOB_FORMS)
    names |= dict.fromkeys(_PAYMENT for key in desk.drafts.begun(f", {job_id})") if key.startswith(f"{_PAYMENT} ("))
    section = inside
    while (above := section.parentWidget()) is not None and not section.inherits("QStackedWidget"):
        section = above  # the fields of this section are seen with the paper; other sections keep drafts
    for field in half_entries():
        if section.isAncestorOf(field) and field.isVisible():
            names.setdefault(named([field]))
    return [f"Typed for this job and not added yet: {', '.join(names)}."] if names else []


_PAYMENT = "payment"
_LINES = "lines of the table"


def half_of_customer(desk: Any, customer_id: int) -> str:
    """That a payment of this customer is typed and not taken yet, in a sentence; "" when none is."""
    if not desk.drafts.under(f"{_PAYMENT} ({customer_id},"):
        return ""
    return "A payment of this customer is typed and not taken yet: the paper would not know of it."


class Draft(QObject):
    """The draft of one form; see the module's first lines."""

    def __init__(
        self, desk: Any, name: str, fields: Mapping[str, Any], where: Callable[[], object] = lambda: "",
        lines: tuple[Callable[[], str], Callable[[str], object]] | None = None,
    ) -> None:  # fmt: skip
        super().__init__(next(iter(fields.values())))  # it goes with its form
        self._desk, self._name, self._fields, self._where = desk, name, dict(fields), where
        self._lines = lines
        self._busy = False
        self._kept_at = ""
        watch().changed.connect(self._look)
        for field in self._fields.values():
            belongs_to(field, name)
            if isinstance(field, QLineEdit):
                field.textEdited.connect(self._note)
            elif isinstance(field, QComboBox):
                field.lineEdit().textEdited.connect(self._note)  # type: ignore[union-attr]
            elif isinstance(field, QPlainTextEdit):
                field.textChanged.connect(self._note)
            field.edited.connect(self._note)

    @property
    def _key(self) -> str:
        return f"{self._name} {self._where()}"

    @property
    def begun(self) -> bool:
        """True when something stands in the form that a person typed."""
        typed = any(getattr(field, "touched", False) and words_in(field) for field in self._fields.values())
        return typed or bool(self._lines and self._lines[0]())

    def note(self) -> None:
        """Something was typed."""
        self._note()

    def drop(self) -> None:
        """Keep nothing of it any more."""
        self._desk.drafts.keep(self._key, {})
        self._kept_at = ""

    def rest(self) -> None:
        """The form is put away; what was typed into it is kept until it is asked for again."""
        self._kept_at = ""

    def _note(self, *_: object) -> None:
        if self._busy or not self._where_known():
            return
        typed = self.begun
        words = {name: words_in(field) for name, field in self._fields.items() if hasattr(field, "retype")}
        if self._lines:
            words[_LINES] = self._lines[0]()
        self._desk.drafts.keep(self._key, {name: text for name, text in words.items() if text} if typed else {})
        self._kept_at = self._key if typed else ""
        self._desk.drafts.soon()

    def _where_known(self) -> bool:
        return self._where() not in (0, None)

    def turn(self) -> bool:
        """Put back what was begun here; True when something was."""
        words = self._desk.drafts.words(self._key)
        if not words:
            return False
        self._busy = True
        for name, text in words.items():
            field = self._fields.get(name)
            if field is not None and words_in(field) != text:
                field.retype(text)
        if self._lines and _LINES in words:
            self._lines[1](words[_LINES])
        self._busy = False
        self._kept_at = self._key
        return True

    def _look(self) -> None:
        """Nothing typed is left in the form, and it stands where it stood: it was added, or given up."""
        fields = list(self._fields.values())
        if not self._kept_at or self._kept_at != self._key or not all(shiboken6.isValid(field) for field in fields):
            return
        if not any(field.touched for field in fields if hasattr(field, "touched")) and not self.begun:
            self._desk.drafts.keep(self._kept_at, {})
            self._kept_at = ""
