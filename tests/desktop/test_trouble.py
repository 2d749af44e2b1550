"""An error nobody expected becomes a report without anybody's data and a word, never a traceback on the screen."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text
from sqlalchemy.exc import SQLAlchemyError

from desktop import fault_report, log_file, trouble

SECRET = "Petronella Vandersloot 614-555-0199"


@pytest.fixture(autouse=True)
def hooks(monkeypatch: pytest.MonkeyPatch) -> None:
    for module, name in ((sys, "excepthook"), (sys, "unraisablehook"), (threading, "excepthook")):
        monkeypatch.setattr(module, name, getattr(module, name))


def _statement(value: str) -> None:
    with create_engine("sqlite://").connect() as conn:
        conn.execute(text("INSERT INTO nowhere VALUES (:who)"), {"who": value})


def _number(value: str) -> None:
    int(value)


def _missing(value: str) -> None:
    {}[value]


def _file(value: str) -> None:
    open(f"/nowhere/{value}/bill.pdf", "rb").close()


def _chained(value: str) -> None:
    try:
        _statement(value)
    except SQLAlchemyError as error:
        error.add_note(value)
        raise RuntimeError(value) from error


def _group(value: str) -> None:
    raise ExceptionGroup(value, [ValueError(value)])


def _deep(value: str) -> None:
    _deep(value + "!")


BROKEN = (_statement, _number, _missing, _file, _chained, _group, _deep)


def caught(work: object, value: str = SECRET) -> BaseException:
    try:
        work(value)  # type: ignore[operator]
    except BaseException as error:
        return error
    raise AssertionError("it was to fail")


@pytest.mark.parametrize("work", BROKEN, ids=lambda work: work.__name__)
def test_a_report_has_the_places_and_nothing_that_was_typed(work: object) -> None:
    error = caught(work)
    said = fault_report.report_text(error, datetime.now().astimezone())
    for word in SECRET.split():
        assert word not in said
    assert type(error).__name__ in said
    assert f"test_trouble.py:{error.__traceback__.tb_lineno} caught" in said  # type: ignore[union-attr]
    assert str(Path(__file__).parent) not in said
    assert len(said.splitlines()) < 160


def test_a_report_names_what_the_system_said_by_its_number_alone() -> None:
    assert "FileNotFoundError ENOENT" in fault_report.report_text(caught(_file), datetime.now().astimezone())
    chained = fault_report.report_text(caught(_chained), datetime.now().astimezone())
    assert "caused by" in chained
    assert "sqlite3.OperationalError SQLITE_ERROR" in chained


def test_the_report_lies_beside_the_firm_for_its_owner_alone(tmp_path: Path) -> None:
    firm = tmp_path / "Heron Hill.riserbook"
    report = fault_report.write_report(caught(_number), firm)
    assert report is not None
    assert report.parent == tmp_path / "Heron Hill reports"
    assert list(tmp_path.glob("*")) == [report.parent]
    if os.name == "posix":
        assert report.stat().st_mode & 0o077 == 0
        assert report.parent.stat().st_mode & 0o077 == 0


def test_where_it_cannot_lie_beside_the_firm_it_goes_to_the_logs(tmp_path: Path, own_home: Path) -> None:
    (tmp_path / "Heron Hill reports").write_text("a file of that name", "utf-8")
    report = fault_report.write_report(caught(_number), tmp_path / "Heron Hill.riserbook")
    assert report is not None
    assert report.is_relative_to(own_home)


def test_only_the_newest_reports_are_kept() -> None:
    paths = [fault_report.write_report(caught(_number)) for _ in range(fault_report.KEPT_REPORTS + 4)]
    kept = [path for path in paths if path is not None and path.exists()]
    assert len(kept) == fault_report.KEPT_REPORTS
    assert paths[-1] in kept


def test_it_is_written_and_told_and_nothing_is_on_the_terminal(capfd: pytest.CaptureFixture[str]) -> None:
    told: list[Path | None] = []
    trouble.catch_everything(told.append)
    error = caught(_number)
    sys.excepthook(type(error), error, error.__traceback__)
    assert told[0] is not None
    assert "ValueError" in told[0].read_text("utf-8")
    assert capfd.readouterr().err == ""


def test_an_error_of_every_repaint_is_told_once() -> None:
    told: list[Path | None] = []
    trouble.catch_everything(told.append)
    for work in (_number, _number, _missing, _number):
        error = caught(work)
        sys.excepthook(type(error), error, error.__traceback__)
    assert len(told) == 2


def test_the_net_holds_when_telling_fails_too(capfd: pytest.CaptureFixture[str]) -> None:
    def fail(_report: Path | None) -> None:
        raise RuntimeError(SECRET)

    trouble.catch_everything(fail)
    error = caught(_number)
    sys.excepthook(type(error), error, error.__traceback__)
    assert capfd.readouterr().err == ""


def test_an_error_on_another_thread_is_written_down_and_opens_no_box(capfd: pytest.CaptureFixture[str]) -> None:
    told: list[Path | None] = []
    trouble.catch_everything(told.append)
    thread = threading.Thread(target=_number, args=(SECRET,))
    thread.start()
    thread.join()
    assert told == []
    assert capfd.readouterr().err == ""
    folder = next(iter(fault_report.report_folders(None)))
    assert len(list(folder.glob("report-*.txt"))) == 1


@pytest.fixture
def listening() -> Iterator[None]:
    log_file.begin("window")
    yield
    log_file.stop()


def test_the_log_has_places_and_names_of_files_and_nothing_else(listening: None, tmp_path: Path) -> None:
    log_file.write_down()
    log_file.note_opened(tmp_path / SECRET.split()[0] / "Heron\nHill.riserbook", 0.021)
    for work in BROKEN:
        log_file.note_refused(caught(work), work)
        log_file.note_fault(caught(work), None)
    for message in (f"QPainter::begin: {SECRET}", f"{SECRET}: no", f"<img src={SECRET}>", "qt.svg: x"):
        log_file.note_qt("QtWarningMsg", message)
    with log_file.timed("step", lambda: SECRET):
        pass
    log_file.note_end("window", 0, 1.5)
    said = "\n".join(log_file.newest_lines())
    for word in SECRET.split():
        assert word not in said
    assert "opened Heron?Hill.riserbook in 21 ms" in said
    assert "ValueError at test_trouble.py:" in said
    assert "QPainter::begin" in said
    assert "end window, status 0, 1500 ms" in said
    assert "SQLite" in said  # the versions


def test_the_log_is_its_owners_alone_and_turned_over(listening: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(log_file, "LARGEST", 2000)
    log_file.write_down()
    for _ in range(300):
        log_file.note_end("costing", 0, 0.1)
    from desktop.own_folders import log_folder

    folder = log_folder()
    assert folder is not None
    files = list(folder.glob("riserbook.log*"))
    assert len(files) == 1 + log_file.OLDER_FILES
    assert all(file.stat().st_size <= 2000 for file in files)
    if os.name == "posix":
        assert [file.name for file in (folder, *files) if file.stat().st_mode & 0o077] == []


def test_no_log_is_no_trouble(listening: None, own_home: Path, capfd: pytest.CaptureFixture[str]) -> None:
    (own_home / "state").write_text("a file where the folder was to be", "utf-8")
    log_file.note_end("costing", 0, 0.1)
    log_file.write_down()
    log_file.note_end("costing", 0, 0.1)
    assert log_file.newest_lines() == []
    assert capfd.readouterr().err == ""
