"""Reports, bills and other papers of others: copied in beside the photos, and taken off again."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from sqlalchemy import select

from db.edit import Edit
from db.photo_folder import keep_paper, plain_name
from db.records import fetch_one
from db.tables import attachment, radon_test
from domain.closeout.records import Attachment


def add_attachment(edit: Edit, source: Path, folder: Path, on: date, prefix: str = "paper") -> int:
    """Copy a PDF or picture into the company's own folder under a name of our own; return the attachment's id.

    The original is left alone; the same paper is kept once, and its id given again. Undo takes the attachment away
    but leaves the copy, so that redo finds it.

    Args:
        folder: as `db.photo_folder.photo_folder` names it.
        prefix: how the copy's name begins, e.g. the job's number.

    Raises:
        Refused: neither PDF nor picture, empty, over 40 MB, or it cannot be read or copied.
    """
    kept = keep_paper(source, folder, f"paper-{prefix}" if prefix != "paper" else prefix)
    there = edit.conn.execute(select(attachment.c.id).where(attachment.c.file_name == kept.name)).scalar()
    if there is not None:
        return int(there)
    return edit.add(
        attachment, file_name=kept.name, original_name=plain_name(source), sha256=kept.sha256, size=kept.size,
        added_on=on,
    )  # fmt: skip


def attach_report(edit: Edit, test_id: int, source: Path, folder: Path, on: date) -> int:
    """Copy a laboratory's report in and put it to a radon test; return the attachment's id."""
    attachment_id = add_attachment(edit, source, folder, on)
    edit.change(radon_test, test_id, attachment_id=attachment_id)
    return attachment_id


def detach_report(edit: Edit, test_id: int) -> None:
    """Take the report off a radon test; the copy stays in the folder, so that undo brings it back."""
    edit.change(radon_test, test_id, attachment_id=None)


def attachment_of(edit: Edit, attachment_id: int) -> Attachment:
    """An attachment. Raises LookupError when there is none."""
    return fetch_one(edit.conn, Attachment, attachment, attachment_id)
