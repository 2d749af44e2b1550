"""Rows as they lie in the pages of a file or its log, also where no table leads to them any more.

File format: sqlite.org/fileformat.html, sections 1.5 (free pages), 1.6 (pages, overflow), 2.1 (records), 4 (the log).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from db.company_file.places import side_files
from db.company_file.schema_pages import PAGE

Value = int | float | str | bytes | None
Pages = Mapping[int, bytes]

_LEAF, _LOG_HEAD, _FRAME_HEAD = 13, 32, 24
_MOST_COLUMNS = 8
_INTEGERS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}
_FLOAT, _NOUGHT, _ONE, _BYTES = 7, 8, 9, 12
_LOCAL_MOST = PAGE - 35
_LOCAL_LEAST = (PAGE - 12) * 32 // 255 - 23


def pages_of(path: Path) -> dict[int, bytes]:
    """Every page by its number, each in the last state the log gives it; empty where nothing can be read."""
    pages: dict[int, bytes] = {}
    with suppress(OSError):
        content = path.read_bytes()
        pages = {at // PAGE + 1: content[at : at + PAGE] for at in range(0, len(content) - PAGE + 1, PAGE)}
    with suppress(OSError):
        pages |= _saved_frames(side_files(path)[0].read_bytes())
    for number in _free_pages(pages):
        pages.pop(number, None)
    return pages


def _free_pages(pages: Pages) -> set[int]:
    """Pages no table has any more: what stands there is of an earlier day, or of before a restore (section 1.5)."""
    free: set[int] = set()
    trunk = int.from_bytes(pages.get(1, b"")[32:36])
    while trunk in pages and trunk not in free:
        page = pages[trunk]
        count = min(int.from_bytes(page[4:8]), PAGE // 4 - 2)
        free |= {trunk, *(int.from_bytes(page[at : at + 4]) for at in range(8, 8 + 4 * count, 4))}
        trunk = int.from_bytes(page[:4])
    return free - {1}


def loose_rows(pages: Pages, fits: Callable[[Sequence[int]], bool]) -> Iterator[tuple[int, list[Value]]]:
    """Number and values of each row in a leaf of any table.

    Args:
        pages: see `pages_of`.
        fits: asked with the kinds of a row's values (section 2.1), whether it is one that is wanted.
    """
    for number, page in pages.items():
        head = 100 if number == 1 else 0
        if page[head] != _LEAF:
            continue
        for place in range(int.from_bytes(page[head + 3 : head + 5])):
            pointer = head + 8 + 2 * place
            with suppress(IndexError, ValueError, KeyError):
                row = _row(pages, page, int.from_bytes(page[pointer : pointer + 2]), fits)
                if row is not None:
                    yield row


def is_whole_number(kind: int) -> bool:
    """Whether a value of this kind is an integer."""
    return 1 <= kind <= 6 or kind in (_NOUGHT, _ONE)


def is_words(kind: int) -> bool:
    """Whether a value of this kind is a text."""
    return kind > _BYTES and kind % 2 == 1


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


def _row(
    pages: Pages, page: bytes, at: int, fits: Callable[[Sequence[int]], bool]
) -> tuple[int, list[Value]] | None:
    size, at = _number(page, at)
    row_id, at = _number(page, at)
    head_size, kinds_at = _number(page, at)
    kinds: list[int] = []
    while kinds_at < at + head_size and len(kinds) <= _MOST_COLUMNS:
        kind, kinds_at = _number(page, kinds_at)
        kinds.append(kind)
    if len(kinds) > _MOST_COLUMNS or not fits(kinds):
        return None
    content = _payload(pages, page, at, size)
    values: list[Value] = []
    place = head_size
    for kind in kinds:
        value, place = _value(content, place, kind)
        values.append(value)
    return row_id, values


def _payload(pages: Pages, page: bytes, at: int, size: int) -> bytes:
    """A row's bytes, those on overflow pages included.

    Raises:
        IndexError: they are not all there.
        KeyError: a page is not there.
    """
    local = size
    if size > _LOCAL_MOST:
        local = _LOCAL_LEAST + (size - _LOCAL_LEAST) % (PAGE - 4)
        local = local if local <= _LOCAL_MOST else _LOCAL_LEAST
    content = page[at : at + local]
    if len(content) < local:
        raise IndexError(at)
    following = int.from_bytes(page[at + local : at + local + 4]) if local < size else 0
    while len(content) < size:
        more = pages[following]
        following = int.from_bytes(more[:4])
        content += more[4 : 4 + size - len(content)]
    return content


def _value(content: bytes, at: int, kind: int) -> tuple[Value, int]:
    if kind == 0:
        return None, at
    if kind in (_NOUGHT, _ONE):
        return kind - _NOUGHT, at
    if kind == _FLOAT:
        return 0.0, at + 8  # none of our tables has one
    end = at + (_INTEGERS[kind] if kind in _INTEGERS else (kind - _BYTES) // 2)
    if end > len(content):
        raise IndexError(at)
    if kind in _INTEGERS:
        return int.from_bytes(content[at:end], signed=True), end
    return (content[at:end].decode() if is_words(kind) else content[at:end]), end


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
