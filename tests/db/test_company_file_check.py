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
from tests.db.whole_firm import whole_firm


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
    assert "The only backup is of " in text
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
    assert report.lines[1] == "Phone numbers and addresses that point at something gone from the customers: 1."


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
    assert "The file 2-cd.jpg in “Quarry Lane photos” belongs to no job, test or bill." in report.lines
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


def test_papers_are_known_and_looked_at_by_their_sums(tmp_path: Path) -> None:
    firm = whole_firm(tmp_path)
    assert check_file(firm.path).ok
    text = "\n".join(check_file(firm.path).lines)
    assert "belongs to no job" not in text
    assert "No backup has been made to another place yet." in text
    report = next(name for name in firm.papers if name.endswith(".pdf"))
    photo = next(name for name in firm.papers if name.endswith(".png"))
    back_up(firm.path)
    changed = bytearray(firm.papers[report])
    changed[9] ^= 1
    (photo_folder(firm.path) / report).write_bytes(changed)
    (photo_folder(firm.path) / photo).unlink()
    found = check_file(firm.path)
    assert not found.ok
    wrong = "\n".join(found.lines)
    assert f"The report or bill {report} has changed since it was taken in, in “Quarry Lane photos”." in wrong
    assert f"The photo {photo} is not in “Quarry Lane photos” any more." in wrong
    assert "A whole copy lies in “Quarry Lane backups/photos and papers”: copy it back from there." in wrong


def test_a_bit_that_flipped_since_a_backup_is_noticed_when_nothing_was_edited(tmp_path: Path) -> None:
    path = whole_firm(tmp_path).path
    open_company(path).close()
    assert check_file(path).ok
    execute(path, "UPDATE job_type SET name = 'Rewark' WHERE id = 1")  # as a flipped bit leaves it: no edit noted
    found = check_file(path)
    assert not found.ok
    assert "Row 1 of the job types is not as it was" in "\n".join(found.lines)
    with open_company(path, backup=False) as opened:
        add_customer(opened, "Bo")  # a step elsewhere changes nothing about that
    assert "Row 1 of the job types is not as it was" in "\n".join(check_file(path).lines)


def test_undo_and_redo_between_backup_and_look_raise_no_false_alarm(tmp_path: Path) -> None:
    path = whole_firm(tmp_path).path
    with open_company(path) as opened:
        add_customer(opened, "Bo")
        opened.undo()
        back_up(opened)
        opened.redo()
        opened.undo()
        assert check_file(path).ok
        opened.redo()
        back_up(opened)
        assert check_file(path).ok


def test_a_backup_whose_own_bytes_changed_is_named(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    backup = back_up(path)
    bent = bytearray(backup.read_bytes())
    bent[-100] ^= 1
    backup.write_bytes(bent)
    assert "is not as it was written" in "\n".join(check_file(path).lines)


def test_a_backup_from_elsewhere_is_looked_over_from_end_to_end(tmp_path: Path) -> None:
    firm = whole_firm(tmp_path)
    made = back_up(firm.path, tmp_path)
    report = check_file(made)
    assert report.ok
    assert "Photos and papers in it: 4. Every sum agrees." in report.lines
    bent = bytearray(made.read_bytes())
    bent[len(bent) // 2] ^= 1
    made.write_bytes(bent)
    assert not check_file(made).ok
