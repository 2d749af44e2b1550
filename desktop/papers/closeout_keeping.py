"""Closeout pack and label drawn from the company, to look at or to hand over and keep."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from db.commands.papers import issue_paper
from db.edit import Edit
from db.photo_folder import kept_path
from db.queries.closeout import handover
from db.queries.logo import logo
from domain.closeout.handover import LABEL_SIZES, Handover, label_words
from domain.papers import words_of

if TYPE_CHECKING:
    from domain.job_takeoff.sketch import Sketch


@dataclass(frozen=True, slots=True)
class PackSource:
    """Everything a pack is drawn from, read at once, so that it can be drawn away from the company file."""

    facts: Handover
    sketch: Sketch | None
    logo: bytes | None


def pack_source(conn: Connection, job_id: int, on: date) -> PackSource:
    """Read what the pack is drawn from."""
    from db.queries.sketches import job_sketch_of

    facts = handover(conn, job_id, on)
    return PackSource(facts, job_sketch_of(conn, job_id, facts.job.installed_on or on), logo(conn))


def draw_pack(source: PackSource, on: date, folder: Path, *, draft: bool = True) -> bytes:
    """Draw it; the photos take most of the time.

    Args:
        folder: the company's photo folder; a photo that is not there, or whose stored name leads out, is left out.
    """
    from desktop.papers.closeout_pack import PackPicture, make_closeout_pack
    from desktop.papers.pictures import small_jpegs

    photos = source.facts.photos
    jpegs = small_jpegs([kept_path(folder, photo.file_name) for photo in photos])
    pictures = [PackPicture(jpeg, photo.caption) for jpeg, photo in zip(jpegs, photos, strict=True)]
    return make_closeout_pack(source.facts, on, source.sketch, pictures, source.logo, draft=draft)


def pack_pdf(conn: Connection, job_id: int, on: date, folder: Path, *, draft: bool = True) -> bytes:
    """The pack as it stands now."""
    return draw_pack(pack_source(conn, job_id, on), on, folder, draft=draft)


def label_pdf(conn: Connection, job_id: int, on: date, size: int = 0) -> bytes:
    """The system label; `size` is a place in `domain.closeout.handover.LABEL_SIZES`."""
    from desktop.papers.label import make_label

    facts = handover(conn, job_id, on)
    _, width, height = LABEL_SIZES[size]
    return make_label(label_words(facts, words_of("label", "call", facts.texts)), width, height)


def keep_pack(edit: Edit, job_id: int, on: date, folder: Path, sent_to: str = "") -> int:
    """Hand the closeout pack over: draw it and keep it as issued, for good; return the paper's id."""
    edit.make_final()
    pdf = pack_pdf(edit.conn, job_id, on, folder, draft=False)
    return _keep(edit, "closeout", "Closeout pack", job_id, pdf, on, sent_to)


def keep_label(edit: Edit, job_id: int, on: date, size: int = 0) -> int:
    """Keep the label as it was printed, for good; return the paper's id."""
    edit.make_final()
    return _keep(edit, "label", f"System label {LABEL_SIZES[size][0]}", job_id, label_pdf(edit.conn, job_id, on, size),
                 on, "")  # fmt: skip


def _keep(edit: Edit, kind: str, title: str, job_id: int, pdf: bytes, on: date, sent_to: str) -> int:
    from desktop.papers.keeping import page_count

    facts = handover(edit.conn, job_id, on)
    return issue_paper(
        edit, kind, pdf, on, title=f"{title}, job {facts.job.number}", pages=page_count(pdf), sent_to=sent_to,
        customer_id=facts.customer.id, job_id=job_id,
    )  # fmt: skip
