"""Undo and redo: an action is one step, whatever it wrote, and comes back row for row."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import event, select
from sqlalchemy.exc import IntegrityError

from db.company_file import Company, open_company
from db.edit import Edit
from db.tables import action, change, contact, customer, item, item_price, property_, supplier
from tests.db.company_files import TODAY, add_customer, company_file, customer_names, records


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    with open_company(company_file(tmp_path), backup=False) as opened:
        yield opened


def add_item(edit: Edit, code: str, **more: object) -> int:
    return edit.add(
        item,
        code=code,
        name="3 in pipe",
        item_class="pipe",
        unit="ft",
        pack_quantity=Decimal(10),
        waste_percent=Decimal("7.5"),
        **more,
    )


def fail_after_adding(edit: Edit) -> None:
    edit.add(customer, kind="person", name="Cy", created_on=TODAY)
    edit.change(customer, 99, name="nobody")


class Counted:
    """The statements a company's file is asked to run inside the block."""

    def __init__(self, company: Company) -> None:
        self.engine = company.engine
        self.statements: list[str] = []

    def _note(self, _conn: object, _cursor: object, statement: str, *_: object) -> None:
        self.statements.append(statement)

    def __enter__(self) -> Counted:
        event.listen(self.engine, "before_cursor_execute", self._note)
        return self

    def __exit__(self, *_: object) -> None:
        event.remove(self.engine, "before_cursor_execute", self._note)


def test_an_action_is_taken_back_and_done_again(company: Company) -> None:
    add_customer(company, "Bo")
    assert (company.undo_label, company.redo_label) == ("Add Bo", None)
    assert company.undo() == "Add Bo"
    assert customer_names(company) == []
    assert (company.undo_label, company.redo_label) == (None, "Add Bo")
    assert company.redo() == "Add Bo"
    assert customer_names(company) == ["Bo"]


def test_with_nothing_to_undo_nothing_happens(company: Company) -> None:
    before = records(company)
    assert company.undo() is None
    assert company.redo() is None
    assert records(company) == before


def test_a_new_action_ends_what_could_be_redone(company: Company) -> None:
    add_customer(company, "Bo")
    company.undo()
    add_customer(company, "Cy")
    assert company.redo_label is None
    assert company.redo() is None
    assert customer_names(company) == ["Cy"]


def test_an_action_that_changes_nothing_is_no_step_and_leaves_redo_alone(company: Company) -> None:
    number = add_customer(company, "Bo")
    add_customer(company, "Cy")
    company.undo()
    with company.action("Rename Bo to Bo") as edit:
        edit.change(customer, number, name="Bo")
        edit.change(customer, number)
        edit.remove(customer, 99)
        edit.remove_where(customer, customer.c.name == "nobody")
        assert edit.add_many(customer, []) == []
    assert (company.undo_label, company.redo_label) == ("Add Bo", "Add Cy")
    with company.read() as conn:
        assert "Rename Bo to Bo" not in conn.execute(select(action.c.label)).scalars().all()


def test_an_action_that_fails_leaves_nothing(company: Company) -> None:
    add_customer(company, "Bo")
    company.undo()
    before = records(company)
    with pytest.raises(LookupError), company.action("Half a step") as edit:
        fail_after_adding(edit)
    assert records(company) == before
    assert (company.undo_label, company.redo_label) == (None, "Add Bo")


def test_values_come_back_as_they_were_stored(company: Company) -> None:
    with company.action("Add pipe") as edit:
        number = add_item(edit, "P3", archived=True)
        edit.add(item_price, item_id=number, starts_on=TODAY, unit_cost=Decimal("1.2345"))
    before = records(company)
    with company.action("Change pipe") as edit:
        edit.change(item, number, name="3 in pipe, “solid” – 10′\n\ttwo lines", waste_percent=Decimal("8.125"))
        edit.change(item, number, archived=False, pack_quantity=Decimal("20.5"))
        edit.change(item_price, 1, unit_cost=Decimal("1.5"))
    after = records(company)
    company.undo()
    assert records(company) == before
    company.redo()
    assert records(company) == after
    with company.read() as conn:
        row = conn.execute(select(item.c.name, item.c.waste_percent, item.c.archived)).one()
        assert row == ("3 in pipe, “solid” – 10′\n\ttwo lines", Decimal("8.125"), False)


