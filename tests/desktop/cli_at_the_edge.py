"""Every command that there is, each with words that would do, so that each can be asked at the edge of things."""

from __future__ import annotations

import argparse
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from desktop.cli import _command_parser

ROOT = Path(__file__).resolve().parent.parent.parent
_SUFFIXES = {"export": ".xlsx", "ledger": ".csv", "calendar": ".ics"}
_WORDS = {"period": "2026"}


def parsers() -> Mapping[str, argparse.ArgumentParser]:
    """The commands by their words."""
    (commands,) = (one for one in _command_parser()._actions if isinstance(one, argparse._SubParsersAction))
    return commands.choices


def words_of(command: str, file: Path, place: Path) -> list[str]:
    """A command line that would do: reads `file` (sample: writes one), writes into `place`."""
    said = [command]
    for one in parsers()[command]._actions:
        if one.option_strings or one.dest == "help":
            continue
        if one.dest == "file":
            said.append(str(place / "made.riserbook" if command == "sample" else file))
        elif one.dest == "out":
            said.append(str(place / f"out{_SUFFIXES.get(command, '.riserbook')}"))
        elif one.dest in ("folder", "dir", "to"):
            said.append(str(place))
        else:
            said.append(_WORDS.get(one.dest, str(place / one.dest)))
    return [*said, "--jobs", "2"] if command == "sample" else said


def writes(command: str) -> bool:
    """Whether the command writes a file where it is told."""
    told = {one.dest for one in parsers()[command]._actions if not one.option_strings}
    return command == "sample" or bool(told & {"out", "folder", "to"})


@dataclass(frozen=True, slots=True)
class Ended:
    """How a process of its own ended."""

    status: int
    out: str
    err: str


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a process finds: variables, how its output goes, what the shell sets up first."""

    variables: Mapping[str, str | None] = field(default_factory=dict)
    first: str = ""
    after: str = ""


def ask(words: Sequence[str], env: Mapping[str, str], around: Surroundings | None = None) -> Ended:
    """Run the program in a process of its own."""
    around = around or Surroundings()
    variables = {**env, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
    for name, value in around.variables.items():
        if value is None:
            variables.pop(name, None)
        else:
            variables[name] = value
    line = f'{around.first} "$@" {around.after}'
    done = subprocess.run(
        ["bash", "-c", line, "bash", sys.executable, "-m", "desktop", *words],
        capture_output=True, env=variables, timeout=300, check=False, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    return Ended(done.returncode, done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace"))


def is_one_kind_line(err: str) -> bool:
    """One line that begins with the program's name and goes on to what to do."""
    return err.startswith("riserbook: ") and len(err.strip().splitlines()) == 1 and err.count(".") >= 1
