"""The one stylesheet, made from the tokens.

Variants are dynamic properties, set before a widget is shown:
`kind` on QPushButton/QToolButton: primary, quiet, danger, link, rail; `tone` on QLabel: soft, faint, over, under,
goodwill, error, accent; `card` on QFrame: true.
"""

from __future__ import annotations

from pathlib import Path
from string import Template

from desktop.look.tokens import Tokens

_MARKS = (Path(__file__).parent / "marks").as_posix()

_SHEET = Template("""
QWidget { color: $ink; }
QMainWindow, QDialog, QWidget#page, QStackedWidget > QWidget { background: $paper; }
QToolTip { background: $ink; color: $paper; border: 1px solid $ink; padding: 5px 8px; }
QLabel { background: transparent; }
QLabel[tone="soft"] { color: $ink_soft; }
QLabel[tone="faint"] { color: $ink_faint; }
QLabel[tone="over"] { color: $over; }
QLabel[tone="under"] { color: $under; }
QLabel[tone="goodwill"] { color: $goodwill; }
QLabel[tone="error"] { color: $error; }
QLabel[tone="accent"] { color: $accent; }
QFrame[card="true"] { background: $sheet; border: 1px solid $line; border-radius: ${card}px; }
QFrame[rule="true"] { background: $line; border: 0; }

QPushButton, QToolButton {
    background: $sheet; color: $ink; border: 1px solid $line_strong; border-radius: ${control}px;
    padding: 5px 13px; min-height: 20px;
}
QToolButton { padding: 5px 7px; }
QPushButton:hover, QToolButton:hover { background: $accent_soft; border-color: $accent; }
QPushButton:pressed, QToolButton:pressed { background: $sunk; border-color: $accent_strong; }
QPushButton:focus, QToolButton:focus { border: 2px solid $accent; padding: 4px 12px; }
QToolButton:focus { padding: 4px 6px; }
QPushButton:disabled, QToolButton:disabled { background: $paper; color: $ink_faint; border-color: $line; }
QPushButton[kind="primary"] { background: $accent; color: $on_accent; border-color: $accent; }
QPushButton[kind="primary"]:hover, QPushButton[kind="primary"]:pressed {
    background: $accent_strong; border-color: $accent_strong;
}
QPushButton[kind="primary"]:focus { border: 2px solid $ink; }
QPushButton[kind="primary"]:disabled { background: $sunk; color: $ink_faint; border-color: $line; }
QPushButton[kind="quiet"], QToolButton[kind="quiet"] { background: transparent; border-color: transparent; }
QPushButton[kind="quiet"]:hover, QToolButton[kind="quiet"]:hover { background: $accent_soft; }
QPushButton[kind="quiet"]:focus, QToolButton[kind="quiet"]:focus { border: 2px solid $accent; }
QToolButton[kind="quiet"]:checked { background: $accent_soft; color: $accent_strong; }
QPushButton[kind="danger"] { color: $error; border-color: $error; }
QPushButton[kind="danger"]:hover { background: $error_soft; }
QPushButton[kind="danger"]:disabled { color: $ink_faint; border-color: $line; }
QPushButton[kind="link"] {
    background: transparent; border: 1px solid transparent; color: $accent; padding: 2px 4px; text-align: left;
}
QPushButton[kind="link"]:hover { color: $accent_strong; text-decoration: underline; }
QPushButton[kind="link"]:focus { border: 1px solid $accent; }
QPushButton[kind="rail"], QToolButton[kind="rail"] {
    background: transparent; border: 0; border-left: 3px solid transparent; border-radius: 0;
    padding: 6px 14px; text-align: left; color: $ink_soft;
}
QPushButton[kind="rail"]:hover, QToolButton[kind="rail"]:hover { background: $sheet; color: $ink; }
QPushButton[kind="rail"]:checked, QToolButton[kind="rail"]:checked {
    background: $sheet; color: $ink; border-left: 3px solid $accent; font-weight: 600;
}
QPushButton[kind="rail"]:focus, QToolButton[kind="rail"]:focus {
    background: $accent_soft; border: 0; border-left: 3px solid $accent; padding: 6px 14px;
}
QPushButton[kind="segment"] { border-radius: 0; padding: 5px 13px; color: $ink_soft; border-color: $line_strong; }
QPushButton[kind="segment"]:checked { background: $accent_soft; color: $ink; border-color: $accent; }

QLineEdit, QPlainTextEdit, QTextEdit, QComboBox, QAbstractSpinBox {
    background: $sheet; color: $ink; border: 1px solid $line_strong; border-radius: ${control}px;
    padding: 4px 8px; min-height: 22px; selection-background-color: $accent; selection-color: $on_accent;
}
QLineEdit, QPlainTextEdit, QTextEdit { placeholder-text-color: $ink_faint; }
QPlainTextEdit, QTextEdit { padding: 4px; }
QLineEdit:hover, QPlainTextEdit:hover, QTextEdit:hover, QComboBox:hover { border-color: $accent; }
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QComboBox:focus, QAbstractSpinBox:focus {
    border: 2px solid $accent; padding: 3px 7px;
}
QPlainTextEdit:focus, QTextEdit:focus { padding: 3px; }
QLineEdit:read-only { background: $sunk; }
QLineEdit:disabled, QPlainTextEdit:disabled, QTextEdit:disabled, QComboBox:disabled {
    background: $paper; color: $ink_faint; border-color: $line;
}
QLineEdit[wrong="true"], QPlainTextEdit[wrong="true"], QComboBox[wrong="true"] {
    border: 2px solid $error; padding: 3px 7px; background: $error_soft;
}
QLineEdit[wrong="asks"] { border: 2px solid $over; padding: 3px 7px; background: $over_soft; }
QLineEdit QToolButton, QLineEdit QToolButton:hover, QLineEdit QToolButton:pressed {
    background: transparent; border: 0; padding: 0; min-height: 0;
}
QComboBox { padding-right: 24px; }
QComboBox::drop-down { border: 0; width: 24px; }
QComboBox::down-arrow { image: none; }
QComboBox QLineEdit, QComboBox QLineEdit:focus { border: 0; padding: 0; background: transparent; min-height: 18px; }
QAbstractScrollArea::corner { background: transparent; border: 0; }
QListView { border: 1px solid $line; border-radius: ${control}px; }
QComboBox QAbstractItemView { border: 1px solid $line_strong; border-radius: 0; }
QListView[words="true"] { border: 1px solid $line_strong; }
QComboBox QAbstractItemView, QListView {
    background: $sheet; outline: 0;
    selection-background-color: $accent_soft; selection-color: $ink; padding: 3px;
}
QListView::item { padding: 5px 8px; border-radius: ${mark}px; }
QListView::item:hover { background: $sunk; }
QListView::item:selected { background: $accent_soft; color: $ink; }

QTableView, QTreeView {
    background: $sheet; alternate-background-color: $sheet; border: 1px solid $line; border-radius: ${card}px;
    gridline-color: $line; outline: 0; selection-background-color: $accent_soft; selection-color: $ink;
}
QTableView:focus, QTreeView:focus { border: 1px solid $accent; }
QTableView QTableCornerButton::section { background: $paper; border: 0; }
QHeaderView { background: transparent; border: 0; }
QHeaderView::section {
    background: transparent; color: $ink_soft; border: 0; border-bottom: 1px solid $line_strong; padding: 7px 10px;
}
QHeaderView::section:hover { color: $accent_strong; background: $sunk; }
QTableView QLineEdit, QTableView QLineEdit:focus {
    border: 2px solid $accent; border-radius: 0; padding: 0 7px; min-height: 0; background: $sheet;
}
QTableView QLineEdit[wrong="true"] { border: 2px solid $error; background: $error_soft; padding: 0 7px; }

QCheckBox, QRadioButton { spacing: 8px; background: transparent; padding: 3px; }
QCheckBox:focus, QRadioButton:focus { border: 1px dotted $accent; border-radius: ${mark}px; padding: 2px; }
QCheckBox::indicator, QTableView::indicator, QListView::indicator, QTreeView::indicator {
    width: 16px; height: 16px; border: 1px solid $line_strong; border-radius: ${mark}px; background: $sheet;
}
QCheckBox::indicator:hover { border-color: $accent; }
QCheckBox::indicator:checked, QTableView::indicator:checked, QListView::indicator:checked,
QTreeView::indicator:checked { background: $accent; border-color: $accent; image: url("$marks/tick-$name.svg"); }
QCheckBox::indicator:disabled, QRadioButton::indicator:disabled { border-color: $line; background: $paper; }
QRadioButton::indicator {
    width: 16px; height: 16px; border: 1px solid $line_strong; border-radius: 9px; background: $sheet;
}
QRadioButton::indicator:hover { border-color: $accent; }
QRadioButton::indicator:checked {
    border-color: $accent;
    background: qradialgradient(cx: 0.5, cy: 0.5, radius: 0.5, fx: 0.5, fy: 0.5,
        stop: 0 $accent, stop: 0.55 $accent, stop: 0.65 $sheet, stop: 1 $sheet);
}
QFrame[toast="true"] { background: $sheet; border: 1px solid $line_strong; border-radius: ${card}px; }
QGroupBox { border: 1px solid $line; border-radius: ${card}px; margin-top: 10px; padding: 12px; }
QGroupBox::title { subcontrol-origin: margin; left: 12px; color: $ink_soft; }

QTabWidget::pane { border: 0; border-top: 1px solid $line; }
QTabBar { background: transparent; }
QTabBar::tab {
    background: transparent; color: $ink_soft; border: 0; border-bottom: 3px solid transparent; padding: 8px 14px;
}
QTabBar::tab:hover { color: $ink; }
QTabBar::tab:selected { color: $ink; border-bottom: 3px solid $accent; }
QTabBar::tab:focus { background: $accent_soft; }

QMenuBar { background: $paper; color: $ink; border-bottom: 1px solid $line; padding: 2px 4px; }
QMenuBar::item { padding: 5px 10px; background: transparent; border-radius: ${mark}px; }
QMenuBar::item:selected { background: $accent_soft; }
QMenu { background: $sheet; color: $ink; border: 1px solid $line_strong; padding: 5px; }
QMenu::item { padding: 6px 26px 6px 12px; border-radius: ${mark}px; }
QMenu::icon { padding-left: 8px; }
QMenu::item:selected { background: $accent_soft; color: $ink; }
QMenu::item:disabled { color: $ink_faint; }
QMenu::separator { height: 1px; background: $line; margin: 5px 8px; }
QStatusBar { background: $paper; color: $ink_soft; border-top: 1px solid $line; }
QStatusBar::item { border: 0; }
QProgressBar {
    background: $sunk; border: 1px solid $line_strong; border-radius: ${mark}px; text-align: center; min-height: 14px;
}
QProgressBar::chunk { background: $under_fill; }

QScrollArea { background: transparent; border: 0; }
QScrollArea > QWidget > QWidget#page { background: $paper; }
QScrollBar:vertical { background: transparent; width: 12px; margin: 0; }
QScrollBar:horizontal { background: transparent; height: 12px; margin: 0; }
QScrollBar::handle { background: $scroll; border-radius: 4px; margin: 2px; }
QScrollBar::handle:vertical { min-height: 32px; }
QScrollBar::handle:horizontal { min-width: 32px; }
QScrollBar::handle:hover { background: $line_strong; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QSplitter::handle { background: transparent; }
QSplitter::handle:hover { background: $accent_soft; }
QSplitter::handle:horizontal { width: 9px; }
QSplitter::handle:vertical { height: 9px; }
QCalendarWidget QWidget { alternate-background-color: $sunk; }
QCalendarWidget QAbstractItemView { background: $sheet; border: 0; selection-background-color: $accent;
    selection-color: $on_accent; }
QCalendarWidget QWidget#qt_calendar_navigationbar { background: $sheet; }
QCalendarWidget QToolButton { border-color: transparent; background: transparent; padding: 3px 6px; }
QCalendarWidget QToolButton:hover { background: $accent_soft; }
QCalendarWidget QToolButton::menu-indicator { image: none; }
""")


def stylesheet(tokens: Tokens) -> str:
    """The whole stylesheet in the colours of `tokens`."""
    colours = {name: getattr(tokens, name) for name in tokens.__slots__ if isinstance(getattr(tokens, name), str)}
    return _SHEET.substitute(
        colours,
        marks=_MARKS,
        mark=tokens.radius.mark,
        control=tokens.radius.control,
        card=tokens.radius.card,
    )