def test_a_whole_family_of_rows_is_deleted_and_comes_back(company: Company) -> None:
    with company.action("Add Bo") as edit:
        number = edit.add(customer, kind="person", name="Bo", created_on=TODAY)
        edit.add_many(
            contact,
            [
                {"customer_id": number, "kind": "phone", "value": "555-0100"},
                {"customer_id": number, "kind": "mail", "value": "bo@example.com", "label": "work"},
            ],
        )
        edit.add(property_, customer_id=number, street="2 Quarry Lane", year_built=1962)
    before = records(company)
    with company.action("Delete Bo") as edit:
        edit.remove_where(contact, contact.c.customer_id == number)
        edit.remove_where(property_, property_.c.customer_id == number)
        edit.remove(customer, number)
    assert customer_names(company) == []
    company.undo()
    assert records(company) == before
    company.undo()
    company.redo()
    company.redo()
    assert customer_names(company) == []


def test_deleting_what_others_point_at_is_refused_whole(company: Company) -> None:
    with company.action("Add Bo") as edit:
        number = edit.add(customer, kind="person", name="Bo", created_on=TODAY)
        edit.add(contact, customer_id=number, kind="phone", value="555-0100")
    before = records(company)
    with pytest.raises(IntegrityError), company.action("Delete Bo") as edit:
        edit.remove(customer, number)
    assert records(company) == before
    assert company.undo_label == "Add Bo"


def test_two_rows_may_swap_a_value_that_must_be_unique(company: Company) -> None:
    with company.action("Add suppliers") as edit:
        one, two = edit.add_many(supplier, [{"name": "Hill Supply"}, {"name": "Dale Supply"}])
    before = records(company)
    with company.action("Swap") as edit:
        edit.change(supplier, one, name="(for a moment)")
        edit.change(supplier, two, name="Hill Supply")
        edit.change(supplier, one, name="Dale Supply")
    after = records(company)
    company.undo()
    assert records(company) == before
    company.redo()
    assert records(company) == after


def test_a_row_that_is_added_changed_and_removed_in_one_action(company: Company) -> None:
    before = records(company)
    with company.action("Add and think again") as edit:
        number = edit.add(customer, kind="person", name="Bo", created_on=TODAY)
        edit.change(customer, number, name="Bob")
        edit.remove(customer, number)
        edit.add(customer, kind="firm", name="Bo & Co", created_on=TODAY)
    after = records(company)
    company.undo()
    assert records(company) == before
    company.redo()
    assert records(company) == after


def test_changing_a_row_that_is_gone_is_a_lookup_error(company: Company) -> None:
    with pytest.raises(LookupError, match="customer 99"), company.action("Rename nobody") as edit:
        edit.change(customer, 99, name="Bo")


def test_many_rows_may_leave_out_different_columns(company: Company) -> None:
    with company.action("Add three") as edit:
        numbers = edit.add_many(
            customer,
            [
                {"kind": "person", "name": "Bo", "created_on": TODAY},
                {"kind": "person", "name": "Cy", "created_on": TODAY, "note": "rings twice"},
                {"name": "Di & Co", "kind": "firm", "created_on": TODAY},
            ],
        )
    with company.read() as conn:
        rows = conn.execute(select(customer.c.id, customer.c.name, customer.c.note).order_by(customer.c.id)).all()
    assert rows == list(zip(numbers, ["Bo", "Cy", "Di & Co"], ["", "rings twice", ""], strict=True))


def test_ids_are_given_in_the_order_of_the_rows(company: Company) -> None:
    names = [f"Supplier {n * 7919% 3000:04d}" for n in range(3000)]
    with company.action("Add suppliers") as edit:
        numbers = edit.add_many(supplier, [{"name": name} for name in names])
    with company.read() as conn:
        named = {row.id: row.name for row in conn.execute(select(supplier.c.id, supplier.c.name))}
    assert [named[number] for number in numbers] == names


