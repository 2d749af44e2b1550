"""The sample company, written once for all tests of it and only read by them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Connection

from db.company_file import open_for_reading
from sample_company import write_sample


@pytest.fixture(scope="session")
def sample_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The whole sample company in a file."""
    path = tmp_path_factory.mktemp("sample") / "Sample company.riserbook"
    write_sample(path)
    return path


@pytest.fixture(scope="session")
def sample(sample_file: Path) -> Iterator[Connection]:
    """A connection to the sample company, for questions."""
    with open_for_reading(sample_file) as company, company.read() as conn:
        yield conn
