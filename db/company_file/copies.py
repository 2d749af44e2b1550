"""Save the whole company under another name."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

from db.company_file.company import Company
from db.company_file.connection import connect
from db.company_file.copying import finished_copy, working_in
from db.company_file.elsewhere import begun_in
from db.company_file.examine import full_path
from db.company_file.files import put_without_overwriting
from db.company_file.how_far import Progress, bytes_of, counted, told_nobody
from db.company_file.kept import files_to_keep, put_in_folder
from db.company_file.places import SUFFIX, photo_folder, store_folder
from db.company_file.problems import AlreadyThere


def save_copy(
    company: Company, target: Path | str, *, replace: bool = False, progress: Progress = told_nobody
) -> Path:
    """Write the whole company, with its photos and papers, under another name; the open one stays the open one.

    Photos and papers are in place before the file carries its final name: a copy that is there is whole.

    Args:
        target: the copy's path, in an existing folder.
        replace: write over a file that is there, after the owner agreed.
        progress: told how far it is; what it raises stops it, and nothing of the copy is left.

    Raises:
        AlreadyThere: the target exists and was not to be replaced, or is the company itself or open.
        CompanyProblem: the folder is missing, read-only or full.
    """
    target = full_path(target)
    if target == company.path and target.exists():
        raise AlreadyThere(target, "That is the firm's own file.", "Choose another name for the copy.")
    if target.exists() and not replace:
        raise AlreadyThere(target, f"“{target.name}” is already there.", "Choose another name for the copy.")
    photos = photo_folder(company.path)
    with begun_in(company.path, target.parent), working_in(target.parent, "The copy") as work:
        fresh = work / f"firm{SUFFIX}"
        finished_copy(company.path, fresh, company)
        with closing(connect(fresh, "immutable")) as conn:
            kept = files_to_keep(conn, photos)
        if photo_folder(target) != photos:
            sources = [photos, store_folder(company.path)]
            told = counted(progress, bytes_of(kept, sources))
            put_in_folder(kept, sources, photo_folder(target), work, told=told, take_back=True)
        if target.exists():
            from db.company_file.restoring import put_in_place

            put_in_place(fresh, target)
        else:
            put_without_overwriting(fresh, target)
    return target
