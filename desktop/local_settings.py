"""What this computer remembers, not the company: recent files, appearance, the window's place."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path
from typing import Any

from desktop.own_folders import can_be_written, make_private_folder, settings_folder, write_private

KEPT_RECENT = 8


class LocalSettings:
    """A small JSON file in the user's own settings folder, for the user alone; a lost or odd one means defaults."""

    def __init__(self, folder: Path | None = None) -> None:
        folder = folder or settings_folder()
        self._path = None if folder is None else folder / "window.json"
        self._values: dict[str, Any] = {}
        with suppress(OSError, ValueError, RecursionError):
            read = json.loads(self._path.read_text("utf-8")) if self._path else None
            self._values = read if isinstance(read, dict) else {}

    def why_not_kept(self) -> str:
        """A word to the owner where nothing can be remembered here, empty where it can."""
        if self._path is None:
            where = "this computer knows no home folder of yours"
        elif not can_be_written(self._path.parent):
            where = f"the folder “{self._path.parent}” cannot be written"
        else:
            return ""
        return (
            f"Your recent firms and the look of the window are not remembered: {where}. "
            "Everything else works; a firm is kept where you say."
        )

    @property
    def recent(self) -> list[Path]:
        """Company files opened before, newest first; those that are gone are left out."""
        listed = self._values.get("recent", [])
        paths = [Path(text) for text in listed if isinstance(text, str)] if isinstance(listed, list) else []
        return [path for path in paths if _is_file(path)]

    def remember(self, path: Path) -> None:
        """Put a company file at the head of the recent ones."""
        paths = [path.resolve(), *(known for known in self.recent if known != path.resolve())]
        self._put("recent", [str(known) for known in paths[:KEPT_RECENT]])

    @property
    def appearance(self) -> str:
        """system, light or dark."""
        choice = self._values.get("appearance")
        return choice if choice in ("system", "light", "dark") else "system"

    @appearance.setter
    def appearance(self, choice: str) -> None:
        self._put("appearance", choice)

    @property
    def geometry(self) -> bytes:
        """The window's place and size as Qt saved it, empty when unknown."""
        try:
            return bytes.fromhex(str(self._values.get("geometry", "")))
        except ValueError:
            return b""

    @geometry.setter
    def geometry(self, saved: bytes) -> None:
        self._put("geometry", saved.hex())

    @property
    def drafts_path(self) -> Path:
        """Where what was begun and not added is kept."""
        return self._path.with_name("drafts.json")

    def _put(self, name: str, value: object) -> None:
        self._values[name] = value
        if self._path is None:
            return
        with suppress(OSError):  # a full disk must not stop the owner over a window's place
            make_private_folder(self._path.parent)
            write_private(self._path, json.dumps(self._values, indent=1))


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):  # a name too long, a drive that does not answer
        return False
