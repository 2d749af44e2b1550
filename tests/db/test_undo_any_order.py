"""Whatever is done in whatever order: undo gives back exactly what was, redo exactly what came after."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from sqlalchemy import delete, func, select

from db.company_file import check_file, open_company
from db.edit import Edit
from db.tables import contact, customer, item, item_price, supplier
from tests.db.company_files import JOURNAL, TODAY, company_file, content, records

words = st.text(alphabet="abcøŁ'\"% &\n", max_size=12)
amounts = st.decimals(min_value=0, max_value=999, places=3)


class AnyOrder(RuleBasedStateMachine):
    """Edits over five tables with references between them; `past` and `future` hold the states to come back to."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = TemporaryDirectory()
        self.company = open_company(company_file(Path(self.folder.name)), backup=False)
        self.past: list[dict[str, list[tuple[object, ...]]]] = []
        self.future: list[dict[str, list[tuple[object, ...]]]] = []
        self.now = records(self.company)
        self.serial = 0

    def did_something(self, before: dict[str, list[tuple[object, ...]]]) -> None:
        self.now = records(self.company)
        if self.now != before:
            self.past.append(before)
            self.future.clear()
        elif self.company.undo_label is not None and len(self.past) < self.steps():
            self.past.append(before)  # changed and changed back inside one action: a step all the same
            self.future.clear()

    def steps(self) -> int:
        return len(self.company._done)

    def any_id(self, edit: Edit, table: type | object, pick: int) -> int | None:
        ids = edit.conn.execute(select(table.c.id).order_by(table.c.id)).scalars().all()  # type: ignore[attr-defined]
        return ids[pick % len(ids)] if ids else None

    def unique(self) -> str:
        self.serial += 1
        return f"{self.serial}"

    @rule(names=st.lists(words, min_size=1, max_size=4))
    def add_customers_with_phones(self, names: list[str]) -> None:
        before = self.now
        with self.company.action("Add customers") as edit:
            ids = edit.add_many(customer, [{"kind": "person", "name": name, "created_on": TODAY} for name in names])
            edit.add_many(contact, [{"customer_id": one, "kind": "phone", "value": "555"} for one in ids])
        self.did_something(before)

    @rule(note=words, with_price=st.booleans(), amount=amounts)
    def add_an_item_with_its_supplier(self, note: str, with_price: bool, amount: Decimal) -> None:
        before = self.now
        with self.company.action("Add an item") as edit:
            maker = edit.add(supplier, name=self.unique(), phone=note)
            one = edit.add(
                item,
                code=self.unique(),
                name=note,
                item_class="pipe",
                unit="ft",
                pack_quantity=amount,
                supplier_id=maker,
                waste_percent=Decimal(5),
            )
            if with_price:
                edit.add(item_price, item_id=one, starts_on=TODAY, unit_cost=amount)
        self.did_something(before)

    @rule(pick=st.integers(0, 50), name=words, twice=st.booleans())
    def rename_a_customer(self, pick: int, name: str, twice: bool) -> None:
        before = self.now
        with self.company.action("Rename") as edit:
            one = self.any_id(edit, customer, pick)
            if one is not None:
                edit.change(customer, one, name=name)
                if twice:
                    edit.change(customer, one, name=f"{name}!", archived_on=TODAY)
        self.did_something(before)

    @rule(pick=st.integers(0, 50))
    def delete_a_customer_with_everything(self, pick: int) -> None:
        before = self.now
        with self.company.action("Delete a customer") as edit:
            one = self.any_id(edit, customer, pick)
            if one is not None:
                edit.remove_where(contact, contact.c.customer_id == one)
                edit.remove(customer, one)
        self.did_something(before)

    @rule()
    def delete_all_items_and_suppliers(self) -> None:
        before = self.now
        with self.company.action("Clear the price list") as edit:
            edit.remove_where(item_price, item_price.c.id > 0)
            edit.remove_where(item, item.c.id > 0)
            edit.remove_where(supplier, supplier.c.id > 0)
        self.did_something(before)

    @rule(pick=st.integers(0, 50))
    def move_items_to_another_supplier_and_delete_theirs(self, pick: int) -> None:
        before = self.now
        with self.company.action("Merge suppliers") as edit:
            kept = self.any_id(edit, supplier, pick)
            if kept is not None:
                for one in edit.conn.execute(select(item.c.id)).scalars().all():
                    edit.change(item, one, supplier_id=kept)
                edit.remove_where(supplier, supplier.c.id != kept)
        self.did_something(before)

    @rule()
    def fail_half_way(self) -> None:
        try:
            with self.company.action("Fail") as edit:
                edit.add(customer, kind="person", name="half", created_on=TODAY)
                edit.conn.execute(delete(contact))
                raise ArithmeticError
        except ArithmeticError:
            pass

    @precondition(lambda self: self.past)
    @rule()
    def undo(self) -> None:
        self.company.undo()
        self.future.append(self.now)
        self.now = self.past.pop()

    @precondition(lambda self: self.future)
    @rule()
    def redo(self) -> None:
        self.company.redo()
        self.past.append(self.now)
        self.now = self.future.pop()

    @invariant()
    def the_file_holds_what_it_should(self) -> None:
        assert records(self.company) == self.now
        assert (self.company.undo_label is None) == (not self.past)
        assert (self.company.redo_label is None) == (not self.future)

    def teardown(self) -> None:
        try:
            while self.future:
                self.redo()
            end = records(self.company)
            start = self.past[0] if self.past else end
            while self.company.undo():
                pass
            assert records(self.company) == start
            while self.company.redo():
                pass
            assert records(self.company) == end
            with self.company.read() as conn:
                assert conn.execute(select(func.count()).select_from(customer)).scalar_one() == len(end["customer"])
            self.company.close()
            assert {name: rows for name, rows in content(self.company.path).items() if name not in JOURNAL} == end
            assert check_file(self.company.path).ok
        finally:
            self.company.close()
            self.folder.cleanup()


AnyOrder.TestCase.settings = settings(max_examples=25, stateful_step_count=20, deadline=None)
TestAnyOrder = AnyOrder.TestCase
