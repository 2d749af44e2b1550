"""What could not be taken in a table of the log waits on its day, also when one turns away or the program ends."""

from __future__ import annotations

from ast import literal_eval
from typing import Any

from desktop.desk import Desk
from desktop.kept_words import TYPED_BEFORE
from desktop.pages.job_sections.log.log_table import NEW, LogTable
from desktop.widgets.rows_model import RefusedCell
from domain.errors import as_typed


class KeptCells:
    """Refused texts of one table, kept with the drafts under the day, the person and the job they were typed for."""

    def __init__(self, desk: Desk, table: LogTable, name: str) -> None:
        self._desk, self._table, self._name = desk, table, name
        self._where = ""
        table.setProperty("waits", True)  # so that closing the window need not ask
        self._back: dict[str, str] = {}
        self._busy = False
        self._typing: RefusedCell | None = None
        table.rows_model().refusals.connect(self._note)
        table.typed.connect(self._type)
        table.itemDelegate().closeEditor.connect(self._typed)

    def turn(self, where: str) -> bool:
        """Another day, person or job is about to be shown; call `put_back` when its rows stand. False: the same."""
        if where == self._where:
            return False
        self._busy = True
        gone = self._table.rows_model().let_go_refused()
        self._busy = False
        if gone:
            more = f" and {len(gone) - 1} more" if len(gone) > 1 else ""
            self._desk.say(f"Not kept yet: {as_typed(gone[-1].text)}{more}. It waits where it was typed.", "caution")
        self._where = where
        self._back = self._desk.drafts.words(self._key)
        return True

    def rows_waited_for(self) -> list[Any]:
        """The ids of rows, tuples, for which something waits that `put_back` will put there."""
        found = []
        for place in self._back:
            try:
                row_id = literal_eval(place.rpartition(" ")[0])
            except (ValueError, SyntaxError):
                continue
            if isinstance(row_id, tuple) and row_id not in found:
                found.append(row_id)
        return found

    def put_back(self) -> None:
        """What waits here stands in its cells again, where its row is gone in a row at the end."""
        if not self._back:
            return
        model, back = self._table.rows_model(), self._back
        self._back = {}
        rows = {repr(model.id_at(n)): model.id_at(n) for n in range(model.rowCount())}
        cells, gone = [], []
        for place, words in back.items():
            row, _, key = place.rpartition(" ")
            text, _, message = words.partition("\n")
            cell = RefusedCell(rows.get(row, row), key, text, message)
            cells.append(cell)
            if row not in rows or cell.row_id == NEW:
                gone.append(cell)
        self._busy = True
        model.put_refused(cells)
        for cell in gone:
            self._table.hold_refused(cell.row_id, cell.key)
        self._busy = False
        if gone:
            self._table.refill()
        self._note()

    def _type(self, row_id: Any, key: str, text: str) -> None:
        """Somebody types in a cell: the program may be killed before it is taken."""
        self._typing = RefusedCell(row_id, key, text, TYPED_BEFORE) if text.strip() else None
        self._note()
        self._desk.drafts.soon()

    def _typed(self, *_: object) -> None:
        """The cell was left: what stood in it was taken, refused or taken back."""
        if self._typing is not None:
            self._typing = None
            self._note()
            self._desk.drafts.soon()

    @property
    def _key(self) -> str:
        return f"not kept in {self._name} {self._where}"

    def _note(self) -> None:
        if self._busy or not self._where or self._back:
            return
        cells: list[Any] = self._table.rows_model().refused_cells(shown=False)
        if self._typing is not None:
            cells = [one for one in cells if one[:2] != self._typing[:2]] + [self._typing]
        self._desk.drafts.keep(self._key, {f"{c.row_id!r} {c.key}": f"{c.text}\n{c.message}" for c in cells})
