"""Is there a screen to open a window on, and has the system the libraries Qt needs for it?"""

from __future__ import annotations

import ctypes
import os
import sys

# Shared library -> the package that has it, on Debian and Ubuntu / on Fedora.
PACKAGES = {
    "libEGL.so.1": "libegl1 / libglvnd-egl",
    "libGL.so.1": "libgl1 / libglvnd-glx",
    "libxkbcommon.so.0": "libxkbcommon0 / libxkbcommon",
    "libdbus-1.so.3": "libdbus-1-3 / dbus-libs",
    "libfontconfig.so.1": "libfontconfig1 / fontconfig",
    "libglib-2.0.so.0": "libglib2.0-0 / glib2",
    "libX11.so.6": "libx11-6 / libX11",
    "libX11-xcb.so.1": "libx11-xcb1 / libX11-xcb",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0 / libxkbcommon-x11",
    "libxcb-cursor.so.0": "libxcb-cursor0 / xcb-util-cursor",
    "libxcb-icccm.so.4": "libxcb-icccm4 / xcb-util-wm",
    "libxcb-image.so.0": "libxcb-image0 / xcb-util-image",
    "libxcb-keysyms.so.1": "libxcb-keysyms1 / xcb-util-keysyms",
    "libxcb-randr.so.0": "libxcb-randr0 / libxcb",
    "libxcb-render-util.so.0": "libxcb-render-util0 / xcb-util-renderutil",
    "libxcb-shape.so.0": "libxcb-shape0 / libxcb",
    "libxcb-xinerama.so.0": "libxcb-xinerama0 / libxcb",
}

_ALWAYS = ("libEGL.so.1", "libGL.so.1", "libxkbcommon.so.0", "libdbus-1.so.3", "libfontconfig.so.1", "libglib-2.0.so.0")


def there() -> bool:
    """False on a Linux without a display server, unless Qt was told to draw without one."""
    if not sys.platform.startswith("linux"):
        return True
    return any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def draw_without_a_screen() -> None:
    """Let Qt draw into memory; pictures look the same with and without a display."""
    os.environ["QT_QPA_PLATFORM"] = "offscreen"


def missing_library() -> str | None:
    """One line naming a system library that Qt will miss and the package that has it; None when all are there."""
    if not sys.platform.startswith("linux"):
        return None
    platform = os.environ.get("QT_QPA_PLATFORM", "")
    on_x11 = not os.environ.get("WAYLAND_DISPLAY") if not platform else platform.startswith("xcb")
    wanted = tuple(PACKAGES) if on_x11 else _ALWAYS
    for library in wanted:
        try:
            ctypes.CDLL(library)
        except OSError:
            return (
                f"the window needs the system library {library}; install the package {PACKAGES[library]} "
                "(Debian, Ubuntu / Fedora) and start again."
            )
    return None
