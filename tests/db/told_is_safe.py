"""What of a program's work a power cut could still undo when it says that it is done: by strace, no content needed.

A file is safe once it was synced after its last write, its name once its folder was synced. POSIX.1-2017, fsync() and
its rationale, from memory. Removals may come back: nothing is lost by that.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

from tests.db.company_files import ROOT

_CALLS = (
    "openat,write,writev,pwrite64,pwritev,sendfile,copy_file_range,ftruncate,fsync,fdatasync,syncfs,"
    "rename,renameat,renameat2,link,linkat,mkdir,mkdirat,unlink,unlinkat,rmdir"
)
_LINE = re.compile(r"^\d+ +(\w+)\((.*)\) += (\d+)", re.ASCII)
_HANDLE = re.compile(r"(\d+)<((?:\\x[0-9a-f]{2})*)>")
_TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')


def _plain(hexed: str) -> str:
    return os.fsdecode(bytes.fromhex(hexed.replace("\\x", "")))


class Watch:
    """Files written since their last sync, and folders whose names changed since theirs."""

    def __init__(self, folder: Path) -> None:
        self._folder = str(folder)
        self._unsynced: set[str] = set()
        self._names: dict[str, str] = {}
        self.found: list[tuple[str, list[str]]] = []

    def see(self, line: str) -> None:
        """One line of strace."""
        match = _LINE.match(line)
        if match is None:
            return
        call, words = match[1], match[2]
        handles = [(int(number), _plain(name)) for number, name in _HANDLE.findall(words)]
        texts = [_plain(text) for text in _TEXT.findall(words)]
        if call == "write" and handles[0][0] == 1:
            self.found.append((texts[0], sorted({*self._unsynced, *self._names})))
            self._unsynced, self._names = set(), {}
        elif call == "openat":
            if "O_CREAT" in words and not Path(texts[-1]).name.endswith("-shm"):
                self._named(texts[-1])
        elif call in ("rename", "renameat", "renameat2"):
            old, new = texts
            self._names.pop(old, None)
            self._unsynced = {new + one[len(old) :] if one.startswith(old) else one for one in self._unsynced}
            self._named(new)
        elif call in ("link", "linkat", "mkdir", "mkdirat"):
            self._named(texts[-1])
        elif call in ("unlink", "unlinkat", "rmdir"):
            self._unsynced.discard(texts[-1])
            self._names.pop(texts[-1], None)
        elif "sync" in call:
            self._unsynced.discard(handles[0][1])
            self._names = {name: folder for name, folder in self._names.items() if folder != handles[0][1]}
        else:
            written = handles[1 if call == "copy_file_range" else 0][1]
            if written.startswith(self._folder) and not written.endswith("-shm"):
                self._unsynced.add(written)

    def _named(self, path: str) -> None:
        if path.startswith(self._folder):
            self._names[path] = str(Path(path).parent)


def not_safe(source: str, folder: Path, tape: Path) -> list[tuple[str, list[str]]]:
    """Run Python text that works in the folder; each line it prints, and what of the folder was not safe by then."""
    subprocess.run(
        ["strace", "-f", "-y", "-xx", "-s", "4096", "-e", f"trace={_CALLS}", "-o", str(tape),
         sys.executable, "-c", source, str(folder)],
        cwd=ROOT, check=True, capture_output=True, env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip
    watch = Watch(folder)
    with open(tape, encoding="ascii") as lines:
        for line in lines:
            watch.see(line)
    return watch.found
