"""What can be wrong with a company file, in words the owner can act on."""

from __future__ import annotations

from pathlib import Path


class CompanyProblem(Exception):
    """The environment's fault, not a bug: the file or disk is not as it must be, and nothing was changed.

    Attributes:
        message: what is wrong, one plain sentence.
        advice: what to do now.
    """

    def __init__(self, path: Path | None, message: str, advice: str) -> None:
        super().__init__(f"{message} {advice}")
        self.path = path
        self.message = message
        self.advice = advice


class NotOurs(CompanyProblem):
    """Some other kind of file."""


class Damaged(CompanyProblem):
    """The file's pages do not hold together."""


class TooNew(CompanyProblem):
    """Written by a later version of the program."""


class ReadOnly(CompanyProblem):
    """File or folder cannot be written."""


class OpenElsewhere(CompanyProblem):
    """Another window or program holds the file."""


class Missing(CompanyProblem):
    """There is no such file, or its folder is gone."""


class Refused(Exception):
    """The user's request cannot be done as asked, e.g. deleting what has history; the message says why.

    Attributes:
        advice: what can be done instead, may be empty.
    """

    def __init__(self, message: str, advice: str = "") -> None:
        super().__init__(f"{message} {advice}".strip())
        self.message = message
        self.advice = advice
