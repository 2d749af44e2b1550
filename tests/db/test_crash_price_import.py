"""Kills and full disks while a price file is brought in: it is there whole or not at all, and what was saved stays.

The moments of death are every touch of the disk that Python tells of (`kill_lab`) and every statement and commit before
it is carried out; for the writes within a commit the log is cut, as a machine that went dark would leave it.
"""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import NamedTuple

import pytest
from openpyxl import Workbook
from sqlalchemy import event
from sqlalchemy.engine import Engine

from db.commands.buying import remember_sheet
from db.commands.price_import import apply_import
from db.company_file import check_file, create_company, open_company
from db.company_file.places import side_files
from db.price_file import read_price_file
from db.queries.price_list import priced_items
from domain.price_import import find_header, guess_columns, plan_import, read_rows
from tests.db.company_files import TODAY, content
from tests.db.crash_lab import Tally, crashed_copy

if os.name != "posix":
    pytest.skip("the system has no such signal", allow_module_level=True)

from tests.db.kill_lab import DONE, KILLED, REFUSED, run_killed_at, run_on_a_disk_of

JOURNAL = ("action", "change")
KINDS = ("csv", "xlsx")


class Case(NamedTuple):
    """A firm, the price file it is given, its rows before and after, and where "it is saved" is noted."""

    path: Path
    prices: Path
    before: dict[str, list[tuple[object, ...]]]
    after: dict[str, list[tuple[object, ...]]]

    @property
    def acknowledged(self) -> Path:
        return self.path.with_name("saved")


def price_file(folder: Path, kind: str, codes: list[str]) -> Path:
    lines: list[list[object]] = [["Code", "Name", "Price", "Unit", "Supplier"]]
    lines += [[code, f"Item {code}", 3.25 + n, "ea", "Corner Counter"] for n, code in enumerate(codes)]
    lines += [[f"NEW-{n}", f"New thing {n}", 1.5 + n, "ea", "Corner Counter"] for n in range(12)]
    path = folder / f"prices.{kind}"
    if kind == "csv":
        path.write_text("\n".join(",".join(map(str, line)) for line in lines), "utf-8")
    else:
        book = Workbook()
        for line in lines:
            book.active.append(line)
        book.save(path)
    return path


def bring_in(path: Path, prices: Path, *, end: bool = True) -> None:
    """As the window does it: read, compare, write in one action, say that it is saved."""
    company = open_company(path, backup=False)
    found = read_price_file(prices)
    head = find_header([row.cells for row in found.rows]) or 0
    names = found.rows[head].cells
    columns = guess_columns(names)
    with company.read() as conn:
        plan = plan_import(read_rows(found.rows[head + 1 :], columns), priced_items(conn, TODAY, archived=True), TODAY)
    with company.action("Bring in prices") as edit:
        apply_import(edit, plan)
        remember_sheet(edit, list(names), {key: names[at] for key, at in columns.items()}, TODAY, "Corner Counter")
    path.with_name("saved").touch()
    if end:
        company.close()


