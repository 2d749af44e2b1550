"""Materials of one day, starting from what was quoted: all of it, so many, or none; then anything else."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtGui import QResizeEvent

from db.commands.log import change_material, log_material, remove_material, use_as_quoted
from db.queries.log_page import LogPage
from desktop.desk import Desk
from desktop.pages.job_sections.log.entering import enter, pick
from desktop.pages.job_sections.log.kept_cells import KeptCells
from desktop.pages.job_sections.log.log_table import CLEARS, LogTable, NewRow
from desktop.pages.job_sections.log.own_words import is_amount
from desktop.widgets.cards import Card, button, label
from desktop.widgets.table import Column, RowsModel
from domain.errors import NotUnderstood, as_typed
from domain.log_day import MaterialRow, has_budget, is_added, material_rows
from domain.log_entry import TypedUse, parse_typed_use
from domain.log_so_far import material_key
from domain.money import format_unit_cost, parse_unit_cost
from domain.price_list import PricedItem
from domain.units import format_quantity
from domain.unlikely import price_doubt, quantity_doubt

HINT = "12 · 0 none · 2 @ 4.10 paid · +3 adds · one letter and Enter: A all, R receipt or stock, U not quoted"
SOMETHING = "Anything else …"
WIDE = 640


class MaterialsPanel(Card):
    """The quoted materials with a cell each, and a last row for the price list or free words."""

    def __init__(self, desk: Desk) -> None:
        super().__init__("Materials")
        self._desk = desk
        self._page: LogPage | None = None
        self._items: dict[int, PricedItem] = {}
        self._extra: list[MaterialRow] = []
        self.table = self._table()
        self.table.refill = self._fill
        self._kept = KeptCells(desk, self.table, "materials")
        self.all_button = button("Used all as quoted", self.use_all, "quiet", tip="All that was quoted and is not used")
        self.add_action(self.all_button)
        self.add(self.table)
        self.add(label(HINT, "small", "faint", wrap=True))

    def _table(self) -> LogTable:
        model = RowsModel(
            [
                Column("what", "Material", stretch=1, editable=True),
                Column("quoted", "Quoted", "right", width=96),
                Column("used", "So far", "right", width=68),
                Column("day", "This day", "right", width=86, editable=True),
                Column("price", "Paid", "right", width=70, editable=True, tooltip="For one, on this day"),
                Column("source", "From", width=64),
            ],
            text={
                "what": self._what,
                "quoted": lambda row: self._quantity(row, "quoted") or "–" if isinstance(row, MaterialRow) else "",
                "used": lambda row: self._used(row),
                "day": self._day,
                "price": self._price,
                "source": self._source,
            },
            tone={
                "what": lambda row: "ink_faint" if isinstance(row, NewRow) else "over" if row.unquoted else "ink",
                "used": self._over,
            },
            tip={
                "source": lambda row: "; ".join(use.receipt for use in self._entries(row) if use.receipt),
                "what": lambda row: SOMETHING if isinstance(row, NewRow) else row.description,
            },
            row_id=lambda row: row.key,
            setter=self._set,
            doubt=self._doubt,
            can_edit=self._can_edit,
            choices={"what": lambda _row: [priced.item.name for priced in self._items.values()]},
        )
        table = LogTable(model, "Materials used")
        table.keys = dict.fromkeys(CLEARS, lambda row: self._none(row))
        table.letters = {
            "a": self._use_all_of,
            "n": lambda row: self._none(row),
            "r": self._turn_source,
            "u": self._turn_unquoted,
        }
        return table

    # What is shown.

    def show_page(self, page: LogPage) -> None:
        """Show the materials of the page's day; half-typed cells stay."""
        if self._page is None or (page.job.id, page.day) != (self._page.job.id, self._page.day):
            self._extra.clear()
        self._kept.turn(f"{page.day} {page.job.id}")
        self._page = page
        self._items = {priced.item.id: priced for priced in page.items}
        self._fill()
        self._kept.put_back()

    def _fill(self) -> None:
        assert self._page is not None
        rows = material_rows(self._page.budget, self._page.log, self._page.day, self._extra)
        self.table.rows_model().set_rows([*rows, *self.table.new_rows()])
        open_rows = [row for row in rows if row.left > row.day_quantity]
        self.all_button.setVisible(bool(open_rows) and not self._page.is_closed)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow window the names need the room; where it came from is in the entries below."""
        super().resizeEvent(event)
        self.table.setColumnHidden(self.table.rows_model().column_of("source"), self.width() < WIDE)

    def _entries(self, row: MaterialRow | NewRow) -> tuple:  # type: ignore[type-arg]
        return () if isinstance(row, NewRow) else row.entries

    def _what(self, row: MaterialRow | NewRow) -> str:
        if isinstance(row, NewRow):
            return SOMETHING
        marked = row.unquoted or any(use.unquoted for use in row.entries)
        return f"{row.description} · not quoted" if marked else row.description

    def _quantity(self, row: MaterialRow, name: str) -> str:
        quantity: Decimal = getattr(row, name)
        unit = "" if row.unit == "each" else row.unit
        return format_quantity(quantity, unit) if quantity else ""

    def _used(self, row: MaterialRow | NewRow) -> str:
        if isinstance(row, NewRow) or not row.before + row.day_quantity:
            return ""
        return format_quantity(row.before + row.day_quantity)

    def _day(self, row: MaterialRow | NewRow) -> str:
        if isinstance(row, NewRow) or not row.entries:
            return ""
        many = f" in {len(row.entries)}" if len(row.entries) > 1 else ""
        return format_quantity(row.day_quantity) + many

    def _price(self, row: MaterialRow | NewRow) -> str:
        prices = {use.unit_cost for use in self._entries(row)}
        return format_unit_cost(prices.pop()) if len(prices) == 1 else "several" if prices else ""

    def _source(self, row: MaterialRow | NewRow) -> str:
        return ", ".join(sorted({use.source for use in self._entries(row)}))

    def _over(self, row: MaterialRow | NewRow) -> str:
        if isinstance(row, NewRow) or row.quoted_unit_cost is None:
            return "ink"
        return "over" if row.before + row.day_quantity > row.quoted else "ink"

    def _can_edit(self, row: MaterialRow | NewRow, key: str) -> bool:
        if self._page is None or self._page.is_closed:
            return False
        if isinstance(row, NewRow):
            return key == "what"
        return key == "day" or (key == "price" and len(row.entries) == 1)

    def _doubt(self, row: MaterialRow | NewRow, key: str) -> str:
        if isinstance(row, NewRow) or not row.entries:
            return ""
        priced = self._items.get(row.item_id or 0)
        known = priced.unit_cost if priced and priced.unit_cost else row.quoted_unit_cost
        odd = quantity_doubt(row.day_quantity, row.unit, row.description, usual=row.quoted or None, unit_cost=known)
        prices = {use.unit_cost for use in row.entries}
        return (odd if key == "day" else "") or (price_doubt(prices.pop(), known) if len(prices) == 1 else "")

    # What is typed.

    def _set(self, row: MaterialRow | NewRow, key: str, text: str) -> str | None:
        try:
            if isinstance(row, NewRow):
                return self._begin(text)
            if key == "price":
                return self._paid(row, parse_unit_cost(text))
            return self._day_typed(row, text)
        except NotUnderstood as error:
            return str(error)

    def _begin(self, words: str) -> str | None:
        """A row for an item of the price list, or for words that name none."""
        assert self._page is not None
        try:
            item = self._items[pick(words, [(n, priced.item.name) for n, priced in self._items.items()])].item
            key, item_id, name, unit = material_key(item.id, "", ""), item.id, item.name, item.unit
        except NotUnderstood:
            named = " ".join(words.split())
            if not named:
                raise
            if is_amount(named):
                raise NotUnderstood(f"{as_typed(named)}: of which material? Type it in its row.", words) from None
            key, item_id, name, unit = material_key(None, named, "each"), None, named, ""
        row = MaterialRow(key, item_id, name, unit, Decimal(0), None, Decimal(0), (), has_budget(self._page.budget))
        self._extra.append(row)
        self.table.then_edit = key
        self._fill()
        begun = self.table.rows_model().row_at(self.table.rows_model().find(key))
        self.table.then_add = isinstance(begun, MaterialRow) and bool(begun.entries)
        return None

    def _day_typed(self, row: MaterialRow, text: str) -> str | None:
        if len(row.entries) > 1 and not text.strip().startswith("+"):
            raise NotUnderstood("There are several entries here. Change them in the list below, or type +2.", text)
        if text.strip() == "+":
            return None
        if not text.strip():
            return self._none(row)
        known_unit = row.unit if row.item_id is not None or row.quoted or row.entries else ""
        typed = parse_typed_use(text.strip().removeprefix("+"), row.left, known_unit)
        if not typed.quantity:
            return None if text.strip().startswith("+") else self._none_typed(row)
        return self._add(row, typed) if is_added(text, row.entries) else self._change(row, typed)

    def _add(self, row: MaterialRow, typed: TypedUse) -> str | None:
        assert self._page is not None
        job_id, day, today = self._page.job.id, self._page.day, self._desk.today()
        priced = self._items.get(row.item_id or 0)
        unit_cost = typed.unit_cost
        if unit_cost is None:
            unit_cost = priced.unit_cost if priced and priced.unit_cost is not None else row.quoted_unit_cost
        if unit_cost is None:
            return f"Type what was paid as well, for example {format_quantity(typed.quantity)} @ 4.10."
        unit = typed.unit or row.unit or "each"
        source = "stock" if typed.unit_cost is None else "receipt"
        amount, cost = typed.quantity, unit_cost
        problem = enter(
            self._desk, f"Log {format_quantity(amount, unit)} of {row.description}",
            lambda edit: log_material(
                edit, job_id, day, row.item_id, row.description, amount, unit, cost, source, typed.receipt,
                row.unquoted, today=today,
            ),
        )  # fmt: skip
        if problem is None:
            self._extra = [one for one in self._extra if one.key != row.key]
            self._fill()
        return problem

    def _change(self, row: MaterialRow, typed: TypedUse) -> str | None:
        entry = row.entries[0]
        values: dict[str, object] = {"quantity": typed.quantity}
        if typed.unit_cost is not None:
            values |= {"unit_cost": typed.unit_cost, "source": "receipt", "receipt": typed.receipt or entry.receipt}
        return enter(
            self._desk, f"Change to {format_quantity(typed.quantity, row.unit)} of {row.description}",
            lambda edit: change_material(edit, entry.id, **values),
        )  # fmt: skip

    def _paid(self, row: MaterialRow, unit_cost: Decimal) -> str | None:
        entry = row.entries[0]
        return enter(
            self._desk, f"Change the price paid for {row.description}",
            lambda edit: change_material(edit, entry.id, unit_cost=unit_cost),
        )  # fmt: skip

    # What the keys do.

    def _none(self, row: MaterialRow) -> str | None:
        """Nothing was used of it this day: what is there goes, and the cursor goes on."""
        problem = None
        if row.entries and self._page is not None:
            ids = [use.id for use in row.entries]
            problem = enter(
                self._desk, f"Remove {row.description}", lambda edit: [remove_material(edit, one) for one in ids]
            )
            if problem:
                self._desk.say(problem, "caution")
        self._extra = [one for one in self._extra if one.key != row.key]
        self.table.go_on(row.key)
        return problem

    def _none_typed(self, row: MaterialRow) -> str | None:
        """A typed 0 is never without an answer: where nothing stood, it says where "none on the whole job" is told."""
        if not row.entries:
            later = " For none on the whole job: n on its line when you close the job." if row.left else ""
            self._desk.say(f"Nothing of {row.description} on this day, and nothing is logged.{later}")
        return self._none(row)

    def _use_all_of(self, row: MaterialRow) -> None:
        if self._page is None or self._page.is_closed:
            return
        job_id, day, today = self._page.job.id, self._page.day, self._desk.today()
        if row.left > row.day_quantity:
            problem = enter(
                self._desk, f"Use all {row.description} as quoted",
                lambda edit: use_as_quoted(edit, job_id, day, keys=[row.key], today=today),
            )  # fmt: skip
            if problem:
                self._desk.say(problem, "caution")
        self.table.go_on(row.key)

    def use_all(self) -> None:
        """Log everything that was quoted and is not used yet, in one step."""
        if self._page is None:
            return
        job_id, day, today = self._page.job.id, self._page.day, self._desk.today()
        self._desk.do(
            "Use all materials as quoted", lambda edit: use_as_quoted(edit, job_id, day, today=today),
            say="All quoted materials are logged as used.", undo=True,
        )  # fmt: skip

    def _turn_source(self, row: MaterialRow) -> None:
        if row.entries:
            source = "stock" if row.entries[-1].source == "receipt" else "receipt"
            self._turn(row, f"Take {row.description} from {source}", source=source)

    def _turn_unquoted(self, row: MaterialRow) -> None:
        if row.entries:
            unquoted = not row.entries[-1].unquoted
            words = "not quoted" if unquoted else "quoted"
            self._turn(row, f"Mark {row.description} as {words}", unquoted=unquoted)

    def _turn(self, row: MaterialRow, words: str, **values: object) -> None:
        ids = [use.id for use in row.entries]
        problem = enter(self._desk, words, lambda edit: [change_material(edit, one, **values) for one in ids])
        if problem:
            self._desk.say(problem, "caution")
