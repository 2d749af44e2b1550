"""Pages that are gone: what can still be read is written afresh, the rest comes from the journal and the backup."""

from __future__ import annotations

import random
import sqlite3
from contextlib import closing
from datetime import date
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from db.company_file import back_up, check_file, create_company, open_company
from db.company_file.problems import Damaged, OpenElsewhere, Refused
from db.company_file.recovery import FROM_BACKUP, FROM_FILE, recovering, use
from db.company_file.salvage import salvage
from db.company_file.schema_pages import _list_pages
from db.company_file.values import bad_values
from tests.db.company_files import add_customer, company_file, customer_names, untouched
from tests.db.crash_lab import Tally, crashed_copy, one_step, steps_in
from tests.db.damage import PAGE, flipped_bit, root_page, torn_pages
from tests.db.test_company_file_check import execute
from tests.db.test_company_file_doors import THIEF, VIEW, with_a_lying_index

STEPS, BACKED_UP = 60, 40


@cache
def a_firm() -> tuple[bytes, bytes, TemporaryDirectory[str]]:
    """A firm with the starting library after some evenings, and its backup of an earlier moment."""
    folder = TemporaryDirectory()
    path = Path(folder.name) / "Firm.riserbook"
    create_company(path, "Quarry Lane Radon", "Ada Quill", date(2026, 3, 2)).close()
    with open_company(path, backup=False) as company:
        for number in range(1, STEPS + 1):
            one_step(company, number)
            if number == BACKED_UP:
                backup = back_up(company)
    return path.read_bytes(), backup.read_bytes(), folder


def salvage_one(folder: Path, content: bytes, tally: Tally, where: str) -> None:
    folder.mkdir()
    path, backup = folder / "Firm.riserbook", folder / "older.riserbook"
    path.write_bytes(content)
    backup.write_bytes(a_firm()[1])
    made = salvage(path, folder / "fresh.riserbook", [backup]).path
    assert path.read_bytes() == content
    tally.count(STEPS, steps_in(made), where)
    with open_company(made, backup=False) as company:
        tally.count(STEPS, len(customer_names(company)), where)


@pytest.mark.parametrize("turns", [6, pytest.param(600, marks=pytest.mark.long)])
def test_torn_pages_cost_no_step_that_the_journal_or_a_backup_knows(tmp_path: Path, turns: int) -> None:
    tally, luck = Tally("pages torn, then salvaged"), random.Random(9)
    for turn in range(turns):
        salvage_one(tmp_path / str(turn), torn_pages(a_firm()[0], luck), tally, f"turn {turn}")
    tally.close()


@pytest.mark.parametrize("turns", [4, pytest.param(1500, marks=pytest.mark.long)])
def test_a_flipped_bit_costs_no_step(tmp_path: Path, turns: int) -> None:
    tally, luck = Tally("one bit flipped, then salvaged"), random.Random(10)
    for turn in range(turns):
        salvage_one(tmp_path / str(turn), flipped_bit(a_firm()[0], luck), tally, f"turn {turn}")
    tally.close()


@pytest.mark.parametrize("table", ["customer", "action", "company", "job_type", "change"])
def test_a_table_whose_first_page_is_gone_comes_back(tmp_path: Path, table: str) -> None:
    path = tmp_path / "look.riserbook"
    path.write_bytes(a_firm()[0])
    content, begin = bytearray(a_firm()[0]), (root_page(path, table) - 1) * PAGE
    content[begin : begin + PAGE] = bytes(PAGE)
    salvage_one(tmp_path / "torn", bytes(content), tally := Tally(table), table)
    tally.close()


def test_the_first_page_may_be_gone_when_there_is_a_backup(tmp_path: Path) -> None:
    salvage_one(tmp_path / "torn", bytes(PAGE) + a_firm()[0][PAGE:], tally := Tally("first page"), "first page")
    tally.close()