def test_statements_do_not_grow_with_the_rows(company: Company) -> None:
    def statements(rows: int) -> tuple[int, int, int, int]:
        counts = []
        with Counted(company) as counted, company.action("Add many") as edit:
            edit.add_many(supplier, [{"name": f"{rows} {n}"} for n in range(rows)])
        counts.append(len(counted.statements))
        with Counted(company) as counted, company.action("Remove many") as edit:
            edit.remove_where(supplier, supplier.c.name.like(f"{rows}%"))
        counts.append(len(counted.statements))
        with Counted(company) as counted:
            company.undo()
        counts.append(len(counted.statements))
        with Counted(company) as counted:
            company.redo()
        counts.append(len(counted.statements))
        return counts[0], counts[1], counts[2], counts[3]

    assert statements(400) == statements(4)


def test_one_row_takes_two_statements_to_add_and_three_to_change(company: Company) -> None:
    with company.action("Add Bo") as edit:
        with Counted(company) as adding:
            number = edit.add(customer, kind="person", name="Bo", created_on=TODAY)
        with Counted(company) as changing:
            edit.change(customer, number, name="Bob")
    assert (len(adding.statements), len(changing.statements)) == (2, 3)


def test_the_journal_tells_what_was_done_and_what_was_undone(company: Company) -> None:
    number = add_customer(company, "Bo")
    with company.action("Rename Bo") as edit:
        edit.change(customer, number, name="Bob")
    company.undo()
    with company.read() as conn:
        actions = conn.execute(select(action.c.label, action.c.undone).order_by(action.c.id)).all()
        assert actions[-2:] == [("Add Bo", False), ("Rename Bo", True)]
        before, after = conn.execute(
            select(change.c.before, change.c.after).order_by(change.c.id.desc())
        ).first() or ("", "")
    assert '"name":"Bo"' in before
    assert '"name":"Bob"' in after


def test_a_row_changed_by_other_means_is_not_overwritten(company: Company) -> None:
    add_customer(company, "Bo")
    add_customer(company, "Cy")
    with closing(sqlite3.connect(company.path)) as other:
        other.execute("UPDATE customer SET name = 'Cynthia' WHERE name = 'Cy'")
        other.commit()
    before = records(company)
    with pytest.raises(LookupError):
        company.undo()
    assert records(company) == before
    assert company.undo() is None  # what came before may hang on it: it is forgotten, not tried for ever
    add_customer(company, "Di")
    assert company.undo() == "Add Di"


def test_a_row_that_something_else_hangs_on_by_now_stays(company: Company) -> None:
    number = add_customer(company, "Bo")
    with closing(sqlite3.connect(company.path)) as other:
        other.execute("INSERT INTO contact (customer_id, kind, value) VALUES (?, 'phone', '555-0100')", (number,))
        other.commit()
    with pytest.raises(LookupError):
        company.undo()
    assert customer_names(company) == ["Bo"]
    assert company.undo_label is None


def test_undo_reaches_back_to_the_opening_only(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path) as first:
        add_customer(first, "Bo")
    with open_company(path) as second:
        assert second.undo() is None
        assert customer_names(second) == ["Bo"]


def test_actions_of_two_threads_take_turns(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("db.company_file.connection._WAIT_SECONDS", 0.01)  # the file itself would not wait
    company = open_company(company_file(tmp_path), backup=False)
    started, go_on = threading.Event(), threading.Event()

    def importing() -> None:
        with company.action("Import") as edit:
            edit.add(customer, kind="person", name="Imported", created_on=TODAY)
            started.set()
            go_on.wait(5)

    thread = threading.Thread(target=importing)
    thread.start()
    assert started.wait(5)
    threading.Timer(0.1, go_on.set).start()
    add_customer(company, "Typed")
    thread.join()
    assert customer_names(company) == ["Imported", "Typed"]
    assert [company.undo(), company.undo()] == ["Add Typed", "Import"]
    company.close()


def test_a_step_holds_the_file_against_other_writers_from_its_beginning(company: Company) -> None:
    refused = pytest.raises(sqlite3.OperationalError, match="locked")
    with closing(sqlite3.connect(company.path, timeout=0)) as other, company.writing(), refused:
        other.execute("UPDATE customer SET note = 'from elsewhere'")


def test_an_action_inside_an_action_is_a_mistake_of_ours(company: Company) -> None:
    with pytest.raises(RuntimeError, match="an action inside an action"), company.action("Outer"):
        add_customer(company, "Bo")
    add_customer(company, "Cy")
    assert customer_names(company) == ["Cy"]
