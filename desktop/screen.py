"""Is there a screen that answers, and can Qt draw on it? Asked before Qt is, which would end the program instead."""

from __future__ import annotations

import ctypes
import os
import sys
import threading
from collections.abc import Callable
from pathlib import Path

from desktop.system_libraries import how_to_install, missing_for, plugin_file, ways_there_are

PATIENCE_S = 8.0
"""So long a screen may take to answer; one across a network takes a second or two."""
_ON_THE_SYSTEM = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
_WITHOUT = "riserbook --help lists what works without a screen."


def there() -> bool:
    """False on a Linux without a display server, unless Qt was told to draw without one."""
    if not sys.platform.startswith("linux"):
        return True
    return any(os.environ.get(name) for name in _ON_THE_SYSTEM)


def draw_without_a_screen() -> None:
    """Let Qt draw into memory; pictures look the same with and without a display."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"


def why_no_window() -> str | None:
    """One line on what keeps the window from opening and what to do; None when it can open.

    Where the first screen does not answer and a second does (a session with both kinds), Qt is told to take that.
    """
    if not sys.platform.startswith("linux"):
        return None
    troubles: list[str] = []
    for way in _ways():
        trouble = _trouble_with(way)
        if trouble is None:
            if troubles:
                os.environ["QT_QPA_PLATFORM"] = way
            return None
        troubles.append(trouble)
    return " ".join(troubles)


def _ways() -> list[str]:
    """The ways to draw, in the order in which Qt would try them."""
    asked = [way.strip() for way in os.environ.get("QT_QPA_PLATFORM", "").split(";")]
    if any(asked):
        return [way for way in asked if way]
    here = (("WAYLAND_DISPLAY", "wayland"), ("DISPLAY", "xcb"))
    return [way for variable, way in here if os.environ.get(variable)]


def _trouble_with(way: str) -> str | None:
    name = way.partition(":")[0]  # what follows are its own settings
    plugin = plugin_file(name)
    if plugin is None:
        known = ways_there_are()
        if not known or name in known:
            return None  # installed by the system and not with its plugins beside it: Qt knows better
        return f"QT_QPA_PLATFORM asks for “{name}”, which this Qt has not. Leave it unset, or take xcb or wayland."
    if name == "xcb" and _answers(_x_server_answers) is False:
        return _silent("DISPLAY")
    if name.startswith("wayland") and _answers(_wayland_answers) is False:
        return _silent("WAYLAND_DISPLAY")
    if missing := missing_for(plugin):
        return f"the window needs system libraries that are not here: {', '.join(missing)}. To have them, " + (
            f"{how_to_install(missing)}, and start again."
        )
    return None


def _silent(variable: str) -> str:
    named = os.environ.get(variable)
    which = f"the screen that {variable} names, “{named}”," if named else f"the screen ({variable} is not set)"
    return f"{which} does not answer or does not let you in. Start Riserbook from the desktop itself; {_WITHOUT}"


def _answers(ask: Callable[[], bool | None]) -> bool | None:
    """Ask aside, since a screen that hangs would hang the question too. None: it cannot be asked."""
    heard: list[bool | None] = []

    def listen() -> None:
        try:
            heard.append(ask())
        except (OSError, ValueError):
            heard.append(False)

    asking = threading.Thread(target=listen, daemon=True)
    asking.start()
    asking.join(PATIENCE_S)
    return heard[0] if heard else False


def _x_server_answers() -> bool | None:
    """One connection, as Qt's plugin makes it, and closed again; None without the library for it."""
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return None
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connect.argtypes = (ctypes.c_char_p, ctypes.c_void_p)
    xcb.xcb_connection_has_error.argtypes = xcb.xcb_disconnect.argtypes = (ctypes.c_void_p,)
    connection = xcb.xcb_connect(None, None)
    good = not xcb.xcb_connection_has_error(connection)
    xcb.xcb_disconnect(connection)
    return good


def _wayland_answers() -> bool:
    """One round trip of the protocol's own kind: wl_display.sync (object 1, request 0) makes callback 2 answer."""
    import socket
    import struct

    name = os.environ.get("WAYLAND_DISPLAY") or "wayland-0"
    place = Path(os.environ.get("XDG_RUNTIME_DIR", "")) / name
    if not place.is_absolute():
        return False
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as line:
        line.settimeout(PATIENCE_S)
        line.connect(str(place))
        line.sendall(struct.pack("=III", 1, 12 << 16, 2))
        return bool(line.recv(12))
