"""The head of papers: a logo of any shape fits its box, and one that is no picture is left out."""

from __future__ import annotations

from io import BytesIO

import pytest
from PIL import Image as Picture

from desktop.papers.letterhead import LOGO_HEIGHT, LOGO_WIDTH, logo_image


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
