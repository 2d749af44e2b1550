"""Steps that stand in the pages of a file or its log, read as they lie: also where no table leads to them any more.

File format: sqlite.org/fileformat.html, sections 1.6 (pages), 2.1 (records), 4 (the log).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from db.company_file.places import side_files
from db.company_file.schema_pages import PAGE

Step = tuple[int, str, str]
"""Number, moment and label."""

_LEAF, _LOG_HEAD, _FRAME_HEAD = 13, 32, 24
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d")


def torn_steps(path: Path) -> set[Step]:
    """Every step not undone that stands in a page of the file, or in the last state its log gives that page."""
    pages: dict[int, bytes] = {}
    with suppress(OSError):
        content = path.read_bytes()
        pages = {at // PAGE + 1: content[at : at + PAGE] for at in range(0, len(content) - PAGE + 1, PAGE)}
    with suppress(OSError):
        pages |= _saved_frames(side_files(path)[0].read_bytes())
    return {step for number, page in pages.items() for step in _steps(page, 100 if number == 1 else 0)}


def _saved_frames(log: bytes) -> dict[int, bytes]:
    """Each page as the last saved step in the log left it, without what no step closed or an older round left."""
    salt = log[16:24]
    saved: dict[int, bytes] = {}
    open_step: dict[int, bytes] = {}
    for at in range(_LOG_HEAD, len(log) - _FRAME_HEAD - PAGE + 1, _FRAME_HEAD + PAGE):
        if log[at + 8 : at + 16] != salt:
            break
        open_step[int.from_bytes(log[at : at + 4])] = log[at + _FRAME_HEAD : at + _FRAME_HEAD + PAGE]
        if int.from_bytes(log[at + 4 : at + 8]):
            saved |= open_step
            open_step = {}
    return saved


def _steps(page: bytes, head: int) -> Iterator[Step]:
    if page[head] != _LEAF:
        return
    for place in range(int.from_bytes(page[head + 3 : head + 5])):
        pointer = head + 8 + 2 * place
        with suppress(IndexError, UnicodeDecodeError):
            if (step := _step(page, int.from_bytes(page[pointer : pointer + 2]))) is not None:
                yield step


def _step(page: bytes, at: int) -> Step | None:
    """The cell as a row of the journal's steps: number, moment, label, undone; None when it is none or was undone."""
    size, at = _number(page, at)
    row_id, at = _number(page, at)
    if at + size > PAGE:
        return None
    head_size, kinds_at = _number(page, at)
    kinds: list[int] = []
    while kinds_at < at + head_size and len(kinds) < 8:
        kind, kinds_at = _number(page, kinds_at)
        kinds.append(kind)
    texts = all(kind >= 13 and kind % 2 for kind in kinds[1:3])
    if len(kinds) not in (4, 5) or kinds[0] != 0 or kinds[3] != 8 or not texts:
        return None  # the number is not stored twice, two texts follow, and undone is the constant nought
    begin, middle = at + head_size, at + head_size + (kinds[1] - 13) // 2
    moment, label = page[begin:middle].decode(), page[middle : middle + (kinds[2] - 13) // 2].decode()
    return (row_id, moment, label) if _MOMENT.match(moment) else None


def _number(page: bytes, at: int) -> tuple[int, int]:
    """A number of one to nine bytes, and where the next thing begins (section 1.6, varint)."""
    value = 0
    for turn in range(9):
        byte = page[at + turn]
        if turn == 8:
            return value << 8 | byte, at + 9
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + turn + 1
    raise IndexError(at)
