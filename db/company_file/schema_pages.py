"""The pages of a file in which its list of tables stands, so that a torn list can be taken from a sound copy.

A backup is made page by page, so in it every table begins where it begins in the file. File format:
sqlite.org/fileformat.html, sections 1.3 (header), 1.6 (tree pages) and 2.6 (the list of tables on page 1).
"""

from __future__ import annotations

from pathlib import Path

from db.company_file.connection import APPLICATION_ID
from db.company_file.header import MAGIC

PAGE = 4096
_INTERIOR, _LEAF = 5, 13


def mend_header(content: bytearray, *, with_log: bool) -> None:
    """Put into the first hundred bytes what is the same in every company file of ours, and the true size.

    Args:
        content: the whole file, changed in place; at least one page.
        with_log: a log lies beside it.
    """
    if not content.startswith(MAGIC):
        content[0:100] = bytes(100)  # none of it is to be believed: a free list or a mode of its own would mislead
    content[0:16] = MAGIC
    content[16:18] = PAGE.to_bytes(2)
    if with_log or content[18] not in (1, 2) or content[18] != content[19]:
        content[18:20] = b"\x02\x02" if with_log else b"\x01\x01"
    content[20:24] = bytes((0, 64, 32, 32))
    content[28:32] = (len(content) // PAGE).to_bytes(4)
    content[44:48] = (4).to_bytes(4)
    content[56:60] = (1).to_bytes(4)
    content[68:72] = APPLICATION_ID.to_bytes(4)
    content[92:96] = content[24:28]  # says that the size above is to be believed


def take_table_list(content: bytearray, sound: Path) -> None:
    """Put the pages of a sound copy's list of tables over those of a torn file, in place.

    Raises:
        OSError: the copy cannot be read.
    """
    whole = sound.read_bytes()
    for number in _list_pages(whole):
        begin, end = (number - 1) * PAGE, number * PAGE
        if end > len(content):
            content.extend(bytes(end - len(content)))
        content[begin:end] = whole[begin:end]


def has_rows(content: bytes | bytearray) -> bool:
    """Whether any page but the first looks like one of a table's tree with cells in it (section 1.6)."""
    for begin in range(PAGE, len(content) - PAGE + 1, PAGE):
        cells, cells_at = (int.from_bytes(content[begin + at : begin + at + 2]) for at in (3, 5))
        if content[begin] in (_INTERIOR, _LEAF) and cells and 8 + 2 * cells <= cells_at <= PAGE:
            return True
    return False


def _list_pages(whole: bytes) -> list[int]:
    """Numbers of the pages of the list's tree, from its root on page 1."""
    found: list[int] = []
    waiting = [1]
    while waiting:
        number = waiting.pop()
        begin = (number - 1) * PAGE
        page = whole[begin : begin + PAGE]
        if number in found or len(page) < PAGE:
            continue
        head = 100 if number == 1 else 0
        if page[head] not in (_INTERIOR, _LEAF):
            continue
        found.append(number)
        if page[head] == _INTERIOR:
            cells = int.from_bytes(page[head + 3 : head + 5])
            waiting.append(int.from_bytes(page[head + 8 : head + 12]))
            for place in range(cells):
                at = int.from_bytes(page[head + 12 + 2 * place : head + 14 + 2 * place])
                waiting.append(int.from_bytes(page[at : at + 4]))
    return found
