"""Every widget drawn in both themes and both sizes: no word is cut, nothing is left unnamed or in the wrong colours."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QTableView,
    QWidget,
)

from desktop.look.fonts import font
from desktop.look.theme import apply_theme
from desktop.look.tokens import DARK, LIGHT
from desktop.widgets.error_line import FloatingError
from desktop.widgets.waterfall import WaterfallView
from tests.desktop.widgets.gallery import form_sheet, page_sheet

SIZES = [(1280, 800), (1920, 1080)]


@pytest.fixture(params=[page_sheet, form_sheet], ids=["page", "form"])
def sheet(request: pytest.FixtureRequest, qtbot) -> QWidget:  # type: ignore[no-untyped-def]
    made: QWidget = request.param()
    qtbot.addWidget(made)
    return made


def show(sheet: QWidget, size: tuple[int, int]) -> None:
    sheet.resize(*size)
    sheet.show()
    QApplication.processEvents()


def cut_labels(sheet: QWidget) -> list[str]:
    found = []
    for label in sheet.findChildren(QLabel):
        if not label.isVisible() or not label.text() or isinstance(label, FloatingError):
            continue  # a floating error shows all of its words while the cursor is in its field
        if label.wordWrap():
            if label.heightForWidth(label.width()) > label.height():
                found.append(label.text())
        elif (
            label.fontMetrics().horizontalAdvance(label.text().replace("&", ""))
            > label.contentsRect().width()
        ):
            found.append(label.text())
    return found


def cut_controls(sheet: QWidget) -> list[str]:
    found = [
        b.text()
        for b in sheet.findChildren(QPushButton)
        if b.isVisible() and b.sizeHint().width() > b.width()
    ]
    for line in sheet.findChildren(QLineEdit):
        if line.isVisible() and line.fontMetrics().horizontalAdvance(line.text()) > line.width() - 18:
            found.append(line.text())
    return found


def cut_cells(sheet: QWidget) -> list[str]:
    found, strong = [], QFontMetrics(font("strong"))
    for table in sheet.findChildren(QTableView):
        for column in range(table.model().columnCount()):
            room = table.columnWidth(column) - 20
            for row in range(table.model().rowCount()):
                text = table.model().index(row, column).data() or ""
                if table.fontMetrics().horizontalAdvance(text) > room:
                    found.append(text)
            head = table.model().headerData(column, Qt.Orientation.Horizontal)
            if QFontMetrics(font("small_strong")).horizontalAdvance(head) > room:
                found.append(head)
    for falls in sheet.findChildren(WaterfallView):
        for row in range(falls.model().rowCount()):
            index = falls.model().index(row, 0)
            label = index.data().split(", ")[0]
            if strong.horizontalAdvance(label) > falls.thirds(falls.visualRect(index))[0].width():
                found.append(label)
    return found


@pytest.mark.parametrize("size", SIZES, ids=["1280", "1920"])
@pytest.mark.parametrize("choice", ["light", "dark"])
def test_no_word_is_cut(sheet: QWidget, size: tuple[int, int], choice: str, qapp: QApplication) -> None:
    apply_theme(qapp, choice)  # type: ignore[arg-type]
    show(sheet, size)
    assert cut_labels(sheet) == []
    assert cut_controls(sheet) == []
    assert cut_cells(sheet) == []


def test_the_check_itself_sees_a_cut_word(qtbot) -> None:  # type: ignore[no-untyped-def]
    holder = QWidget()
    qtbot.addWidget(holder)
    label = QLabel("A rather long sentence for so small a place", holder)
    label.setFixedWidth(60)
    show(holder, (300, 100))
    assert cut_labels(holder) == [label.text()]


def test_whatever_takes_the_focus_has_a_name(sheet: QWidget) -> None:
    show(sheet, SIZES[0])
    for widget in sheet.findChildren(QWidget):
        inner = isinstance(widget.parentWidget(), (QComboBox, QLineEdit)) or widget.objectName().startswith(
            "qt_"
        )
        takes = widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        if (
            not takes
            or inner
            or not widget.isVisible()
            or not isinstance(
                widget, (QAbstractButton, QLineEdit, QComboBox, QPlainTextEdit, QTableView, WaterfallView)
            )
        ):
            continue
        words = widget.text() if isinstance(widget, QAbstractButton) else ""
        assert widget.accessibleName() or words, widget


def grounds(sheet: QWidget) -> list[str]:
    image = sheet.grab().toImage()
    return [
        image.pixelColor(x, y).name() for x in range(0, image.width(), 3) for y in range(0, image.height(), 3)
    ]


def test_a_shown_sheet_turns_dark_and_light_again_at_once(sheet: QWidget, qapp: QApplication) -> None:
    show(sheet, SIZES[0])
    apply_theme(qapp, "dark")
    dark = grounds(sheet)
    assert dark.count(DARK.paper) + dark.count(DARK.sheet) > len(dark) * 0.6
    assert not {LIGHT.paper, LIGHT.sheet} & set(dark)
    apply_theme(qapp, "light")
    light = grounds(sheet)
    assert not {DARK.paper, DARK.sheet} & set(light)


def test_the_sheets_can_be_written_as_pictures(tmp_path: Path, qapp: QApplication) -> None:
    from tests.desktop.widgets.gallery import main

    main(tmp_path)
    assert len(list(tmp_path.glob("*.png"))) == 8
