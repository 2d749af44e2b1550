"""Every door to the file is watched: closed companies, second names, foreign rules, torn indexes, missing locks."""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
import threading
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from db.company_file import check_file, network, open_company, open_for_reading
from db.company_file.lock import hold
from db.company_file.problems import Closed, CompanyProblem, ManyNames, Missing, NeedsRecovery, NoLocks, UnreadableRows
from tests.db.company_files import add_customer, company_file, customer_names
from tests.db.crash_lab import crashed_copy
from tests.db.test_company_file_check import execute

posix_only = pytest.mark.skipif(os.name != "posix", reason="the system has no such links")


@pytest.mark.parametrize("ask", [
    lambda company: add_customer(company, "Cy"),
    lambda company: company.undo(),
    lambda company: company.redo(),
    lambda company: customer_names(company),
    lambda company: company.raw().__enter__(),
    lambda company: company.writing().__enter__(),
])  # fmt: skip
def test_a_closed_company_does_nothing_more(tmp_path: Path, ask: Callable[..., object]) -> None:
    path = company_file(tmp_path)
    opened = open_company(path)
    add_customer(opened, "Bo")
    opened.close()
    with open_company(path) as again:
        with pytest.raises(Closed, match="has been closed"):
            ask(opened)
        assert customer_names(again) == ["Bo"]


