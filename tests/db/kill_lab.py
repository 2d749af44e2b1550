"""Kills at every moment a file is touched: the work runs in a process of its own, which ends at its nth such event.

Python tells of every file it opens, renames, links, removes (PEP 578, audit hooks; the events are listed in the
library reference under "Audit events table"). The nth of them is the moment of death. So every moment between two
touches of the disk is met, again and again the same.
"""

from __future__ import annotations

import os
import resource
import signal
import sys
from collections.abc import Callable

EVENTS = frozenset(
    {
        "open", "os.mkdir", "os.rename", "os.link", "os.remove", "os.rmdir", "os.chmod", "os.scandir", "os.truncate",
        "shutil.rmtree", "sqlite3.connect",
    }
)  # fmt: skip
DONE, REFUSED, BUG, KILLED = "done", "refused", "bug", "killed"
_SECONDS = 120


def run_killed_at(moment: int, work: Callable[[], object]) -> str:
    """Run the work and kill it at its nth event; whether it was killed, or was done before."""

    def prepare() -> None:
        left = moment

        def hook(event: str, _arguments: object) -> None:
            nonlocal left
            if event in EVENTS:
                left -= 1
                if left == 0:
                    os.kill(os.getpid(), signal.SIGKILL)

        sys.addaudithook(hook)

    return _run(prepare, work)


def run_on_a_disk_of(largest: int, work: Callable[[], object]) -> str:
    """Run the work where no file may grow beyond so many bytes, as on a full disk: done, refused in words, or a bug."""

    def prepare() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (largest, largest))

    return _run(prepare, work)


def _run(prepare: Callable[[], None], work: Callable[[], object]) -> str:
    child = os.fork()
    if child == 0:
        code = 3
        try:
            from db.company_file.problems import CompanyProblem, Refused

            signal.alarm(_SECONDS)
            prepare()
            try:
                work()
                code = 0
            except (CompanyProblem, Refused):
                code = 2
            except BaseException:
                import traceback

                traceback.print_exc()
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return KILLED
    return {0: DONE, 2: REFUSED}.get(os.WEXITSTATUS(status), BUG)
