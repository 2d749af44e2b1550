"""What is typed is what is kept: every cell and field of the program, found by walking the window, typed into for real.

Each is come to in one way and left in another; which ones changes with the seed, so that evenings add up to all of
them, and the long form goes through the whole product. What is compared is what the file's journal then holds.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path
from random import Random

import pytest
from PySide6.QtWidgets import QApplication
from sqlalchemy import select

from db.commands import quotes
from db.commands.defects import note_defect
from db.commands.jobs import open_job
from db.company_file import open_company
from db.queries.firm import day_rates, firm
from db.tables import job
from tests.desktop import doors
from tests.desktop import every_cell as hand
from tests.desktop.cell_walk import ROUNDS, Walk
from tests.journeys.at_the_desk import Person

SEED = date.today().toordinal()
TODAY = date(2026, 11, 12)  # the made-up firm's own evening

@pytest.fixture(scope="module")
def small_sample(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, int]:
    """The made-up firm with few jobs, and in it one with a draft, an option, a cost, a defect."""
    from sample_company import write_sample

    path = tmp_path_factory.mktemp("walk") / "walk.riserbook"
    write_sample(path, jobs=30)
    company = open_company(path, backup=False)
    with company.action("One of everything") as edit:
        known = edit.conn.execute(select(job.c.customer_id, job.c.property_id, job.c.job_type_id)).first()
        assert known is not None
        job_id = open_job(edit, *known, None, "One of everything", TODAY)
        quote_id = quotes.start_quote(edit, job_id, TODAY, day_rates(edit.conn, TODAY), firm(edit.conn))
        quotes.add_option(edit, quote_id, "Quieter fan")
        quotes.add_other(edit, quote_id, "permit", Decimal(1), Decimal(85), description="county")
        note_defect(edit, job_id, "Water stands in the run", TODAY, price_cents=12000)
    company.close()
    return path, job_id


@pytest.fixture
def owner(qtbot, tmp_path: Path, small_sample: tuple[Path, int], monkeypatch) -> Iterator[Person]:
    doors.answer_the_system(monkeypatch)
    usual = QApplication.doubleClickInterval()
    QApplication.setDoubleClickInterval(2 * hand.SLOWLY_MS)
    person = Person(qtbot, tmp_path / "settings")
    person.window.resize(1680, 1000)
    person.open(Path(shutil.copy2(small_sample[0], tmp_path)))
    yield person
    person.leave()
    QApplication.setDoubleClickInterval(usual)


def test_a_sample_of_cells_and_fields_keeps_what_is_typed(owner: Person, small_sample: tuple[Path, int]) -> None:
    """The short form: some stops, a few cells and fields of each, every way out."""
    walk = Walk(owner, 14, small_sample[1])
    walk.most = 2
    stops = Random(3).sample(list(hand.stops(owner.window, small_sample[1])), 5)
    walk.cells(stops)
    cells = len(walk.reached)
    walk.fields(stops)
    print(f"{cells} columns and {len(walk.reached) - cells} fields at {', '.join(stop[0] for stop in stops)}")
    print("\n".join(walk.refused))
    assert not walk.lost, "\n".join(walk.lost)
    assert cells >= 5
    assert len(walk.reached) - cells >= 8


# The long form: what there is, then each page by itself, so that several can run beside each other.


@pytest.mark.long
def test_everything_one_can_type_into_can_be_come_to(owner: Person, small_sample: tuple[Path, int]) -> None:
    """Each column and field that was built at all is seen at some stop, plainly or once something is opened."""
    walk = Walk(owner, SEED, small_sample[1])
    for stop in hand.stops(owner.window, small_sample[1]):
        hand.arrive(owner.window, stop)
        walk.look()
    plain = len(walk.reached)
    walk.doors(only_look=True)
    columns, fields = hand.declared(owner.window)
    print(f"{len(columns)} columns and {len(fields)} fields; {plain} seen plainly, {len(walk.reached)} in all")
    assert not walk.lost, "\n".join(walk.lost)
    assert sorted((columns | fields) - walk.reached) == []


@pytest.mark.long
@pytest.mark.parametrize("page", hand.PAGES)
def test_every_cell_and_field_keeps_what_is_typed_into_it(
    owner: Person, small_sample: tuple[Path, int], page: str
) -> None:
    walk = Walk(owner, SEED, small_sample[1])
    stops = hand.stops_of(owner.window, small_sample[1], page)
    walk.cells(stops)
    walk.fields(stops)
    walk.doors(stops)
    _tell(walk)


@pytest.mark.long
@pytest.mark.parametrize("page", hand.PAGES)
@pytest.mark.parametrize("a_round", range(ROUNDS))
def test_every_way_into_and_out_of_everything(
    owner: Person, small_sample: tuple[Path, int], page: str, a_round: int
) -> None:
    walk = Walk(owner, SEED, small_sample[1], a_round)
    stops = hand.stops_of(owner.window, small_sample[1], page)
    walk.cells(stops)
    walk.fields(stops)
    _tell(walk)


def _tell(walk: Walk) -> None:
    print(f"{len(walk.reached)} columns and fields, {walk.entries} entries; refused in words, and still there:")
    print(*walk.refused, sep="\n  ")
    assert walk.reached
    assert not walk.lost, "\n".join(walk.lost)
