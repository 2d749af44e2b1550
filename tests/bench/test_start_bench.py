"""Start-up and memory against a bare window's process, as ratios of medians; runs alternate, so drift cancels."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

RUNS = 7
BARE = [sys.executable, str(Path(__file__).with_name("bare_window.py"))]
OURS = [sys.executable, "-m", "desktop", "--sample", "--quit-when-shown"]


def _run(command: list[str]) -> tuple[float, int]:
    """Seconds of wall time and peak resident kilobytes of one process."""
    began = time.perf_counter()
    compiled = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    process = subprocess.Popen(command, cwd=Path(__file__).parents[2], stdout=subprocess.DEVNULL, env=compiled)
    _pid, status, usage = os.wait4(process.pid, 0)
    assert os.waitstatus_to_exitcode(status) == 0, command
    return time.perf_counter() - began, usage.ru_maxrss


@pytest.mark.bench
@pytest.mark.skipif(sys.platform == "win32", reason="measures with wait4")
def test_the_sample_company_is_on_the_screen_soon_and_in_little_memory() -> None:
    _run(OURS)  # writes the sample company into the cache
    _run(BARE)
    ours, bare = [], []
    for _ in range(RUNS):
        ours.append(_run(OURS))
        bare.append(_run(BARE))
    start = statistics.median(run[0] for run in ours) / statistics.median(run[0] for run in bare)
    memory = statistics.median(run[1] for run in ours) / statistics.median(run[1] for run in bare)
    print(
        f"\nstart to Tonight of the sample: {statistics.median(run[0] for run in ours):.3f} s, "
        f"{start:.2f} x a bare window (bar 1.6); peak memory {memory:.2f} x (bar 2.5)"
    )
    assert start <= 1.6
    assert memory <= 2.5
