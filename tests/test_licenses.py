"""Every package that comes with the program is listed in DEVELOPERS.md, with a license that goes with MIT."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
# What a license is called in metadata and in the list, the longer word before one that is part of it.
FAMILIES = (
    ("MIT-0", "MIT-0"), ("MIT-CMU", "MIT-CMU"), ("HPND", "MIT-CMU"), ("Lesser General Public", "LGPL"),
    ("LGPL", "LGPL"), ("Apache", "Apache"), ("PSF", "PSF"), ("Python Software Foundation", "PSF"), ("BSD", "BSD"),
    ("MIT", "MIT"),
)  # fmt: skip
WITH_MIT = {family for _, family in FAMILIES}
"""Permissive, or, as Qt's, free to be installed beside it and replaced."""


def name_of(text: str) -> str:
    return re.sub(r"[-_.]+", "-", re.split(r"[<>=!~\[; (]", text)[0]).lower()


def installed() -> dict[str, Distribution]:
    """What the program needs, and what that needs, as far as it is installed here."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    found: dict[str, Distribution] = {}
    waiting = [name_of(line) for line in project["dependencies"]]
    while waiting:
        name = waiting.pop()
        if name in found:
            continue
        try:
            found[name] = distribution(name)
        except PackageNotFoundError:
            continue  # for another system or Python
        waiting += [name_of(line) for line in found[name].requires or [] if "extra ==" not in line]
    return found


def stated(one: Distribution) -> str:
    metadata = one.metadata
    classifiers = [line for line in metadata.get_all("Classifier") or [] if line.startswith("License")]
    first_words = (metadata.get("License") or "").partition("\n")[0]
    return metadata.get("License-Expression") or " ".join(classifiers) or first_words


def family(words: str) -> str:
    return next((family for word, family in FAMILIES if word.lower() in words.lower()), "")


def listed() -> Iterator[tuple[str, str]]:
    section = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("\n## Licenses\n")[2].partition("\n## ")[0]
    for names, license_ in re.findall(r"^\| ([a-z].*?) \| (.+?) \|$", section, flags=re.MULTILINE):
        if names != "package":
            yield from ((name, license_) for name in names.split(", "))


def test_every_package_is_listed_with_its_license() -> None:
    known = dict(listed())
    missing = [
        f"| {name} | {stated(one)} |"
        for name, one in sorted(installed().items())
        if name not in known or family(known[name]) != family(stated(one))
    ]
    assert missing == []


def test_every_license_goes_with_the_programs_own() -> None:
    assert {name: words for name, words in listed() if family(words) not in WITH_MIT} == {}
    assert len(dict(listed())) >= len(installed()) > 10
