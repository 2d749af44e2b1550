"""What a look tells of a firm whose log was lost, and which of two names of one file may be worked under."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from db.company_file import back_up, check_file, open_company, open_for_reading
from db.company_file.problems import ManyNames
from tests.db.company_files import add_customer, company_file, customer_names
from tests.db.crash_lab import crashed_copy


def test_a_lost_log_shows_in_the_last_step_and_beside_the_backup(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as company:
        for name in ("Bo", "Cy"):
            add_customer(company, name)
        back_up(company)
        copy = crashed_copy(path, tmp_path / "killed")
    (tmp_path / "Quarry Lane backups").rename(copy.parent / "Quarry Lane backups")
    whole = "\n".join(check_file(copy).lines)
    assert "Its last step is “Add Cy” on " in whole
    assert ", of 3 saved steps with 0 jobs." in whole
    assert "has not come that far" not in whole
    for ending in ("-wal", "-shm"):
        copy.with_name(copy.name + ending).unlink(missing_ok=True)
    report = check_file(copy)
    text = "\n".join(report.lines)
    assert "Its last step is “Start Quarry Lane Radon” on " in text
    assert "holds 2 steps, the last: Add Cy; Add Bo. This file has not come that far" in text
    assert report.ok  # after a restore it is the same, and nothing is wrong then


def test_undo_after_a_backup_is_no_lost_log(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as company:
        add_customer(company, "Bo")
        back_up(company)
        company.undo()
    assert "has not come that far" not in "\n".join(check_file(path).lines)


@pytest.mark.skipif(os.name != "posix", reason="hard links are made otherwise there")
def test_the_name_with_the_log_is_the_one_in_use_and_opens(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as company:
        add_customer(company, "Bo")
        killed = crashed_copy(path, tmp_path / "killed")
    os.link(killed, other := killed.with_name("Other.riserbook"))
    for way_in in (open_company, open_for_reading):
        with pytest.raises(ManyNames):
            way_in(other)
    with open_for_reading(killed) as reading:
        assert customer_names(reading) == ["Bo"]
    with open_company(killed, backup=False) as company:
        assert customer_names(company) == ["Bo"]
        add_customer(company, "Cy")
        with pytest.raises(ManyNames):
            open_company(other)
        with open_for_reading(killed) as reading:
            assert customer_names(reading) == ["Bo", "Cy"]
