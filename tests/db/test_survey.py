"""The survey: its day and words, radon tests in order, and photos that are really pictures."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from db.commands import survey
from db.commands.jobs import mark_installed
from db.company_file.company import Company
from db.company_file.problems import Refused
from db.photo_folder import LARGEST_BYTES, photo_folder
from db.queries.jobs import job_head, survey_page
from tests.db.whole_firm import png
from tests.small_company import TODAY, OneJob, add_one_job, empty_company

PNG = png()


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def test_a_survey_is_written_once_and_then_changed_field_by_field(company: Company, kept: OneJob) -> None:
    for words in ({"findings": " sump open "}, {"access_notes": "low at the rear"}, {"existing_notes": "fan indoors"}):
        with company.action("Survey") as edit:
            survey.save_survey(edit, kept.job_id, TODAY, **words)
    with company.read() as conn:
        page = survey_page(conn, kept.job_id)
        state = job_head(conn, kept.job_id, TODAY).state
    assert page.survey is not None
    assert (page.survey.findings, page.survey.access_notes, page.survey.existing_notes) == (
        "sump open", "low at the rear", "fan indoors",
    )  # fmt: skip
    assert state == "surveyed"


def test_a_survey_after_the_fan_was_on_is_questioned(company: Company, kept: OneJob) -> None:
    with company.action("Install") as edit:
        mark_installed(edit, kept.job_id, date(2026, 5, 12))
    with pytest.raises(Refused, match="after the day the fan was on"), company.action("Survey") as edit:
        survey.save_survey(edit, kept.job_id, date(2026, 5, 13))


def add_test(company: Company, job_id: int, **values: object) -> int:
    usual: dict[str, object] = {
        "purpose": "before", "device": "charcoal canister", "result": Decimal("7.4"),
        "ended_on": date(2026, 5, 3), "started_on": date(2026, 5, 1),
    }  # fmt: skip
    with company.action("Test") as edit:
        return survey.add_radon_test(edit, job_id, **{**usual, **values})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("values", "word"),
    [
        ({"result": Decimal(0)}, "more than nothing"),
        ({"result": Decimal(-1)}, "more than nothing"),
        ({"ended_on": date(2026, 4, 30)}, "before it began"),
        ({"purpose": "during"}, "neither before nor after"),
    ],
)
def test_radon_tests_that_cannot_be_are_refused_kindly(
    company: Company, kept: OneJob, values: dict[str, object], word: str
) -> None:
    with pytest.raises(Refused, match=word):
        add_test(company, kept.job_id, **values)


def test_a_test_after_the_work_begins_after_it(company: Company, kept: OneJob) -> None:
    with company.action("Install") as edit:
        mark_installed(edit, kept.job_id, date(2026, 5, 12))
    with pytest.raises(Refused, match="before the fan was on"):
        add_test(company, kept.job_id, purpose="after")
    add_test(company, kept.job_id, purpose="after", started_on=date(2026, 5, 13), ended_on=date(2026, 5, 15))
    with company.read() as conn:
        assert job_head(conn, kept.job_id, TODAY).state == "tested"


def test_a_changed_test_is_checked_as_a_whole(company: Company, kept: OneJob) -> None:
    test_id = add_test(company, kept.job_id)
    with pytest.raises(Refused, match="before it began"), company.action("Change") as edit:
        survey.change_radon_test(edit, test_id, ended_on=date(2026, 4, 1))
    with company.action("Change") as edit:
        survey.change_radon_test(edit, test_id, result=Decimal("8.1"), place="family room")
    with company.read() as conn:
        (kept_test,) = survey_page(conn, kept.job_id).tests
    assert (kept_test.result, kept_test.place, kept_test.ended_on) == (Decimal("8.1"), "family room", date(2026, 5, 3))


def test_a_photo_is_copied_beside_the_company_under_a_name_of_its_own(
    company: Company, kept: OneJob, tmp_path: Path
) -> None:
    source = tmp_path / "IMG 0001 (copy).PNG"
    source.write_bytes(PNG)
    folder = photo_folder(company.path)
    with company.action("Photo") as edit:
        photo_id = survey.add_photo(edit, kept.job_id, source, folder, TODAY, " north wall ")
    source.unlink()
    with company.read() as conn:
        (photo,) = survey_page(conn, kept.job_id).photos
    assert (photo.original_name, photo.caption, photo.added_on) == ("IMG 0001 (copy).PNG", "north wall", TODAY)
    assert photo.file_name.startswith("26-001-")
    copied = folder / photo.file_name
    assert copied.read_bytes() == PNG
    assert sorted(entry.name for entry in folder.iterdir()) == [photo.file_name]
    if os.name == "posix":
        assert stat.S_IMODE(copied.stat().st_mode) == 0o600
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    with company.action("Remove") as edit:
        survey.remove_photo(edit, photo_id)
    company.undo()
    assert copied.exists()


@pytest.mark.parametrize(
    ("name", "content", "word"),
    [
        ("notes.txt", b"north wall", "not a picture"),
        ("renamed.jpg", b"MZ" + bytes(200), "not a picture"),
        ("IMG_1.HEIC", b"\x00\x00\x00\x18ftypheic", "Save it as JPEG"),
        ("empty.jpg", b"", "is empty"),
    ],
)
def test_what_is_no_photo_is_refused_by_name(
    company: Company, kept: OneJob, tmp_path: Path, name: str, content: bytes, word: str
) -> None:
    source = tmp_path / name
    source.write_bytes(content)
    with pytest.raises(Refused, match=word) as refused, company.action("Photo") as edit:
        survey.add_photo(edit, kept.job_id, source, photo_folder(company.path), TODAY)
    assert name in refused.value.message
    assert not photo_folder(company.path).exists()


def test_absurd_sizes_folders_and_missing_files_are_refused(company: Company, kept: OneJob, tmp_path: Path) -> None:
    huge = tmp_path / "film.png"
    with huge.open("wb") as file:
        file.truncate(LARGEST_BYTES + 1)
    for source, word in ((huge, "under 40 MB"), (tmp_path, "is a folder"), (tmp_path / "gone.png", "cannot be read")):
        with pytest.raises(Refused, match=word), company.action("Photo") as edit:
            survey.add_photo(edit, kept.job_id, source, photo_folder(company.path), TODAY)
