"""One file that holds a whole backup: the list of what is in it, the company file, its photos and papers.

It is a tar file (POSIX.1-2001 "pax" interchange format), so any tar program can open it should this one be gone; with
a password the same tar lies inside a sealed stream. The list comes first: what a backup holds is known without reading
gigabytes of photos. Nothing is ever unpacked by a name the file gives: only what the list names, by names of our own.
"""

from __future__ import annotations

import hashlib
import json
import tarfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from db.company_file.problems import CompanyProblem, Missing, NotOurs
from db.company_file.sealed import CutShort, UnsealingStream, WrongPassword, is_sealed

LIST_NAME = "contents.json"
FORMAT = 1
_LARGEST_LIST = 64 << 20
_BLOCK = 1 << 20

Progress = Callable[[int, int], None]


class NeedsPassword(CompanyProblem):
    """The backup is under a password, and none or the wrong one was given."""


class BrokenBackup(CompanyProblem):
    """The backup is cut short or was changed since it was written."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One file inside: its name, its bytes' SHA-256, how many they are."""

    name: str
    sha256: str
    size: int


@dataclass(frozen=True, slots=True)
class Contents:
    """What a backup holds.

    Attributes:
        made_at: local time, ISO 8601.
        firm_file: the name of the company file when it was backed up.
        database: the company file itself.
        papers: photos, reports, bills.
        missing: names of photos and papers that could not be found.
        holdings: see `holdings.Holdings.stored`.
        journal: see `table_sums.state_of_journal`.
        sums: of each table.
    """

    made_at: str
    firm_file: str
    database: Piece
    papers: tuple[Piece, ...]
    missing: tuple[str, ...]
    holdings: dict[str, Any]
    journal: str
    sums: dict[str, str]

    @property
    def size(self) -> int:
        """Bytes of everything inside."""
        return self.database.size + sum(paper.size for paper in self.papers)


class TornPiece(Exception):
    """A file that was to be written changed while it was read."""


def write_container(
    out: IO[bytes], contents: Contents, sources: Sequence[tuple[Piece, Path]], told: Callable[[int], None]
) -> None:
    """Write everything to a stream.

    Args:
        sources: the pieces and where they lie: the company file first, then the papers as the list names them.
        told: called with the number of bytes of each block.

    Raises:
        TornPiece: a source is not what the list says.
        OSError: the disk is full.
    """
    listed = json.dumps(_stored(contents), indent=1).encode()
    with tarfile.open(fileobj=out, mode="w|", format=tarfile.PAX_FORMAT) as tar:
        import io

        tar.addfile(_head(LIST_NAME, len(listed)), io.BytesIO(listed))
        for piece, path in sources:
            with path.open("rb") as file:
                reader = _Counting(file, told)
                try:
                    tar.addfile(_head(_inside(contents, piece), piece.size), reader)
                except OSError as error:
                    if reader.count < piece.size and "unexpected end" in str(error):
                        raise TornPiece(piece.name) from error
                    raise
            if reader.digest.hexdigest() != piece.sha256:
                raise TornPiece(piece.name)


class Container:
    """A backup that is being read: its list is known, its files can be read once, in their order."""

    def __init__(self, path: Path, tar: tarfile.TarFile, contents: Contents, finish: Callable[[], None]) -> None:
        self.path, self.contents = path, contents
        self._tar, self._finish = tar, finish

    def read(
        self,
        place_of: Callable[[Piece], Path | None],
        told: Callable[[int], None] = lambda _n: None,
        *,
        papers: bool = True,
    ) -> None:
        """Read every file, compare it with its sum, and write those that are wanted.

        Args:
            papers: False: stop after the company file, which comes first.
            place_of: where a piece is to be written, a file that does not exist yet; None: only compare it.
            told: called with the number of bytes of each block.

        Raises:
            BrokenBackup: something is missing or changed; what was written must not be used.
            OSError: a file could not be written.
        """
        from db.company_file.files import make_private

        with _plainly(self.path):
            for piece in (self.contents.database, *(self.contents.papers if papers else ())):
                member = self._tar.next()
                if member is None or not member.isfile() or member.size != piece.size:
                    raise _broken(self.path, piece.name)
                if member.name != _inside(self.contents, piece):
                    raise _broken(self.path, piece.name)
                source = self._tar.extractfile(member)
                if source is None:
                    raise _broken(self.path, piece.name)
                place = place_of(piece)
                if place is not None:
                    make_private(place)
                if _copy(source, place, told) != piece.sha256:
                    raise _broken(self.path, piece.name)
            if papers:
                if self._tar.next() is not None:
                    raise _broken(self.path)
                self._finish()


@contextmanager
def open_container(path: Path, password: str | None = None) -> Iterator[Container]:
    """Open a backup and read its list.

    Raises:
        NeedsPassword: it is under a password, and this is not it.
        NotOurs: it is no backup of this program.
        BrokenBackup: it is cut short or changed.
        Missing: there is no such file.
    """
    try:
        file = path.open("rb")
    except OSError as error:
        raise Missing(path, f"“{path.name}” cannot be read.", "Check that its drive is connected.") from error
    with file, _plainly(path):
        stream: IO[bytes] = file
        sealed: UnsealingStream | None = None
        if is_sealed(file.read(64)):
            if not password:
                raise NeedsPassword(path, f"“{path.name}” is under a password.", "Give the password it was made with.")
            file.seek(0)
            sealed = UnsealingStream(file, password)
            stream = sealed  # type: ignore[assignment]
        else:
            file.seek(0)
        with tarfile.open(fileobj=stream, mode="r|") as tar:
            contents = _read_list(path, tar)
            yield Container(path, tar, contents, sealed.drain if sealed is not None else lambda: None)


