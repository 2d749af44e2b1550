"""What every test stands on: no screen needed, and nothing of the person's own is ever read or written."""

import os
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

HOME_VARIABLES = {
    "HOME": "",
    "USERPROFILE": "",
    "XDG_DATA_HOME": "data",
    "XDG_CONFIG_HOME": "config",
    "XDG_STATE_HOME": "state",
    "XDG_CACHE_HOME": "cache",
    "XDG_DOCUMENTS_DIR": "Documents",
    "APPDATA": "AppData/Roaming",
    "LOCALAPPDATA": "AppData/Local",
    # platformdirs asks Windows itself unless these are set
    "WIN_PD_OVERRIDE_APPDATA": "AppData/Roaming",
    "WIN_PD_OVERRIDE_LOCAL_APPDATA": "AppData/Local",
    "WIN_PD_OVERRIDE_PERSONAL": "Documents",
}


def _has_screen() -> bool:
    if sys.platform in ("win32", "darwin"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


# Before anything imports Qt: it reads the variable when the first application object is made.
if not _has_screen():
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# Machines differ in speed, so no single example is timed; on CI the same examples come every time.
settings.register_profile(
    "riserbook",
    deadline=None,
    derandomize=bool(os.environ.get("CI")),
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("riserbook")


@pytest.fixture(autouse=True)
def own_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A fresh home folder for each test, so that settings, recent files and backups start empty."""
    home = tmp_path_factory.mktemp("home")
    for variable, folder in HOME_VARIABLES.items():
        monkeypatch.setenv(variable, str(home / folder) if folder else str(home))
    return home


@pytest.fixture(scope="session")
def sample_original(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample company, written once for the whole run. Never open it for writing: use `sample_file`."""
    from sample_company import write_sample

    path = tmp_path_factory.mktemp("sample") / "Sample company.riserbook"
    write_sample(path)
    return path


@pytest.fixture
def sample_file(sample_original: Path, tmp_path: Path) -> Path:
    """A copy of the sample company that a test may change."""
    import shutil

    copy = tmp_path / sample_original.name
    shutil.copy2(sample_original, copy)
    return copy
