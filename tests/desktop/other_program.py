"""A workbook worked out by a spreadsheet program that knows nothing of ours, for tests."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from openpyxl import Workbook, load_workbook

_VALUE = re.compile(rb"(</f>)<v>[^<]*</v>")


def worked_out(path: Path, folder: Path) -> Workbook:
    """The values that program finds for the formulas, our own values beside them taken out first."""
    program = shutil.which("soffice") or shutil.which("libreoffice")
    if program is None:
        pytest.skip("no program here that works formulas out")
    bare = folder / "bare" / path.name
    bare.parent.mkdir(parents=True)
    without_values(path, bare)
    subprocess.run(
        [
            program, f"-env:UserInstallation=file://{folder}/profile", "--headless",
            "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "out"), str(bare),
        ],
        check=True, capture_output=True, timeout=400,
    )  # fmt: skip
    return load_workbook(folder / "out" / path.name, data_only=True)


def without_values(path: Path, to: Path) -> None:
    """A copy of a workbook whose formulas have no values."""
    with ZipFile(path) as whole, ZipFile(to, "w", ZIP_DEFLATED) as bare:
        for name in whole.namelist():
            content = whole.read(name)
            bare.writestr(name, _VALUE.sub(rb"\1", content) if name.startswith("xl/worksheets/") else content)