def is_container(path: Path) -> bool:
    """True when the file begins as a backup of ours does, sealed or not; False also when it cannot be read."""
    try:
        if not path.is_file():  # a pipe would wait for ever
            return False
        with path.open("rb") as file:
            beginning = file.read(512)
    except OSError:
        return False
    return is_sealed(beginning) or (beginning[257:262] == b"ustar" and beginning.startswith(LIST_NAME.encode() + b"\0"))


def is_under_password(path: Path) -> bool:
    """True when the backup cannot be read without a password."""
    try:
        if not path.is_file():
            return False
        with path.open("rb") as file:
            return is_sealed(file.read(64))
    except OSError:
        return False


def verify_container(path: Path, password: str | None, told: Callable[[int], None] = lambda _n: None) -> Contents:
    """Read a backup again from end to end and compare every sum; return what it holds.

    Raises:
        CompanyProblem: as `open_container` and `Container.read`.
    """
    with open_container(path, password) as container:
        container.read(lambda _piece: None, told)
        return container.contents


@contextmanager
def _plainly(path: Path) -> Iterator[None]:
    try:
        yield
    except WrongPassword as error:
        raise NeedsPassword(
            path, f"That is not the password of “{path.name}”.",
            "Try again: capital letters count. Without the right password nobody can open it.",
        ) from error  # fmt: skip
    except (CutShort, tarfile.TarError, EOFError, ValueError, OverflowError) as error:
        raise _broken(path) from error


def _broken(path: Path, piece: str = "") -> BrokenBackup:
    where = f", at “{piece}”" if piece else ""
    return BrokenBackup(
        path,
        f"“{path.name}” is not whole: it was cut short or changed since it was written{where}.",
        "Copy it again from where it was made, or use another backup. Nothing was changed here.",
    )


def _read_list(path: Path, tar: tarfile.TarFile) -> Contents:
    member = tar.next()
    if member is None or member.name != LIST_NAME or not member.isfile() or member.size > _LARGEST_LIST:
        raise NotOurs(path, f"“{path.name}” is no backup of Riserbook.", "Choose a file that ends in .riserbackup.")
    source = tar.extractfile(member)
    if source is None:
        raise _broken(path, LIST_NAME)
    try:
        return _understood(json.loads(source.read()), path)
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise _broken(path, LIST_NAME) from error


def _understood(kept: dict[str, Any], path: Path) -> Contents:
    if int(kept["format"]) > FORMAT:
        raise NotOurs(
            path, f"“{path.name}” was made by a newer version of Riserbook.", "Install the newest version first."
        )
    firm_file = str(kept["firm_file"]).replace("\\", "/").rsplit("/", 1)[-1].strip() or "Firm.riserbook"
    return Contents(
        made_at=str(kept["made_at"]), firm_file=firm_file, database=_piece(kept["database"]),
        papers=tuple(_piece(one) for one in kept["papers"]), missing=tuple(str(one) for one in kept["missing"]),
        holdings=_holdings(kept["holdings"]), journal=str(kept["journal"]),
        sums={str(table): str(found) for table, found in kept["sums"].items()},
    )  # fmt: skip


def _holdings(kept: dict[str, Any]) -> dict[str, Any]:
    words = {name: str(kept[name]) for name in ("firm", "last_step", "last_at")}
    return {**words, **{name: int(kept[name]) for name in ("steps", "jobs", "customers")}}


def _piece(kept: dict[str, Any]) -> Piece:
    return Piece(str(kept["name"]), str(kept["sha256"]), int(kept["size"]))


def _stored(contents: Contents) -> dict[str, Any]:
    def stored(piece: Piece) -> dict[str, Any]:
        return {"name": piece.name, "sha256": piece.sha256, "size": piece.size}

    return {
        "what": "a whole backup of a firm, by Riserbook", "format": FORMAT, "made_at": contents.made_at,
        "firm_file": contents.firm_file, "holdings": contents.holdings, "database": stored(contents.database),
        "papers": [stored(piece) for piece in contents.papers], "missing": list(contents.missing),
        "journal": contents.journal, "sums": contents.sums,
    }  # fmt: skip


def _inside(contents: Contents, piece: Piece) -> str:
    if piece is contents.database or piece == contents.database:
        return contents.firm_file
    return f"{Path(contents.firm_file).stem} photos/{piece.name}"


def _head(name: str, size: int) -> tarfile.TarInfo:
    head = tarfile.TarInfo(name)
    head.size, head.mode = size, 0o600
    return head


def _copy(source: IO[bytes], place: Path | None, told: Callable[[int], None]) -> str:
    import os

    digest = hashlib.sha256()
    out = place.open("wb") if place is not None else None
    try:
        while block := source.read(_BLOCK):
            digest.update(block)
            told(len(block))
            if out is not None:
                out.write(block)
        if out is not None:
            out.flush()
            os.fsync(out.fileno())
    finally:
        if out is not None:
            out.close()
    return digest.hexdigest()


class _Counting:
    """Reads a file, sums what was read and tells how much."""

    def __init__(self, file: IO[bytes], told: Callable[[int], None]) -> None:
        self._file, self._told = file, told
        self.digest = hashlib.sha256()
        self.count = 0

    def read(self, size: int = -1) -> bytes:
        block = self._file.read(size)
        self.digest.update(block)
        self.count += len(block)
        self._told(len(block))
        return block
