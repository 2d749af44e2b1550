"""A small file of every released version of the tables, kept as it was made, and how each was made.

`python -m tests.db.old_files.make` adds the file of a version that has none yet; an old one is never made again.
"""

from __future__ import annotations

import lzma
from pathlib import Path

FOLDER = Path(__file__).resolve().parent


def kept() -> dict[str, Path]:
    """The kept file of each version, by its revision."""
    return {path.name.partition(".")[0]: path for path in sorted(FOLDER.glob("*.riserbook.xz"))}


def unpacked(revision: str, folder: Path) -> Path:
    """A copy of the kept file of a version, to be worked on."""
    path = folder / f"Firm of {revision}.riserbook"
    path.write_bytes(lzma.decompress(kept()[revision].read_bytes()))
    path.chmod(0o600)
    return path
