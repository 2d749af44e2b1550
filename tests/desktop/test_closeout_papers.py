"""The closeout pack and the label, read back by another library: text, page boxes, size, and what is missing."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtGui import QColor, QImage

from db import tables
from db.commands.checklist import answer_point
from db.commands.closeout import note_closeout
from db.commands.defects import answer_defect, note_defect
from db.commands.jobs import mark_installed
from db.commands.papers import set_paper_text
from db.commands.survey import add_photo, add_radon_test, caption_photo
from db.commands.takeoff.routes import add_route
from db.company_file.company import Company
from db.photo_folder import photo_folder
from db.queries.closeout import closeout_page
from db.queries.papers import issued_papers, paper_pdf
from desktop.papers.closeout_keeping import keep_label, keep_pack, label_pdf, pack_pdf
from desktop.papers.pictures import small_jpeg
from domain.closeout.handover import LABEL_SIZES
from tests.domain.route_examples import TWO_POINTS
from tests.small_company import TODAY, OneJob, add_one_job, empty_company

FAN_DAY = date(2026, 5, 8)


@pytest.fixture
def company(tmp_path: Path) -> Iterator[Company]:
    made = empty_company(tmp_path / "Heron Hill.riserbook")
    yield made
    made.close()


@pytest.fixture
def kept(company: Company) -> OneJob:
    return add_one_job(company)


def finish(company: Company, job_id: int) -> None:
    """A job with everything on it but photos."""
    with company.read() as conn:
        rows = closeout_page(conn, job_id, TODAY).facts.rows
    with company.action("Finish") as edit:
        mark_installed(edit, job_id, FAN_DAY)
        note_closeout(
            edit, job_id, description="Suction pit under the rear slab,\n- 3 in pipe to a fan in the attic",
            fan="Inline fan <62 W>", fan_watts=Decimal(62), fan_on_minute=600, read_on=FAN_DAY,
            suction=Decimal("1.15"), indicator="U-tube gauge", indicator_place="by the furnace",
            standard="ANSI/AARST SGM-SF 2023", warranty_until=date(2031, 5, 8), level_promised=Decimal(4),
            warranty_text="Fan and workmanship.",
        )  # fmt: skip
        for purpose, result, began, ended in (
            ("before", "11.4", date(2026, 5, 1), date(2026, 5, 4)), ("after", "1.6", date(2026, 5, 9), TODAY),
        ):  # fmt: skip
            add_radon_test(
                edit, job_id, purpose, "continuous monitor", Decimal(result), ended, started_on=began,
                started_minute=660, ended_minute=660, closed_house="yes", placed_by="Ada Quill", serial="CM-7",
                place="family room",
            )  # fmt: skip
        for row in rows:
            note = "none burns fuel" if row.point.key == "draft_before" else ""
            answer = "not_applicable" if note else "ok"
            answer_point(edit, job_id, row.point, answer, TODAY, note=note)
        defect = note_defect(edit, job_id, "Water stood in the run", date(2026, 5, 5), place="crawl space")
        answer_defect(edit, defect, "put_right", FAN_DAY, "hung anew with slope")


def text_of(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(pdf)).pages)


def pack(company: Company, job_id: int) -> bytes:
    with company.read() as conn:
        return pack_pdf(conn, job_id, TODAY, photo_folder(company.path))


def picture(path: Path, width: int = 900, height: int = 600, noisy: bool = False) -> Path:
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(QColor("#8899aa"))
    if noisy:  # the hardest thing to make small
        import random

        noise = random.Random(path.name).randbytes(width * height * 4)
        image = QImage(noise, width, height, QImage.Format.Format_RGB32).copy()
    assert image.save(str(path))
    return path


def test_the_pack_says_what_was_built_tested_checked_and_promised(company: Company, kept: OneJob) -> None:
    finish(company, kept.job_id)
    with company.action("Firm") as edit:
        edit.change(tables.company, 1, licence_number="RM-204", phone="(207) 555-0100", electricity_rate=Decimal("0.2"))
        set_paper_text(edit, "closeout", "welcome", "Our own opening.")
    said = text_of(pack(company, kept.job_id))
    for words in (
        "Our own opening.", "Suction pit under the rear slab", "Inline fan <62 W>", "62 W", "1.15 in. w.c.",
        "U-tube gauge, by the furnace", "ANSI/AARST SGM-SF 2023", "11.4 pCi/L", "1.6 pCi/L", "86.0% lower",
        "The timing meets the rules.", "continuous monitor, no. CM-7", "closed house",
        "0.92 or less, or 1.38 or more", "never radon", "Water stood in the run (crawl space)", "put right on",
        "none burns fuel", "Not applicable", "until Fri, May 9, 2031".replace("Fri, May 9", "Thu, May 8"),
        "below 4.0 pCi/L", "May 14, 2028", "about $109 a year", "8,760 running hours",
        "RM-204", "(207) 555-0100", "epa.gov/radon",
        "licensed electrician", "the authority that applies it",
    ):  # fmt: skip
        assert words in said, words
    assert "Not in this pack" not in said or "photos" not in said.split("Not in this pack")[1]
    assert "the house is safe" not in said.lower()


def test_the_pipe_is_drawn_as_it_was_built(company: Company, kept: OneJob) -> None:
    assert "How the pipe runs" not in text_of(pack(company, kept.job_id))
    with company.action("Routes") as edit:
        add_route(edit, kept.job_id, "found", "", TWO_POINTS.replace("proposed: Two suction points", "found: Old run"))
        add_route(edit, kept.job_id, "proposed", "", TWO_POINTS)
    said = text_of(pack(company, kept.job_id))
    assert "How the pipe runs" in said
    assert "Two suction points" in said
    assert "Old run" not in said


def test_what_is_missing_stands_in_the_pack_and_an_empty_job_makes_one(company: Company, kept: OneJob) -> None:
    said = text_of(pack(company, kept.job_id))
    for words in ("Not in this pack", "a radon test after the work", "No radon test is noted", "not noted",
                  "No radon level is promised", "not handed over yet"):  # fmt: skip
        assert words in said, words


def test_pages_are_letter_or_a4_by_the_firms_units(company: Company, kept: OneJob) -> None:
    def box() -> tuple[float, float]:
        page = PdfReader(BytesIO(pack(company, kept.job_id))).pages[0].mediabox
        return round(float(page.width)), round(float(page.height))

    assert box() == (612, 792)
    with company.action("Metric") as edit:
        edit.change(tables.company, 1, unit_system="metric", radon_unit="Bq/m3")
    finish(company, kept.job_id)
    assert box() == (595, 842)
    assert "Bq/m³" in text_of(pack(company, kept.job_id))


def test_twenty_photos_stay_under_five_megabytes(company: Company, kept: OneJob, tmp_path: Path) -> None:
    folder = photo_folder(company.path)
    with company.action("Photos") as edit:
        for n in range(20):
            path = picture(tmp_path / f"p{n}.png", 1000, 800, noisy=True)
            photo_id = add_photo(edit, kept.job_id, path, folder, TODAY)
            caption_photo(edit, photo_id, f"View {n}")
    pdf = pack(company, kept.job_id)
    assert len(pdf) < 5_000_000
    images = [image for page in PdfReader(BytesIO(pdf)).pages for image in page.images]
    assert len(images) == 20
    assert "View 19" in text_of(pdf)


def test_a_photo_that_is_gone_or_leads_out_is_left_out(company: Company, kept: OneJob, tmp_path: Path) -> None:
    outside = picture(tmp_path / "outside.png")
    folder = photo_folder(company.path)
    with company.action("Photos") as edit:
        first = add_photo(edit, kept.job_id, picture(tmp_path / "a.png", 50, 40), folder, TODAY)
        second = add_photo(edit, kept.job_id, picture(tmp_path / "b.png", 60, 40), folder, TODAY)
        edit.change(tables.photo, first, file_name=f"../{outside.name}")
        edit.change(tables.photo, second, file_name="never-there.png")
    pages = PdfReader(BytesIO(pack(company, kept.job_id))).pages
    assert not [image for page in pages for image in page.images]


def test_a_picture_is_made_small_and_what_is_none_gives_nothing(tmp_path: Path) -> None:
    large = picture(tmp_path / "large.png", 3000, 2000, noisy=True)
    made = small_jpeg(large, 100_000)
    assert made is not None
    assert made.startswith(b"\xff\xd8\xff")
    assert len(made) <= 100_000
    words = tmp_path / "words.jpg"
    words.write_bytes(b"\xff\xd8\xff and then only words")
    assert small_jpeg(words) is None
    assert small_jpeg(tmp_path / "gone.jpg") is None


def test_the_pack_is_kept_as_it_was_handed_over_and_its_photos_with_it(
    company: Company, kept: OneJob, tmp_path: Path
) -> None:
    finish(company, kept.job_id)
    folder = photo_folder(company.path)
    with company.action("Photo") as edit:
        add_photo(edit, kept.job_id, picture(tmp_path / "riser.png"), folder, TODAY, "The riser")
    with company.action("Hand over") as edit:
        paper_id = keep_pack(edit, kept.job_id, TODAY, folder, "Wren Halloway")
    with company.action("Later") as edit:
        note_closeout(edit, kept.job_id, fan="Another fan")
    with company.read() as conn:
        record, pdf = paper_pdf(conn, paper_id)
    said = text_of(pdf)
    assert "Inline fan" in said
    assert "The riser" in said
    assert "Another fan" not in said
    assert "not handed over" not in said
    assert (record.kind, record.sent_to, record.pages) == (
        "closeout", "Wren Halloway", len(PdfReader(BytesIO(pdf)).pages),
    )  # fmt: skip


@pytest.mark.parametrize("size", range(len(LABEL_SIZES)))
def test_the_label_is_printed_at_its_size_with_all_it_must_say(company: Company, kept: OneJob, size: int) -> None:
    finish(company, kept.job_id)
    with company.action("Firm") as edit:
        edit.change(tables.company, 1, licence_number="RM-204", phone="(207) 555-0100")
    with company.read() as conn:
        pdf = label_pdf(conn, kept.job_id, TODAY, size)
    (page,) = PdfReader(BytesIO(pdf)).pages
    _, width, height = LABEL_SIZES[size]
    assert (float(page.mediabox.width), float(page.mediabox.height)) == (width * 72, height * 72)
    said = " ".join(page.extract_text().split())
    for words in ("Radon Reduction System", "Installed May 8, 2026", "U-tube gauge", "call for service", "RM-204",
                  "at least every 2 years", "(207) 555-0100", "Heron Hill Radon", "epa.gov/radon"):  # fmt: skip
        assert words in said, words
    lowest = min(y for y in heights(pdf))
    assert lowest > 0.1 * 72


def heights(pdf: bytes) -> list[float]:
    """Where each line of text stands above the foot of the page."""
    found: list[float] = []

    def note(text: str, _cm: list[float], tm: list[float], *_rest: object) -> None:
        if text.strip():
            found.append(_cm[5] + tm[5])

    PdfReader(BytesIO(pdf)).pages[0].extract_text(visitor_text=note)
    return found


def test_a_long_label_shrinks_its_letters_and_loses_nothing(company: Company, kept: OneJob) -> None:
    finish(company, kept.job_id)
    with company.action("Words") as edit:
        set_paper_text(edit, "label", "call", "Call us when the reading changes. " * 6)
        keep_label(edit, kept.job_id, TODAY)
    with company.read() as conn:
        pdf = label_pdf(conn, kept.job_id, TODAY)
        assert [row.kind for row in issued_papers(conn, job_id=kept.job_id)] == ["label"]
    assert text_of(pdf).count("Call us when the reading changes.") == 6
    assert min(heights(pdf)) > 0.1 * 72
