"""Widgets are shown in the light look; a test that needs the dark one asks for it."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from desktop.look.theme import apply_theme


@pytest.fixture(autouse=True)
def light(qapp: QApplication) -> Iterator[None]:
    """Start and end each test in the light look, with the widgets of the test before really gone."""
    apply_theme(qapp, "light")
    yield
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)  # no event loop of its own does it here
    apply_theme(qapp, "light")
