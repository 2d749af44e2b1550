"""Widgets are shown in the light look; a test that needs the dark one asks for it."""

from collections.abc import Iterator

import pytest
from PySide6.QtWidgets import QApplication

from desktop.look.theme import apply_theme


@pytest.fixture(autouse=True)
def light(qapp: QApplication) -> Iterator[None]:
    """Start and end each test in the light look."""
    apply_theme(qapp, "light")
    yield
    apply_theme(qapp, "light")
