"""What this computer remembers survives odd files and forgets what is gone."""

from __future__ import annotations

from pathlib import Path

from desktop.local_settings import KEPT_RECENT, LocalSettings


def test_recent_companies_newest_first_and_only_those_still_there(tmp_path: Path) -> None:
    settings = LocalSettings(tmp_path / "settings")
    files = [tmp_path / f"{number}.riserbook" for number in range(KEPT_RECENT + 3)]
    for file in files:
        file.touch()
        settings.remember(file)
    settings.remember(files[5])
    assert settings.recent[0] == files[5]
    assert len(settings.recent) == KEPT_RECENT
    files[5].unlink()
    assert files[5] not in LocalSettings(tmp_path / "settings").recent


def test_a_broken_settings_file_means_defaults(tmp_path: Path) -> None:
    for content in ("{", "[]", '{"recent": 3, "appearance": "pink", "geometry": "zz"}'):
        (tmp_path / "window.json").write_text(content, "utf-8")
        settings = LocalSettings(tmp_path)
        assert (settings.recent, settings.appearance, settings.geometry) == ([], "system", b"")


def test_what_is_set_is_there_next_time(tmp_path: Path) -> None:
    settings = LocalSettings(tmp_path)
    settings.appearance = "dark"
    settings.geometry = b"\x01\xff"
    again = LocalSettings(tmp_path)
    assert (again.appearance, again.geometry) == ("dark", b"\x01\xff")