def test_what_is_only_in_the_log_is_salvaged_too(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as company:
        for number in range(1, 6):
            one_step(company, number)
        copy = crashed_copy(path, tmp_path / "after")
    made = salvage(copy, tmp_path / "fresh.riserbook")
    assert steps_in(made.path) == 5
    assert made.notes == ()
    assert not check_file(copy).ok or steps_in(copy) == 5


@pytest.mark.parametrize(
    "harm",
    [
        lambda folder: harmed(folder, THIEF),
        lambda folder: harmed(folder, VIEW),
        lambda folder: harmed(folder, "UPDATE customer SET created_on = 'soon'"),
        lambda folder: harmed(folder, "DELETE FROM company"),
        lambda folder: harmed(folder, "UPDATE customer SET name = CAST(x'C328' AS TEXT)"),
        with_a_lying_index,
    ],
    ids=["trigger", "view", "bad day", "no firm row", "no text", "index"],
)
def test_what_is_wrong_without_a_torn_page_is_put_right(tmp_path: Path, harm: object) -> None:
    path = harm(tmp_path)  # type: ignore[operator]
    assert not check_file(path).ok
    with recovering(path) as recovery:
        assert recovery is not None
        offer = next(one for one in recovery.offers if one.source == FROM_FILE)
        use(recovery, offer)
    assert check_file(path).ok, check_file(path).lines
    with open_company(path) as company:
        assert len(customer_names(company)) == 1
    with closing(sqlite3.connect(path)) as conn:
        assert bad_values(conn) == []
    with recovering(path) as again:
        assert again is None


def harmed(folder: Path, statement: str) -> Path:
    path = company_file(folder)
    with open_company(path, backup=False) as company:
        add_customer(company, "Bo")
    execute(path, statement)
    return path


def test_nothing_is_put_in_place_that_lacks_steps_without_their_number_being_said(tmp_path: Path) -> None:
    path = tmp_path / "Firm.riserbook"
    path.write_bytes(a_firm()[0])
    with open_company(path, backup=False) as company:
        back_up(company)
        one_step(company, STEPS + 1)
    execute(path, THIEF)
    with recovering(path) as recovery:
        assert recovery is not None
        assert "“thief” on customer" in recovery.offers[0].notes[0]
        assert [offer.source for offer in recovery.offers] == [FROM_FILE, FROM_BACKUP]
        older = recovery.offers[1]
        for agreed in (0, 2):
            with pytest.raises(Refused, match=f"lose 1 step, the last: Add customer {STEPS + 1}"):
                use(recovery, older, may_lose=agreed)
        use(recovery, older, may_lose=1)
    assert steps_in(path) == STEPS
    kept = next((tmp_path / "Firm backups").glob("* damaged.riserbook"))
    assert steps_in(kept) == STEPS + 1  # what was kept aside can be opened again


def test_an_open_firm_is_not_recovered(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path):
        execute(path, VIEW)
        with pytest.raises(OpenElsewhere), recovering(path):
            pass


def test_a_file_of_which_nothing_can_be_read_is_kept_and_told(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    path.write_bytes(path.read_bytes()[:100] + bytes(20_000))
    before = untouched(tmp_path)
    with pytest.raises(Damaged, match="A copy of it was kept"), recovering(path):
        pass
    after = untouched(tmp_path)
    assert before.items() <= after.items()
    assert len(after) == 2


def test_a_torn_list_of_tables_without_a_backup_is_taken_from_a_firm_founded_now(tmp_path: Path) -> None:
    path = tmp_path / "Firm.riserbook"
    content, tried = bytearray(a_firm()[0]), 0
    for number in _list_pages(bytes(content)):
        if number == 1:
            continue
        path.write_bytes(content[: (number - 1) * PAGE] + bytes(PAGE) + content[number * PAGE :])
        made = salvage(path, tmp_path / f"fresh {number}.riserbook").path
        assert steps_in(made) == STEPS
        tried += 1
        if tried == 2:
            break
    assert tried == 2
