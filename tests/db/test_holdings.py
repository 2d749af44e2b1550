"""What a file holds is told in figures two files can be compared by."""

from __future__ import annotations

from pathlib import Path

from db.company_file import back_up, open_company
from db.company_file.holdings import holdings_of, steps_missing
from tests.db.company_files import add_customer, company_file


def test_a_file_tells_its_last_step_and_counts_also_from_its_log(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as opened:
        add_customer(opened, "Bo")
        add_customer(opened, "Cy")
        opened.undo()
        held = holdings_of(path)  # still in the write-ahead log
    assert (held.firm, held.last_step, held.customers, held.jobs, held.steps) == (
        "Quarry Lane Radon", "Add Bo", 1, 0, 2,
    )  # fmt: skip
    assert held.words().startswith("Quarry Lane Radon: 0 jobs, 1 customer, 2 saved steps, the last “Add Bo” on ")


def test_what_a_backup_lacks_is_counted_and_named(tmp_path: Path) -> None:
    path = company_file(tmp_path)
    with open_company(path, backup=False) as opened:
        add_customer(opened, "Bo")
        backup = back_up(opened)
        for name in ("Cy", "Di", "Ed", "Flo"):
            add_customer(opened, name)
    lacking = steps_missing(path, backup)
    assert (lacking.steps, lacking.newest) == (4, ("Add Flo", "Add Ed", "Add Di"))
    assert lacking.words() == "4 steps, the last: Add Flo; Add Ed; Add Di."
    assert steps_missing(backup, path).words() == ""
