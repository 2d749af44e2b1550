"""Clicks and keys by chance over the whole window: no error nobody expected, the file in order, the books tie.

`WALK_SECONDS` and `WALK_SEEDS` (numbers with commas) choose another walk of the long form.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QThreadPool
from PySide6.QtWidgets import QApplication

from db.company_file import check_file, open_for_reading
from db.queries.books.ties import ties
from db.queries.firm import firm
from tests.journeys.walk import Walk, begin

LONG_SECONDS = float(os.environ.get("WALK_SECONDS", "720"))
LONG_SEEDS = [int(seed) for seed in os.environ.get("WALK_SEEDS", "1,2,3,4,5").split(",")]


def walk(path: Path, settings: Path, seed: int, steps: int, seconds: float) -> None:
    window = begin(path, settings)
    one = Walk(window, path, seed)
    try:
        one.go(steps, seconds)
    finally:
        window.close()
        window.let_go()
        QThreadPool.globalInstance().waitForDone(20_000)
        window.deleteLater()
        QApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    print(f"walk of seed {seed}: {one.steps:,} steps, {len(one.errors)} errors")
    assert not one.errors, "\n\n".join(one.errors[:5])
    in_order(path)


def in_order(path: Path) -> None:
    """The file is sound and every sum of the books is reached by both ways."""
    report = check_file(path)
    assert report.ok, "\n".join(report.lines)
    with open_for_reading(path) as company, company.read() as conn:
        found = ties(conn, firm(conn).pinned_today)  # type: ignore[arg-type]
    assert all(tie.holds for tie in found), [tie for tie in found if not tie.holds]


def test_a_short_walk(sample_file: Path, tmp_path: Path, qapp: QApplication) -> None:
    walk(sample_file, tmp_path / "settings", 20, steps=160, seconds=20)


@pytest.mark.long
@pytest.mark.parametrize("seed", LONG_SEEDS)
def test_a_long_walk(sample_file: Path, tmp_path: Path, qapp: QApplication, seed: int) -> None:
    walk(sample_file, tmp_path / "settings", seed, steps=1_000_000, seconds=LONG_SECONDS)
