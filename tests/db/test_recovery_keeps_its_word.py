"""Whatever a file was harmed by, every row is what the steps left it that are said to be held, or it is named."""

from __future__ import annotations

import random
import re
import shlex
import shutil
import sqlite3
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from db.company_file import check_file, row_settling
from db.company_file.problems import Damaged
from db.company_file.recovery import Offer, recovering, use
from desktop import cli
from tests.db.crash_lab import Tally
from tests.db.damage import PAGE, root_page, torn_pages
from tests.db.test_row_sums import execute
from tests.db.told_firm import BACKED_UP, Told, broken_promises, named_rows, rows_of, told_firm


@pytest.fixture
def told(sample_original: Path) -> Told:
    return told_firm(sample_original)[0]


def cut_short(content: bytes, luck: random.Random) -> bytes:
    return content[: luck.randrange(len(content) // 3, len(content))]


def many_bytes(content: bytes, luck: random.Random) -> bytes:
    harmed = bytearray(content)
    for _ in range(60):
        harmed[luck.randrange(len(harmed))] = luck.randrange(256)
    return bytes(harmed)


def a_stretch_of_nothing(content: bytes, luck: random.Random) -> bytes:
    pages = len(content) // PAGE
    count = luck.randint(1, 40)
    first = luck.randrange(1, pages - count)
    return content[: first * PAGE] + bytes(count * PAGE) + content[(first + count) * PAGE :]


def some_pages(content: bytes, luck: random.Random) -> bytes:
    return torn_pages(content, luck, 6)


def one_byte(content: bytes, luck: random.Random) -> bytes:
    harmed = bytearray(content)
    harmed[luck.randrange(len(harmed))] ^= luck.randrange(1, 256)
    return bytes(harmed)


Harm = Callable[[bytes, random.Random], bytes]
HARMS: tuple[Harm, ...] = (
    cut_short, many_bytes, a_stretch_of_nothing, some_pages, one_byte,
)  # fmt: skip


def recovered(path: Path) -> Offer | None:
    """The best that can be had, put in its place; None when nothing was wrong, or nothing could be read."""
    with recovering(path) as recovery:
        if recovery is None:
            return None
        best = recovery.offers[0]
        use(recovery, best, may_lose=best.lacks.steps)
        return best


def keep_word(told: Told, folder: Path, harm: Harm, luck: random.Random) -> list[str]:
    """Harm a copy of the firm, recover it as advised, and compare every row."""
    path = told.copy_to(folder)
    path.write_bytes(harm(path.read_bytes(), luck))
    try:
        offer = recovered(path)
    except Damaged:
        return ["nothing could be read, though there are backups"]
    return broken_promises(told, path, offer.lines() if offer is not None else [])


@pytest.mark.parametrize(
    ("harm", "turns"),
    [
        *(pytest.param(harm, 1, id=harm.__name__) for harm in HARMS[:2]),
        *(pytest.param(harm, 60, id=harm.__name__, marks=pytest.mark.long) for harm in HARMS),
    ],
)
def test_every_row_is_as_claimed_or_named(told: Told, tmp_path: Path, harm: Harm, turns: int) -> None:
    tally, luck = Tally(f"{harm.__name__}, recovered, every row compared"), random.Random(21)
    for turn in range(turns):
        broken = keep_word(told, tmp_path / str(turn), harm, luck)
        tally.count(0, -len(broken), f"turn {turn}: {broken[:2]}")
        shutil.rmtree(tmp_path / str(turn))
    tally.close()


def test_a_row_refilled_from_a_backup_holds_the_last_step_or_is_named(told: Told, tmp_path: Path) -> None:
    """The table of findings is gone; the journal is there, so each has what was found last."""
    path = told.copy_to(tmp_path / "firm")
    content, begin = bytearray(path.read_bytes()), (root_page(path, "survey") - 1) * PAGE
    content[begin : begin + PAGE] = bytes(PAGE)
    path.write_bytes(content)
    offer = recovered(path)
    assert offer is not None
    assert offer.refilled.trust == ()
    assert offer.lacks.steps == 0
    there = rows_of(path)
    assert {row: there[row] for row in told.rows if row[0] == "survey"} == {
        row: content for row, content in told.rows.items() if row[0] == "survey"
    }
    assert any(versions[-1][0] > BACKED_UP[-1] for row, versions in told.versions.items() if row[0] == "survey")
    assert check_file(path).ok, check_file(path).lines


def test_what_changed_by_itself_is_taken_from_who_has_it(told: Told, tmp_path: Path) -> None:
    """Values that can be read and cannot be, or that no step wrote: intact ones lie in the backup."""
    harms = {
        ("item_price", 3): "UPDATE item_price SET unit_cost = -unit_cost WHERE id = 3",
        ("labour_line", 5): "UPDATE labour_line SET quote_id = -123 WHERE id = 5",
        ("hours_entry", 7): "UPDATE hours_entry SET minutes = minutes + 65536 WHERE id = 7",
        ("visit", 2): "DELETE FROM visit WHERE id = 2",
    }
    path = told.copy_to(tmp_path / "firm")
    execute(path, "PRAGMA foreign_keys=OFF", *harms.values())
    assert check_file(path).recoverable
    offer = recovered(path)
    assert offer is not None
    there = rows_of(path)
    assert {row: there.get(row) for row in harms} == {row: told.rows[row] for row in harms}
    assert broken_promises(told, path, offer.lines()) == []


def test_what_nobody_has_is_named_and_not_called_good_until_it_was_looked_over(
    told: Told, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = told.copy_to(tmp_path / "firm")
    shutil.rmtree(path.parent / "Firm backups")
    execute(path, "PRAGMA foreign_keys=OFF", "UPDATE labour_line SET quote_id = -123 WHERE id = 5")
    offer = recovered(path)
    assert offer is not None
    assert ("labour_line", 5) in named_rows(offer.refilled.trust)
    assert "Enter it again where it belongs." in "\n".join(offer.notes)
    for words in (["check", str(path)], ["ties", str(path)]):
        assert cli.main(words) == 1
        assert "Labor lines of quotes, row 5: " in "".join(capsys.readouterr())
    assert cli.main(["check", str(path), "--looked-over"]) == 0
    assert cli.main(["ties", str(path)]) == 0


def test_the_comparison_sees_one_wrong_row(told: Told, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault planted: one row is put in place with another price. Without this the campaign could not fail."""
    kept = row_settling.put_row

    def bends(conn: sqlite3.Connection, table: str, row: Mapping[str, Any]) -> bool:
        wrong = {"unit_cost": row["unit_cost"] + 1} if table == "item_price" and row["id"] == 4 else {}
        return kept(conn, table, {**row, **wrong})

    monkeypatch.setattr(row_settling, "put_row", bends)
    path = told.copy_to(tmp_path / "firm")
    execute(path, "UPDATE item_price SET unit_cost = unit_cost + 65536 WHERE id = 4")
    offer = recovered(path)
    assert offer is not None
    assert [line[:17] for line in broken_promises(told, path, offer.lines())] == ["('item_price', 4)"]


def test_a_firm_that_is_gone_is_recovered_from_its_backups(
    told: Told, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = told.copy_to(tmp_path / "firm")
    path.unlink()
    for words in (["check", str(path)], ["costing", str(path)]):
        assert cli.main(words) == 1
        text = "".join(capsys.readouterr())
        assert "2 backups of it lie in “Firm backups”, the newest “" in text
        way = re.findall(r"Run: riserbook (.+)", text)[0]
    assert cli.main(shlex.split(way)) == 0
    way = re.findall(r"To use it: riserbook (.+)", capsys.readouterr().out)[0]
    assert cli.main(shlex.split(way)) == 0
    assert check_file(path).ok
