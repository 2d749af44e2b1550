"""Which backups are let go: by the order they were made in, so that a wrong clock never drives the real ones out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from db.company_file import back_up_if_changed, list_backups, open_company
from db.company_file.thinning import KEPT, to_let_go
from tests.db.company_files import add_customer, company_file
from tests.db.test_company_file_backups import Clock

REAL = datetime(2026, 11, 2, 21).astimezone()


@dataclass(frozen=True)
class Made:
    made_at: datetime
    number: int = 0


def kept(days: Iterable[datetime]) -> list[datetime]:
    made = [Made(day, number) for number, day in enumerate(days)]
    gone = to_let_go(made)
    return [one.made_at for one in made if one not in gone]


def evenings(first: datetime, count: int) -> list[datetime]:
    return [first + timedelta(days=n) for n in range(count)]


def test_ten_and_one_a_month_are_kept() -> None:
    days = evenings(datetime(2025, 11, 1, 21).astimezone(), 75)
    assert kept(days) == [days[29], days[60], *days[-10:]]


def test_evenings_years_ahead_drive_no_real_one_out() -> None:
    real, ahead = evenings(REAL, 10), evenings(REAL.replace(year=2031), 25)
    after = evenings(REAL + timedelta(days=11), 9)
    left = kept([*real, *ahead, *after])
    assert set(real) <= set(left)
    assert set(after) <= set(left)
    assert set(ahead[-10:]) <= set(left)


def test_the_end_of_daylight_saving_begins_no_stretch_of_its_own() -> None:
    days = evenings(REAL.replace(hour=1), 12)
    days.insert(6, days[5] - timedelta(hours=1))
    assert len(kept(days)) == KEPT


@given(st.lists(st.integers(0, 3000), max_size=60))
def test_the_ten_made_last_are_never_let_go(days: list[int]) -> None:
    made = [Made(REAL + timedelta(days=day), number) for number, day in enumerate(days)]
    gone = to_let_go(made)
    assert not set(made[-KEPT:]) & set(gone)
    assert len({one.made_at.year * 12 + one.made_at.month for one in made}) == len(
        {one.made_at.year * 12 + one.made_at.month for one in made if one not in gone}
    )


def test_a_clock_years_ahead_and_put_right_again_in_the_real_folder(tmp_path: Path) -> None:
    path, clock = company_file(tmp_path), Clock(2026, 11, 2, 21, 0)
    real, ahead, after = evenings(REAL, 10), evenings(REAL.replace(year=2034), 12), evenings(REAL, 9)
    with open_company(path, backup=False, clock=clock) as opened:
        for clock.time in [*real, *ahead, *(day + timedelta(days=20) for day in after)]:
            add_customer(opened, f"Customer of {clock.time:%d %b %Y}")
            assert back_up_if_changed(opened) is not None
            assert back_up_if_changed(opened) is None  # the newest is the one made last, not the one dated last
    found = list_backups(path)
    assert set(real) <= {backup.made_at for backup in found}
    assert found[0].made_at == after[-1] + timedelta(days=20)
    assert [backup.order for backup in found] == sorted((backup.order for backup in found), reverse=True)
