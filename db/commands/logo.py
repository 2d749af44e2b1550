"""The firm's picture on its papers: kept inside the company file, changed, taken away."""

from __future__ import annotations

import hashlib

from sqlalchemy import insert, select

from db.company_file.problems import Refused
from db.edit import Edit
from db.tables import company, logo_file

_PNG = b"\x89PNG\r\n\x1a\n"  # W3C PNG specification, section 5.2; from memory


def set_logo(edit: Edit, picture: bytes) -> None:
    """Print this picture at the head of every paper made from now on; papers already issued stay as they are.

    Args:
        picture: PNG bytes, as `desktop.logo.read_logo` makes them of any file.

    Raises:
        Refused: the bytes are no PNG.
    """
    if not picture.startswith(_PNG):
        raise Refused("That is not a picture this program can print.", "Choose a PNG or JPEG file.")
    digest = hashlib.sha256(picture).hexdigest()
    if edit.conn.execute(select(logo_file.c.id).where(logo_file.c.sha256 == digest)).first() is None:
        # Outside the journal, which keeps text: it is found again by its sum, whatever is undone or done again.
        edit.conn.execute(insert(logo_file).values(sha256=digest, picture=picture))
    edit.change(company, 1, logo_sha256=digest)


def remove_logo(edit: Edit) -> None:
    """Print no picture from now on. The bytes stay, so that undo finds them."""
    edit.change(company, 1, logo_sha256="")
