"""A look over the file: sound files are said to be sound, and each kind of harm is found and named."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from db.company_file import back_up, check_file, open_company, photo_folder
from db.company_file.problems import Missing, NotOurs
from tests.db.company_files import add_customer, company_file, untouched
from tests.db.test_company_file_problems import cut_short, empty_file, from_the_future, scribbled_over


def execute(path: Path, *statements: str) -> None:
    with closing(sqlite3.connect(path)) as conn:
        for statement in statements:
            conn.execute(statement)
        conn.commit()


def test_a_sound_file_is_in_order_and_is_not_touched(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    back_up(path)
    before = untouched(tmp_path)
    report = check_file(path)
    assert report.ok
    text = "\n".join(report.lines)
    assert report.lines[0] == "“Quarry Lane.riserbook” is in order."
    assert "Every page holds together." in report.lines
    assert "up to date" in text
    assert "0 jobs" in text
    assert "1 saved step." in text
    assert "The only backup is of 20" in text
    assert untouched(tmp_path) == before


def test_an_open_company_can_be_checked(tmp_path: Path) -> None:
    with open_company(company_file(tmp_path)) as opened:
        add_customer(opened, "Bo")
        report = check_file(opened.path)
        assert report.ok
        assert "1 customer," in "\n".join(report.lines)
        add_customer(opened, "Cy")


@pytest.mark.parametrize("harm", [empty_file, cut_short, scribbled_over, from_the_future])
def test_harm_to_the_file_is_found(tmp_path: Path, harm: Callable[[Path], Path]) -> None:
    path = harm(tmp_path)
    before = untouched(tmp_path)
    report = check_file(path)
    assert not report.ok
    assert report.lines[0] == "“Quarry Lane.riserbook” needs attention:"
    assert "amage" in report.lines[1] or "newer Riserbook" in report.lines[1]
    assert untouched(tmp_path) == before


def test_a_row_that_points_at_nothing_is_found(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    execute(path, "INSERT INTO contact (customer_id, kind, value) VALUES (99, 'phone', '555-0100')")
    report = check_file(path)
    assert not report.ok
    assert report.lines[1] == "Rows of contact that point at a row of customer that is gone: 1."


def test_missing_and_unused_photos_are_told_apart(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    execute(
        path,
        "PRAGMA foreign_keys=OFF",
        "INSERT INTO customer (id, kind, name, created_on) VALUES (1, 'person', 'Bo', '2026-03-02')",
        "INSERT INTO property (id, customer_id, street) VALUES (1, 1, '2 Quarry Lane')",
        "INSERT INTO job_type (id, name) VALUES (1, 'New system')",
        "INSERT INTO job (id, number, customer_id, property_id, job_type_id, opened_on)"
        " VALUES (1, '26-001', 1, 1, 1, '2026-03-02')",
        "INSERT INTO photo (job_id, file_name, original_name, added_on) VALUES (1, '1-ab.jpg', 'a.jpg', '2026-03-02')",
    )
    photos = photo_folder(path)
    photos.mkdir()
    (photos / "1-ab.jpg").write_bytes(b"a picture")
    (photos / "2-cd.jpg").write_bytes(b"a picture nobody uses")
    report = check_file(path)
    assert report.ok
    assert "The file 2-cd.jpg in “Quarry Lane photos” belongs to no job." in report.lines
    (photos / "1-ab.jpg").unlink()
    report = check_file(path)
    assert not report.ok
    assert "The photo 1-ab.jpg is not in “Quarry Lane photos” any more." in report.lines


def test_what_is_no_company_file_cannot_be_looked_at(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("Dear Ada")
    with pytest.raises(NotOurs):
        check_file(tmp_path / "letter.txt")
    with pytest.raises(Missing):
        check_file(tmp_path / "gone.riserbook")
