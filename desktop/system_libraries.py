"""What the system's own loader says is missing before Qt can draw here, all of it at once."""

from __future__ import annotations

import ctypes
import re
import shutil
import subprocess
from collections.abc import Iterable
from importlib.util import find_spec
from pathlib import Path

ALSO_USED = ("QtWidgets", "QtSvg", "QtPdfWidgets")
"""What the program loads besides the plugin; the loader follows each to the end of what it needs."""

_NOT_FOUND = re.compile(r"^\s*(\S+) => not found", re.MULTILINE)
_REFUSED = re.compile(r"^(\S+): cannot open shared object file")


def plugin_file(way: str) -> Path | None:
    """The file of Qt's plugin for one way to draw, e.g. xcb; None where Qt was not installed with its plugins."""
    folder = _pyside_folder()
    if folder is None:
        return None
    plugins = folder / "Qt" / "plugins" / "platforms"
    family = way.partition("-")[0]  # wayland-egl and wayland are one plugin
    return next((file for name in (way, family) if (file := plugins / f"libq{name}.so").is_file()), None)


def ways_there_are() -> list[str]:
    """The ways to draw this Qt came with."""
    folder = _pyside_folder()
    files = [] if folder is None else (folder / "Qt" / "plugins" / "platforms").glob("libq*.so")
    return sorted(file.stem.removeprefix("libq") for file in files)


def missing_for(plugin: Path) -> list[str]:
    """The libraries that the loader cannot find for this plugin and what else of Qt is used; empty when all are there.

    The plugin is loaded, as Qt is about to do anyway, so that nothing is lost when all is there.
    """
    try:
        ctypes.CDLL(str(plugin))
    except OSError as error:
        return _all_missing(plugin) or [_first_missing(error)]
    return []


def _all_missing(plugin: Path) -> list[str]:
    folder = _pyside_folder()
    lister = shutil.which("ldd")  # lists what the loader finds and what it does not
    if folder is None or lister is None:
        return []
    files = [plugin, *(file for name in ALSO_USED for file in folder.glob(f"{name}.*so"))]
    try:
        said = subprocess.run([lister, *map(str, files)], capture_output=True, text=True, timeout=30, check=False)
    except (OSError, subprocess.TimeoutExpired):
        return []
    return sorted(set(_NOT_FOUND.findall(said.stdout)))


def _first_missing(error: OSError) -> str:
    found = _REFUSED.match(str(error))
    return found[1] if found else str(error)


def how_to_install(libraries: Iterable[str]) -> str:
    """What to type, as this system installs libraries."""
    wanted = sorted(set(libraries))
    if shutil.which("apt-get"):
        return f"type: sudo apt-get install {' '.join(sorted({debian_package(name) for name in wanted}))}"
    if shutil.which("dnf"):  # a package of this kind is found by the library it provides
        return f"type: sudo dnf install {' '.join(repr(f'{name}()(64bit)') for name in wanted)}"
    return "install them with the system's own package manager"


# Named after the whole source rather than after the one library.
_NAMED_OTHERWISE = {"libglib-2.0-0": "libglib2.0-0", "libgthread-2.0-0": "libglib2.0-0", "libbrotlidec1": "libbrotli1"}


def debian_package(library: str) -> str:
    """The Debian package of a shared library, by the rule of Debian Policy 8.1 (from memory): the name and the number
    of the library's interface, with a hyphen between where the name ends in a digit."""
    name, _, number = library.lower().replace("_", "-").partition(".so.")
    package = f"{name}{'-' if name[-1:].isdigit() else ''}{number}"
    return _NAMED_OTHERWISE.get(package, package)


def _pyside_folder() -> Path | None:
    found = find_spec("PySide6")  # finds, does not import
    return Path(found.origin).parent if found is not None and found.origin else None
