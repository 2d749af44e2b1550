"""An invented firm with about three years of work, kept as readable data and loaded like any other."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path


def write_sample(
    path: Path, jobs: int | None = None, progress: Callable[[int, int], None] | None = None
) -> str:
    """Write a made-up company and return a sentence on what was written.

    The same number gives the same contents. The file appears under its name only when it is whole.

    Args:
        path: where it is to lie; its folder exists, the file does not.
        jobs: how many jobs; None: the sample company as its data files tell it.
        progress: called with (done, of) while it is being written.

    Raises:
        AlreadyThere: a file of that name exists.
        CompanyProblem: the folder is missing or cannot be written, or the disk is full.
    """
    from sample_company.write import write  # loaded only when needed: the fingerprint is asked for at every start

    return write(path, jobs, progress)


__all__ = ["write_sample"]
