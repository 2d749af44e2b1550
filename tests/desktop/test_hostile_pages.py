"""Whatever stands in the file, no page reads it: not as markup, not as a shortcut, not as an entry's end."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QAbstractItemModel, QAbstractListModel, QModelIndex, QThreadPool
from PySide6.QtGui import QAction, Qt
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QApplication, QLabel, QTabBar, QWidget

from desktop.local_settings import LocalSettings
from desktop.tour import _sample_stops
from desktop.widgets.as_typed import as_tip, caption
from desktop.window import Window
from tests.desktop.hostile import CODES, PLANTED, TAG, plant, word_columns

DESKTOP = Path(__file__).parents[2] / "desktop"
MOST_ROWS = 60


@pytest.fixture
def window(sample_file: Path, tmp_path: Path, qapp: QApplication) -> Iterator[Window]:
    assert plant(sample_file) > 10_000
    made = Window(LocalSettings(tmp_path / "settings"))
    made.open_file(sample_file, remembered=False)
    assert made.company is not None, made.welcome.problem.text()
    made.show()
    yield made
    made.close()
    made.let_go()


def settle() -> None:
    for _ in range(3):
        QThreadPool.globalInstance().waitForDone(10_000)
        QApplication.processEvents()


def lone_ampersand(text: str) -> bool:
    return "&" in text.replace("&&", "")


def read_as_markup(widget: QWidget) -> Iterator[str]:
    """What a widget would read otherwise than it is typed."""
    if Qt.mightBeRichText(widget.toolTip()):
        yield f"tip of {type(widget).__name__}: {widget.toolTip()[:60]!r}"
    if isinstance(widget, QLabel):
        if widget.textFormat() != Qt.TextFormat.PlainText and Qt.mightBeRichText(widget.text()):
            yield f"label {widget.text()[:60]!r}"
        if widget.buddy() is not None and TAG in widget.text() and lone_ampersand(widget.text()):
            yield f"caption {widget.text()[:60]!r}"
    if isinstance(widget, QAbstractButton):
        shown = QAbstractButton.text(widget)
        if "HYPERLINK" in shown and (lone_ampersand(shown) or not widget.shortcut().isEmpty()):
            yield f"button {type(widget).__name__}: {shown[:60]!r}"
    if isinstance(widget, QTabBar):
        for n in range(widget.count()):
            if "HYPERLINK" in widget.tabText(n) and lone_ampersand(widget.tabText(n)):
                yield f"tab {widget.tabText(n)!r}"
    if isinstance(widget, QAbstractItemView) and widget.model() is not None:
        yield from tips_of(widget.model())


def tips_of(model: QAbstractItemModel) -> Iterator[str]:
    for row in range(min(model.rowCount(QModelIndex()), MOST_ROWS)):
        columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(QModelIndex())
        for column in range(columns):
            tip = model.index(row, column).data(Qt.ItemDataRole.ToolTipRole)
            if tip and Qt.mightBeRichText(tip):
                yield f"cell {row}, {column} of {type(model).__name__}: {tip[:60]!r}"


def test_no_page_reads_what_was_typed(window: Window) -> None:
    found: set[str] = set()
    seen = pages = 0
    for name, go in list(_sample_stops(window)):
        go(window)
        settle()
        pages += 1
        shown = window.stack.currentWidget()
        for widget in [window, *window.masthead.findChildren(QWidget), *shown.findChildren(QWidget)]:
            seen += 1
            found |= {f"{name}: {what}" for what in read_as_markup(widget)}
    assert not found, "\n".join(sorted(found)[:40])
    assert pages > 40
    assert seen > 5_000
    title = window.windowTitle()
    assert "\n" not in title
    assert "[*]" not in title.replace("[*][*]", "")


def test_the_menu_shows_what_is_undone_and_which_files_there_are_letter_for_letter(window: Window) -> None:
    window.menu._bring_up_to_date()
    for action in window.menu.findChildren(QAction):
        assert not Qt.mightBeRichText(action.toolTip()), action.text()
    assert caption("Crawl & Sons\tCtrl+X\nagain") == "Crawl && Sons Ctrl+X again"


def test_the_head_shows_a_firms_ampersand(qapp: QApplication, window: Window) -> None:
    window.masthead.set_company("Crawl & Sons")
    assert window.masthead._company.text().startswith("Crawl && Sons")
    assert window.masthead._company.toolTip().startswith("Crawl & Sons:")


@pytest.mark.parametrize("text", [PLANTED, "<b>x</b>", "a <i>b", "&lt;img", "<?xml ?><b>", "<!doctype>", "\n <b>x"])
def test_a_tip_is_no_markup_and_reads_the_same(text: str) -> None:
    assert not Qt.mightBeRichText(as_tip(text))
    assert as_tip(text).replace("\u2060", "").split() != []
    for word in ("<b>x</b>", "<img", "&lt;img"):
        if word in text:
            assert word in as_tip(text).replace("\u2060", "")


def test_tips_are_given_in_one_place_and_labels_say_that_they_are_plain() -> None:
    wrong = []
    for path in sorted(DESKTOP.rglob("*.py")):
        if path.name == "as_typed.py":
            continue
        for node in ast.walk(ast.parse(path.read_text())):
            where = f"{path.relative_to(DESKTOP)}:{getattr(node, 'lineno', 0)}"
            if isinstance(node, ast.Attribute) and node.attr == "setToolTip":
                wrong.append(f"{where} gives a tip itself; set_tip does")
            if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
                made = [one for one in ast.walk(node) if is_call(one, "QLabel")]
                said = [one for one in ast.walk(node) if isinstance(one, ast.Attribute) and one.attr == "setTextFormat"]
                if made and not said and path.name != "logo_card.py":  # a picture
                    wrong.append(f"{where} makes a label that is not said to be plain")
            if is_call(node, "QPushButton") and node.args:
                wrong.append(f"{where} gives a button its words itself; PushButton does")
    assert not wrong, "\n".join(wrong)


def is_call(node: ast.AST, name: str) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name


def test_every_column_named_as_a_code_is_there() -> None:
    known = {(table, column) for table, columns in CODES.items() for column in columns}
    assert not known & set(word_columns())
    from db.tables import METADATA

    assert all(column in METADATA.tables[table].columns for table, column in known)
