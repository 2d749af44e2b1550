"""What this computer remembers, not the company: recent files, appearance, the window's place."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

KEPT_RECENT = 8


class LocalSettings:
    """A small JSON file in the user's own settings folder; a lost or odd file means defaults, never a stop."""

    def __init__(self, folder: Path | None = None) -> None:
        if folder is None:
            from platformdirs import user_config_path

            folder = user_config_path("riserbook", appauthor=False)
        self._path = folder / "window.json"
        try:
            read = json.loads(self._path.read_text("utf-8"))
            self._values: dict[str, Any] = read if isinstance(read, dict) else {}
        except (OSError, ValueError):
            self._values = {}

    @property
    def recent(self) -> list[Path]:
        """Company files opened before, newest first; those that are gone are left out."""
        listed = self._values.get("recent", [])
        paths = [Path(text) for text in listed if isinstance(text, str)] if isinstance(listed, list) else []
        return [path for path in paths if path.is_file()]

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

    def _put(self, name: str, value: object) -> None:
        self._values[name] = value
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            unfinished = self._path.with_suffix(".new")
            unfinished.write_text(json.dumps(self._values, indent=1), "utf-8")
            unfinished.replace(self._path)
        except OSError:
            pass  # a full disk must not stop the owner over a window's place
