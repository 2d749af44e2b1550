"""The head of every paper a customer gets: logo, firm, what the paper is about, and its title.

    story = [*letterhead(firm, "Invoice", ("Job 26-014",), (("Date", "Nov 25, 2026"),), paper.width, logo), ...]
"""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable, Image

from desktop.papers.paper import Rule, columns, space, text_block
from domain.firm import Firm

LOGO_WIDTH, LOGO_HEIGHT = 150.0, 54.0
"""The box a logo is scaled into, in points, keeping its shape."""

_GAP = 12.0


def letterhead(
    firm: Firm,
    title: str,
    references: Sequence[str],
    facts: Sequence[tuple[str, str]],
    width: float,
    logo: bytes | None = None,
) -> list[Flowable]:
    """The firm at the left, references and named facts at the right, the title beneath.

    Args:
        title: what the paper is, e.g. "Proposal".
        references: lines that name it, e.g. "Job 26-014, version 2".
        facts: named values such as ("Date", "Nov 25, 2026").
        width: of the text, in points (`Paper.width`).
        logo: PNG bytes from `db.queries.logo.logo`; a picture that cannot be read is left out.
    """
    left: list[Flowable] = [text_block(firm.name, "firm")]
    left += [text_block(line, "soft") for line in firm.letterhead_lines]
    right: list[Flowable] = [text_block(line, "right") for line in references]
    right += [text_block(f"{name}: {value}", "right") for name, value in facts]
    picture = logo_image(logo)
    if picture is None:
        head = columns(left, right, widths=(width * 0.62, width * 0.38))
    else:
        room = picture.drawWidth + _GAP
        about = width * 0.3
        head = columns([picture], left, right, widths=(room, width - room - about, about))
    return [head, Rule(8, 12), text_block(title, "title"), space(10)]


def logo_image(logo: bytes | None) -> Image | None:
    """The logo scaled into its box, whatever its shape; None without one that can be read."""
    if not logo:
        return None
    try:
        across, down = ImageReader(BytesIO(logo)).getSize()
    except Exception:  # reportlab wraps whatever its picture reader raised in plain Exceptions
        return None
    if across < 1 or down < 1:
        return None
    scale = min(LOGO_WIDTH / across, LOGO_HEIGHT / down)
    return Image(
        BytesIO(logo), width=max(across * scale, 1), height=max(down * scale, 1), mask="auto", hAlign="LEFT"
    )
