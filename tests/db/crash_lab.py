"""The crash laboratory: files as a crash leaves them, steps that were acknowledged, and a tally that may lose none."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

from db.company_file import open_company, open_for_reading
from db.company_file.places import side_files
from db.tables import contact, customer
from tests.db.company_files import TODAY, company_file

PAGE = 4096


@dataclass
class Tally:
    """What a campaign tried and found; printed, and a failure above zero lost or zero wrong answers."""

    name: str
    tried: int = 0
    survived: int = 0
    lost: int = 0
    wrong: list[str] = field(default_factory=list)

    def count(self, expected: int, found: int, where: str = "") -> None:
        """One case: so many steps were acknowledged, so many are there now."""
        self.tried += 1
        if found >= expected:
            self.survived += 1
        else:
            self.lost += expected - found
            self.wrong.append(f"{where}: {expected} acknowledged, {found} found")

    def close(self) -> None:
        """Print the figures and fail when anything was lost or answered wrongly."""
        print(f"\n{self.name}: tried {self.tried}, survived {self.survived}, lost {self.lost}, wrong {len(self.wrong)}")
        assert not self.wrong, self.wrong[:5]
        assert self.lost == 0
        assert self.tried > 0


def steps_in(path: Path) -> int:
    """Steps of the laboratory in a file, read the way the command line reads."""
    with open_for_reading(path) as reader, reader.read() as conn:
        return int(conn.exec_driver_sql("SELECT count(*) FROM customer").scalar_one())


def one_step(company: object, number: int) -> None:
    """One acknowledged step: a customer with some telephones, all or nothing."""
    with company.action(f"Add customer {number}") as edit:  # type: ignore[attr-defined]
        one = edit.add(customer, kind="person", name=f"Customer {number}", created_on=TODAY)
        edit.add_many(contact, [{"customer_id": one, "kind": "phone", "value": str(i)} for i in range(8)])


def at_work(folder: Path, steps: int) -> Iterator[tuple[Path, int]]:
    """A company at work: after each step its path and how many steps were acknowledged, the file still open."""
    path = company_file(folder)
    with open_company(path, backup=False) as company:
        for number in range(1, steps + 1):
            one_step(company, number)
            yield path, number


def crashed_copy(path: Path, folder: Path) -> Path:
    """File and log as they lie now, without the index of the log, which a restart makes anew."""
    folder.mkdir(parents=True, exist_ok=True)
    wal, _, journal = side_files(path)
    for piece in (path, wal, journal):
        if piece.exists():
            shutil.copy2(piece, folder / piece.name)
    return folder / path.name


def frames(log: bytes) -> list[tuple[int, bytes]]:
    """Page number and content of each frame of a log: sqlite.org/fileformat.html, section 4.1."""
    size = int.from_bytes(log[8:12])
    found, at = [], 32
    while at + 24 + size <= len(log):
        found.append((int.from_bytes(log[at : at + 4]), log[at + 24 : at + 24 + size]))
        at += 24 + size
    return found


def write_back(path: Path, pages: list[tuple[int, bytes]]) -> None:
    """Put some pages of the log into the file, as a checkpoint that did not come to its end."""
    with open(path, "r+b") as file:
        for number, content in pages:
            file.seek((number - 1) * len(content))
            file.write(content)


def newest_pages(path: Path) -> list[tuple[int, bytes]]:
    """Each page's last content in the log, the order in which a checkpoint writes them: by page number."""
    return sorted(dict(frames(side_files(path)[0].read_bytes())).items())


def sqlite_finds_it_sound(path: Path) -> bool:
    """SQLite's own word, on a copy of file and log."""
    with closing(sqlite3.connect(path)) as conn:
        return conn.execute("PRAGMA integrity_check").fetchone() == ("ok",)
