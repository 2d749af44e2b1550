"""Keeps Python 3.10 and 3.11 alive beside PySide6 6.12.0, which gives away one reference to None per call.

Seen here, not published: with PySide6 6.12.0 on CPython 3.11, `sys.getrefcount(None)` falls by one with every Qt call
that returns nothing; after some thousand calls the interpreter ends with "none_dealloc: deallocating None". PySide6
6.11.2 on 3.11 and 6.12.0 on 3.12, where None is immortal, do not show it. The guard gives None more references than
any session can use up; it does nothing from 3.12 on.
"""

from __future__ import annotations

import sys

_ENOUGH = 1 << 40


def keep_none() -> None:
    """Give None a trillion references of its own, once, on CPython before 3.12."""
    if sys.version_info >= (3, 12) or sys.implementation.name != "cpython" or sys.getrefcount(None) > _ENOUGH // 2:
        return
    import ctypes

    ctypes.c_ssize_t.from_address(id(None)).value += _ENOUGH  # an object begins with its reference count