def test_closing_waits_for_the_step_that_is_being_saved(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    opened, inside, go_on = open_company(path), threading.Event(), threading.Event()

    def slow() -> None:
        with opened.action("Add Bo") as edit:
            from db.tables import customer
            from tests.db.company_files import TODAY

            edit.add(customer, kind="person", name="Bo", created_on=TODAY)
            inside.set()
            go_on.wait()

    worker, closer = threading.Thread(target=slow), threading.Thread(target=opened.close)
    worker.start()
    inside.wait()
    closer.start()
    closer.join(0.1)
    assert closer.is_alive()
    go_on.set()
    worker.join()
    closer.join()
    with open_company(path) as again:
        assert customer_names(again) == ["Bo"]


@posix_only
@pytest.mark.parametrize("while_open", [False, True])
def test_a_second_name_of_the_file_is_not_a_second_firm(tmp_path: Path, while_open: bool) -> None:
    path, other = company_file(tmp_path), tmp_path / "Other.riserbook"
    if while_open:
        with open_company(path, backup=False) as opened:
            add_customer(opened, "Bo")
            os.link(path, other)
            for way_in in (open_company, open_for_reading):
                with pytest.raises(ManyNames, match=r"remove every name but “Quarry Lane\.riserbook”"):
                    way_in(other)
            add_customer(opened, "Cy")
    else:
        os.link(path, other)
    with pytest.raises(ManyNames, match="under 2 names, here also “Other"):
        open_company(path)
    report = check_file(path)
    assert not report.ok
    assert "2 names" in report.lines[1]
    other.unlink()
    open_company(path).close()


@posix_only
def test_a_second_name_in_another_folder_never_costs_the_log(tmp_path: Path) -> None:
    """The advice is followed to the letter, by either name."""
    work, afar, safe = (tmp_path / name for name in ("work", "afar", "safe"))
    for folder in (work, afar, safe):
        folder.mkdir()
    path = company_file(work)
    with open_company(path, backup=False) as company:
        for name in ("Bo", "Cy", "Di"):
            add_customer(company, name)
        killed = crashed_copy(path, tmp_path / "killed")
    os.link(killed, link := afar / "Other.riserbook")
    with pytest.raises(ManyNames, match="remove none of its names") as told:
        open_company(link)
    assert "remove every name but" not in str(told.value)
    assert "remove none of its names" in " ".join(check_file(link).lines)
    with pytest.raises(ManyNames, match="together into another folder") as told:
        open_company(killed)
    assert str(killed) in str(told.value)
    log = next(word for word in re.findall(r"“([^”]+)”", told.value.advice) if word.endswith("-wal"))
    for piece in (killed.name, log):
        shutil.copy(killed.parent / piece, safe / piece)
    with open_company(safe / killed.name) as again:
        assert customer_names(again) == ["Bo", "Cy", "Di"]


@posix_only
def test_a_name_left_by_a_kill_while_the_file_was_put_in_place_is_tidied(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    os.link(path, tmp_path / ".Quarry Lane.riserbook.0a1b2c3d")
    open_company(path, backup=False).close()
    assert list(tmp_path.iterdir()) == [path]


@posix_only
@pytest.mark.parametrize("way_in", [open_company, open_for_reading, check_file])
def test_links_that_lead_round_in_a_circle_are_told(tmp_path: Path, way_in: Callable[[Path], object]) -> None:
    one, two = tmp_path / "One.riserbook", tmp_path / "Two.riserbook"
    one.symlink_to(two)
    two.symlink_to(one)
    with pytest.raises(Missing, match="links lead round in a circle"):
        way_in(one)
    folder = tmp_path / "a"
    folder.symlink_to(folder)
    with pytest.raises(CompanyProblem):
        way_in(folder / "One.riserbook")


@pytest.mark.parametrize("name", ["x" * 300, "a\0b", "~nobody-of-that-name/x.riserbook"])
@pytest.mark.parametrize("way_in", [open_company, open_for_reading, check_file])
def test_names_no_file_can_have_are_told(name: str, way_in: Callable[[str], object]) -> None:
    with pytest.raises(CompanyProblem):
        way_in(name)


THIEF = "CREATE TRIGGER thief AFTER INSERT ON customer BEGIN DELETE FROM hours_entry; END"
VIEW = "CREATE VIEW everyone AS SELECT * FROM customer"


@pytest.mark.parametrize(("rule", "named"), [(THIEF, "“thief” on customer"), (VIEW, "the view “everyone”")])
def test_rules_of_other_makers_are_found_and_nobody_works_under_them(tmp_path: Path, rule: str, named: str) -> None:
    path = company_file(tmp_path)
    execute(path, rule)
    report = check_file(path)
    assert not report.ok
    assert named in report.lines[1]
    with pytest.raises(NeedsRecovery, match="did not put there"):
        open_company(path)
    with open_for_reading(path) as reader:
        assert customer_names(reader) == []


@pytest.mark.parametrize("extra", ["CREATE TABLE mine (id INTEGER)", "CREATE UNIQUE INDEX one ON customer (name)"])
def test_other_foreign_things_are_named(tmp_path: Path, extra: str) -> None:
    path = company_file(tmp_path)
    execute(path, extra)
    assert "did not put there" in check_file(path).lines[1]


def with_a_lying_index(folder: Path) -> Path:
    """A file whose rows are whole and one of whose indexes lacks a row."""
    path = company_file(folder)
    with open_company(path, backup=False) as company:
        add_customer(company, "Bo")
    with closing(sqlite3.connect(path)) as conn:
        conn.execute("INSERT INTO contact (customer_id, kind, value) VALUES (1, 'phone', '555-0100')")
        conn.commit()
        conn.execute("PRAGMA writable_schema=ON")
        kept = conn.execute("SELECT sql FROM sqlite_master WHERE name = 'ix_contact_customer_id'").fetchone()[0]
        conn.execute("UPDATE sqlite_master SET sql = ? WHERE name = 'ix_contact_customer_id'",
                     (kept + " WHERE customer_id > 5",))  # fmt: skip
        conn.commit()
    with closing(sqlite3.connect(path)) as conn:  # this connection believes the index need not have the row
        conn.execute("INSERT INTO contact (customer_id, kind, value) VALUES (1, 'phone', '555-0101')")
        conn.commit()
        conn.execute("PRAGMA writable_schema=ON")
        conn.execute("UPDATE sqlite_master SET sql = ? WHERE name = 'ix_contact_customer_id'", (kept,))
        conn.commit()
    return path


def test_an_index_that_does_not_agree_is_not_called_damage_and_not_worked_with(tmp_path: Path) -> None:
    path = with_a_lying_index(tmp_path)
    report = check_file(path)
    assert not report.ok
    assert "The index ix_contact_customer_id does not agree with its table." in report.lines
    assert "amaged" not in "\n".join(report.lines)
    with pytest.raises(NeedsRecovery, match="indexes do not agree"):
        open_company(path)


def test_a_value_no_column_can_have_is_told_in_words_wherever_it_is_read(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as company:
        add_customer(company, "Bo")
    execute(path, "UPDATE customer SET created_on = '2026-0q-02'")
    report = check_file(path)
    assert "Row 1 of the customers has “2026-0q-02” as its created on." in report.lines
    from db.tables import customer

    with open_for_reading(path) as reader, pytest.raises(UnreadableRows, match="2026-0q-02"), reader.read() as conn:
        conn.execute(customer.select()).all()


def test_an_error_that_is_no_fault_of_the_rows_stays_a_bug(tmp_path: Path) -> None:
    with open_for_reading(company_file(tmp_path)) as reader, pytest.raises(ZeroDivisionError), reader.read():
        raise ZeroDivisionError


def test_a_row_that_is_gone_stays_a_row_that_is_gone(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    execute(path, "UPDATE company SET tax_treatment = 'weather'")
    with open_for_reading(path) as reader, pytest.raises(LookupError, match="customer 9 is gone"), reader.read():
        raise LookupError("customer 9 is gone")  # a page asks so, and answers it itself


NFS = "29 1 0:26 / {place} rw,relatime shared:1 - nfs server:/x rw,vers=3,{options}\n1 0 8:1 / / rw - ext4 /dev/x rw\n"


@pytest.mark.parametrize(("options", "kept"), [("nolock,local_lock=all", False), ("local_lock=none", True)])
def test_a_network_folder_without_locks_is_told_by_how_it_is_mounted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: str, kept: bool
) -> None:
    table = tmp_path / "mounts"
    table.write_text(NFS.format(place=str(tmp_path / "nas"), options=options))
    real = network._mount_of
    monkeypatch.setattr(network, "_mount_of", lambda folder: real(folder, table))
    (tmp_path / "nas").mkdir()
    assert network.folder_locks(tmp_path / "nas") is kept
    assert network.folder_locks(tmp_path)


def test_a_folder_without_locks_is_refused_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = company_file(tmp_path)
    monkeypatch.setattr(network, "folder_locks", lambda folder: False)
    with pytest.raises(NoLocks, match="folder on a network"):
        open_company(path)
    with open_for_reading(path) as reader:
        assert customer_names(reader) == []


def test_this_computers_own_folder_keeps_locks(tmp_path: Path) -> None:
    assert network._locks_are_kept(tmp_path)
    assert list(tmp_path.iterdir()) == []
    hold(company_file(tmp_path))()
