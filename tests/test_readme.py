"""The README keeps its word: its pictures are there, and its lines of set-up are the ones CI runs."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_every_picture_and_every_linked_file_is_there() -> None:
    targets = re.findall(r"\]\(([^)#]+)\)", README)
    local = [target for target in targets if "://" not in target]
    assert any(target.endswith(".png") for target in local)
    assert [target for target in local if not (ROOT / target).is_file()] == []


def test_it_has_one_line_for_the_sample_and_one_for_the_tests() -> None:
    lines = [line for line in README.splitlines() if line.startswith("python3 -m venv ")]
    assert len(lines) == 2
    assert lines[0].endswith("riserbook --sample")
    assert lines[1].endswith("pytest")


def test_ci_takes_its_commands_from_the_readme() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    patterns = re.findall(r"readme_line '(\^[^']+)'", script)
    assert len(patterns) == 3
    for pattern in patterns:
        assert len(re.findall(pattern, README, flags=re.MULTILINE)) == 1
