"""The yardstick: a process that imports SQLAlchemy's ORM and shows a bare Qt window with a table of 50 x 8."""

from __future__ import annotations

import sys

import sqlalchemy.orm
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QApplication, QMainWindow, QTableWidget, QTableWidgetItem


class QuitWhenPainted(QObject):
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            QTimer.singleShot(0, QApplication.quit)
        return False


def main() -> int:
    assert sqlalchemy.orm.Session
    app = QApplication(sys.argv)
    window = QMainWindow()
    table = QTableWidget(50, 8)
    for row in range(50):
        for column in range(8):
            table.setItem(row, column, QTableWidgetItem(f"{row * column}"))
    window.setCentralWidget(table)
    window.resize(1280, 800)
    watcher = QuitWhenPainted()
    table.viewport().installEventFilter(watcher)
    window.show()
    return app.exec()


if __name__ == "__main__":
    sys.exit(main())
