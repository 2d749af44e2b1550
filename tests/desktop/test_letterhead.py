"""The head of papers: a logo of any shape fits its box, and one that is no picture is left out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image as Picture
from pytestqt.qtbot import QtBot

from db.company_file.company import Company
from db.company_file.problems import Refused
from db.queries.logo import logo
from desktop.desk import Desk
from desktop.logo import LARGEST_BYTES, read_logo
from desktop.pages.company.logo_card import LogoCard
from desktop.papers.letterhead import LOGO_HEIGHT, LOGO_WIDTH, logo_image
from tests.small_company import empty_company


@pytest.fixture
def company() -> Iterator[Company]:
    made = empty_company()
    yield made
    made.close()


def png(across: int, down: int) -> bytes:
    target = BytesIO()
    Picture.new("RGBA", (across, down), (20, 90, 60, 200)).save(target, "PNG")
    return target.getvalue()


@pytest.mark.parametrize(("across", "down"), [(1200, 40), (40, 1200), (300, 300), (1, 1), (3, 2000)])
def test_a_logo_of_any_shape_is_scaled_into_its_box_and_keeps_its_shape(across: int, down: int) -> None:
    image = logo_image(png(across, down))
    assert image is not None
    assert image.drawWidth <= LOGO_WIDTH + 0.01
    assert image.drawHeight <= LOGO_HEIGHT + 0.01
    if min(image.drawWidth, image.drawHeight) > 1:
        assert image.drawWidth / image.drawHeight == pytest.approx(across / down)


def test_bytes_that_are_no_picture_leave_the_paper_without_one() -> None:
    assert logo_image(b"\x89PNG\r\n\x1a\nnothing of a picture") is None
    assert logo_image(None) is None


def test_a_logo_is_kept_in_the_company_shown_and_printed(qtbot: QtBot, company: Company, tmp_path: Path) -> None:
    del qtbot
    source = tmp_path / "mark.jpg"
    Picture.new("RGB", (3000, 200), (20, 90, 60)).save(source)
    desk = Desk(company, today=lambda: date(2026, 11, 25))
    card = LogoCard(desk)
    card.take(source)
    source.unlink()
    with company.read() as conn:
        kept = logo(conn)
        assert kept is not None
        assert kept.startswith(b"\x89PNG")
        assert Picture.open(BytesIO(kept)).width <= 900
        card.show_logo(kept)
    assert card.picture.pixmap().width() > 0
    company.undo()
    with company.read() as conn:
        assert logo(conn) is None
    company.redo()
    with company.read() as conn:
        assert logo(conn) == kept


@pytest.mark.parametrize("content", [b"<svg/>", b"GIF89a", b"", b"\x89PNG\r\n\x1a\ncut"])
def test_what_is_no_picture_is_refused_and_the_old_logo_stays(
    qtbot: QtBot, company: Company, tmp_path: Path, content: bytes
) -> None:
    del qtbot
    source = tmp_path / "mark.png"
    source.write_bytes(content)
    card = LogoCard(Desk(company, today=lambda: date(2026, 11, 25)))
    card.take(source)
    assert "mark.png" in card.refused.text()
    with company.read() as conn:
        assert logo(conn) is None


def test_a_file_over_20_mb_is_refused(tmp_path: Path) -> None:
    source = tmp_path / "huge.png"
    with source.open("wb") as file:
        file.truncate(LARGEST_BYTES + 1)
    with pytest.raises(Refused, match=r"20 MB"):
        read_logo(source)
