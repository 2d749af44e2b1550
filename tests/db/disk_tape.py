"""Every write, sync, naming and removal a program asks of the disk, taken down by strace, and what a power cut leaves.

The model: a file's bytes are safe once the file was synced (fsync, fdatasync); of what was written since, each sector
may be there or not, in any order, and a file that grew may have kept its old length. A name made or removed is safe
once its folder was synced; until then it may be or not be. POSIX.1-2017, fsync() and its rationale, from memory.
"""

from __future__ import annotations

import os
import random
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from tests.db.company_files import ROOT

SECTOR = 512
CALLS = "openat,pwrite64,write,ftruncate,fsync,fdatasync,unlink"
_CALL = re.compile(r"^\d+ +(\w+)\((.*)\) += (-?\d+)", re.ASCII)
_TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')
_HANDLE = re.compile(r"^(\d+)<((?:\\x[0-9a-f]{2})*)>")


class Touch(NamedTuple):
    """One call: what was asked, of which file, and with what."""

    call: str
    path: str
    content: bytes = b""
    at: int = 0


def _plain(hexed: str) -> bytes:
    return bytes.fromhex(hexed.replace("\\x", ""))


def taken_down(source: str, path: Path, tape: Path) -> list[Touch]:
    """Run Python text that works on the path, and every touch of the disk that came of it."""
    subprocess.run(
        ["strace", "-f", "-y", "-xx", "-s", "70000", "-e", f"trace={CALLS}", "-o", str(tape),
         sys.executable, "-c", source, str(path)],
        cwd=ROOT, check=True, capture_output=True, env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    with open(tape, encoding="ascii") as lines:
        return [touch for line in lines if (touch := _touch(line)) is not None]


def _touch(line: str) -> Touch | None:
    match = _CALL.match(line)
    if match is None or match[3].startswith("-"):
        return None
    call, words = match[1], match[2]
    texts = [_plain(text) for text in _TEXT.findall(words)]
    handle = _HANDLE.match(words)
    name = _plain(handle[2]).decode() if handle else os.fsdecode(texts[0])
    if call == "openat":
        return Touch("make", os.fsdecode(texts[0])) if "O_CREAT" in words else None
    if call == "write":
        return Touch("told", name, texts[0]) if handle and handle[1] == "1" else None
    if call == "pwrite64":
        return Touch("write", name, texts[0], int(words.rsplit(", ", 1)[1]))
    if call == "ftruncate":
        return Touch("cut", name, at=int(words.rsplit(", ", 1)[1]))
    return Touch("sync" if "sync" in call else "remove", name)


@dataclass
class OnDisk:
    """One file's bytes: those that are safe, and what was asked since."""

    safe: bytes = b""
    since: list[Touch] = field(default_factory=list)

    def ask(self, touch: Touch) -> None:
        self.since.append(touch)

    def sync(self) -> None:
        self.safe, self.since = self.now(), []

    def now(self) -> bytes:
        """All that was asked is done."""
        return _done(self.safe, self.since)

    def after_a_cut(self, luck: random.Random) -> bytes:
        """Of what was asked since, some sectors of some writes are there."""
        kept = list[Touch]()
        most = luck.choice([0.05, 0.5, 0.95])
        for touch in self.since:
            if touch.call == "cut":
                kept += [touch] if luck.random() < most else []
                continue
            begin = touch.at
            while begin < touch.at + len(touch.content):
                end = min((begin // SECTOR + 1) * SECTOR, touch.at + len(touch.content))
                if luck.random() < most:
                    kept.append(Touch("write", touch.path, touch.content[begin - touch.at : end - touch.at], begin))
                begin = end
        return _done(self.safe, kept)


def _done(content: bytes, touches: list[Touch]) -> bytes:
    made = bytearray(content)
    for touch in touches:
        if touch.call == "cut":
            made = made[: touch.at] + bytes(max(touch.at - len(made), 0))
        else:
            made += bytes(max(touch.at - len(made), 0))
            made[touch.at : touch.at + len(touch.content)] = touch.content
    return bytes(made)


class Disk:
    """The files of one folder as the tape goes by."""

    def __init__(self, path: Path) -> None:
        self._folder = str(path.parent)
        self._watched = {str(path), f"{path}-wal", f"{path}-journal"}
        self.names: dict[str, OnDisk] = {str(path): OnDisk(path.read_bytes())}
        self._safe_names = dict(self.names)
        self.told = 0

    def play(self, tape: list[Touch]) -> Iterator[Touch]:
        """Do each touch in turn; yields those after which a cut may leave something new."""
        for touch in tape:
            if touch.call == "told":
                self.told = int(touch.content)
            elif touch.call == "sync" and touch.path == self._folder:
                self._safe_names = dict(self.names)
            elif touch.path not in self._watched:
                continue
            elif touch.call == "make":
                self.names.setdefault(touch.path, OnDisk())
            elif touch.call == "remove":
                self.names.pop(touch.path, None)
            elif touch.call == "sync":
                self.names[touch.path].sync()
            else:
                self.names[touch.path].ask(touch)
            yield touch

    def after_a_cut(self, luck: random.Random) -> dict[str, bytes]:
        """Names and contents as the next start may find them."""
        found = {}
        for name in sorted(self._watched):
            one = luck.choice([self.names.get(name), self._safe_names.get(name)])
            if one is not None:
                found[Path(name).name] = one.after_a_cut(luck)
        return found