def rows_of(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """All but the journal, whose moments differ."""
    return {name: rows for name, rows in content(path).items() if name not in JOURNAL}


def a_case(folder: Path, kind: str) -> Case:
    """Made once: the firm, and what it holds when nobody is killed."""
    made = folder / "made"
    made.mkdir()
    path = made / "Quarry Lane.riserbook"
    with create_company(path, "Quarry Lane Radon", "Ada Quill", TODAY) as company, company.read() as conn:
        codes = [row.item.code for row in list(priced_items(conn, TODAY))[:12]]
    prices, before = price_file(folder, kind, codes), rows_of(path)
    whole = folder / "whole" / path.name
    whole.parent.mkdir()
    shutil.copy2(path, whole)
    bring_in(whole, prices)
    after = rows_of(whole)
    assert len(after["item"]) == len(before["item"]) + 12
    assert len(after["item_price"]) >= len(before["item_price"]) + 12
    return Case(path, prices, before, after)


def fresh(case: Case, folder: Path) -> Case:
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    return case._replace(path=Path(shutil.copy2(case.path, folder / case.path.name)))


def look_over(case: Case, tally: Tally, where: str) -> bool:
    """The next start: sound, all or nothing, nothing half left; True where the prices are there."""
    with open_company(case.path):
        pass
    report, rows = check_file(case.path), rows_of(case.path)
    if not report.ok:
        tally.wrong.append(f"{where}: {report.lines[:3]}")
    if rows not in (case.before, case.after):
        tally.wrong.append(f"{where}: half an import")
    tally.count(int(case.acknowledged.exists()), int(rows == case.after), where)
    left = [one.name for one in case.path.parent.rglob("*") if "unfinished" in one.name or one.suffix == ".part"]
    if left:
        tally.wrong.append(f"{where}: left {left[:2]}")
    return rows == case.after


def telling_statements(work: Callable[[], None]) -> None:
    """Every statement and commit of the work is told as a touch of the disk too, before it is carried out."""

    def told(*_: object) -> None:
        os.scandir("/").close()

    event.listen(Engine, "before_cursor_execute", told)
    event.listen(Engine, "commit", told)
    work()


def kill_campaign(kind: str, folder: Path, every: int) -> None:
    tally, first = Tally(f"killed while a price file is brought in ({kind})"), a_case(folder, kind)
    for moment in range(1, 5_000, every):
        case = fresh(first, folder / "case")
        work = partial(bring_in, case.path, case.prices)
        ended = run_killed_at(moment, partial(telling_statements, work))
        assert ended in (DONE, KILLED), ended
        there = look_over(case, tally, f"moment {moment}")
        if ended == DONE:
            assert there
            break
    assert ended == DONE
    assert tally.tried > 3
    tally.close()


def full_disk_campaign(kind: str, folder: Path, sizes: list[int]) -> None:
    tally, first = Tally(f"disk full while a price file is brought in ({kind})"), a_case(folder, kind)
    for largest in sizes:
        case = fresh(first, folder / "case")
        ended = run_on_a_disk_of(largest, partial(bring_in, case.path, case.prices))
        if ended not in (DONE, REFUSED):
            tally.wrong.append(f"{largest} bytes: {ended}")
        look_over(case, tally, f"{largest} bytes")
    tally.close()


def cut_log_campaign(kind: str, folder: Path, every: int) -> None:
    """The log of an import that was saved and not yet put into the file, cut after its frames and within them."""
    tally, first = Tally(f"power gone while a price file is brought in ({kind})"), a_case(folder, kind)
    case = fresh(first, folder / "case")

    def save_and_die() -> None:
        bring_in(case.path, case.prices, end=False)
        os.kill(os.getpid(), signal.SIGKILL)

    assert run_killed_at(1_000_000, save_and_die) == KILLED
    log = side_files(case.path)[0].read_bytes()
    seen: set[bool] = set()
    for size in [*range(0, len(log), every), len(log) - 1, len(log)]:
        path = crashed_copy(case.path, folder / f"cut {size}")
        side_files(path)[0].write_bytes(log[:size])
        cut = case._replace(path=path)
        if size == len(log):
            cut.acknowledged.touch()
        seen.add(look_over(cut, tally, f"log cut at {size} of {len(log)}"))
        shutil.rmtree(path.parent)
    assert seen == {True, False}
    tally.close()


@pytest.mark.parametrize("kind", KINDS)
def test_killed_at_some_moments(tmp_path: Path, kind: str) -> None:
    kill_campaign(kind, tmp_path, every=23)


def test_a_disk_that_is_full_at_some_sizes(tmp_path: Path) -> None:
    full_disk_campaign("csv", tmp_path, [300, 8_000, 40_000])


def test_the_log_cut_at_some_places(tmp_path: Path) -> None:
    cut_log_campaign("csv", tmp_path, every=27_003)


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_killed_at_every_moment(tmp_path: Path, kind: str) -> None:
    kill_campaign(kind, tmp_path, every=1)


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_a_disk_that_is_full_at_every_size(tmp_path: Path, kind: str) -> None:
    full_disk_campaign(kind, tmp_path, [0, 1, 100, 512, *range(4_096, 1_000_000, 20_000)])


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_the_log_cut_after_every_frame_and_within(tmp_path: Path, kind: str) -> None:
    cut_log_campaign(kind, tmp_path, every=2_060)
