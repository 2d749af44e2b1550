"""A copy of the sample company is for its owner alone, and a killed program's copy is gone at the next start."""

from __future__ import annotations

import os
import shutil
import signal
import stat
import tempfile
from pathlib import Path

import pytest

from desktop import sample
from tests.db.company_files import program

KILLED = """
import sys, time
from desktop.sample import fresh_copy
with fresh_copy() as path:
    print(path, flush=True)
    time.sleep(60)
"""


@pytest.fixture
def kept(sample_original: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The original where the program looks for it, and a folder for copies of this test alone."""
    (tmp_path / "copies").mkdir()
    monkeypatch.setenv("TMPDIR", str(tmp_path / "copies"))
    monkeypatch.setattr(tempfile, "tempdir", None)
    original = sample._kept()
    original.parent.mkdir(parents=True, exist_ok=True)
    shutil.copy2(sample_original, original)
    return tmp_path / "copies"


@pytest.mark.skipif(os.name != "posix", reason="the system has no such signal")
def test_a_killed_programs_copy_is_gone_at_the_next_start(kept: Path) -> None:
    player = program(KILLED)
    assert player.stdout is not None
    copy = Path(player.stdout.readline().strip())
    assert copy.is_file()
    assert kept in copy.parents
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    assert stat.S_IMODE(copy.parent.stat().st_mode) == 0o700
    with sample.fresh_copy() as mine:
        assert copy.is_file()  # someone still plays with that one
        assert mine != copy
    player.send_signal(signal.SIGKILL)
    player.wait()
    assert copy.is_file()
    with sample.fresh_copy() as mine:
        assert list(kept.iterdir()) == [mine.parent]
    assert list(kept.iterdir()) == []
