"""Every command at the edge: what cannot be read or written is one kind line, a status, and never a traceback.

The list of commands is the parser's own, so that a new one is asked too. Run as root, a folder takes files whatever its
mode, so that "may not be written" is asked of a folder that is not one.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from db.company_file import create_company
from desktop import cli, terminal
from desktop.cli import COMMANDS
from tests.desktop.cli_at_the_edge import Surroundings, ask, is_one_kind_line, words_of, writes

READING = [command for command in COMMANDS if command != "sample"]
WRITING = [command for command in COMMANDS if writes(command)]
posix = pytest.mark.skipif(os.name != "posix", reason="as a Unix shell sets it up")


@pytest.fixture(scope="module")
def firm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("firm") / "Heron Hill.riserbook"
    create_company(path, "Heron Hill Radon", "", date(2026, 5, 4)).close()
    return path


def asked(words: list[str], capfd: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    status = cli.main(words)
    said = capfd.readouterr()
    return status, said.out, said.err


def _missing(place: Path) -> Path:
    return place / "nowhere.riserbook"


def _folder(place: Path) -> Path:
    (place / "a folder.riserbook").mkdir()
    return place / "a folder.riserbook"


def _empty(place: Path) -> Path:
    (place / "empty.riserbook").touch()
    return place / "empty.riserbook"


def _under_a_file(place: Path) -> Path:
    return _empty(place) / "inside.riserbook"


def _home_of_nobody(place: Path) -> Path:
    return Path("~nobody-of-that-name/firm.riserbook")


def _pipe(place: Path) -> Path:
    path = place / "pipe.riserbook"
    if os.name != "posix":
        return _missing(place)
    os.mkfifo(path)
    return path


def _loop(place: Path) -> Path:
    path = place / "round.riserbook"
    if os.name != "posix":
        return path
    path.symlink_to(place / "and round")
    (place / "and round").symlink_to(path)
    return path


def _too_long(place: Path) -> Path:
    return place / f"{'long ' * 80}.riserbook"


@pytest.mark.parametrize("make", [_missing, _folder, _empty, _under_a_file, _home_of_nobody, _too_long, _pipe, _loop])
@pytest.mark.parametrize("command", READING)
def test_a_file_that_is_none(
    command: str, make: Callable[[Path], Path], tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    status, out, err = asked(words_of(command, make(tmp_path), tmp_path), capfd)
    assert status == 1
    assert is_one_kind_line(err or f"riserbook: {out.splitlines()[0]}.")


@pytest.mark.parametrize("command", WRITING)
def test_a_place_that_takes_nothing(
    command: str, firm: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "a file").touch()
    places = (tmp_path / "nowhere" / "deeper", tmp_path / "a file")
    for place in places[:1] if command == "restore" else places:  # a file's name gets the ending of a firm's there
        status, out, err = asked(words_of(command, firm, place), capfd)
        assert (status, out) == (1, "")
        assert is_one_kind_line(err)
        assert place.name in err or place.parent.name in err
    assert [one.name for one in tmp_path.iterdir()] == ["a file"]


@pytest.mark.parametrize("command", [command for command in WRITING if command not in ("sample", "backup", "restore")])
def test_what_is_read_is_never_written_over(
    command: str, firm: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    words = words_of(command, firm, tmp_path)
    out = Path(words[-1])
    kept = out.with_name(f"firm{out.suffix}")
    kept.write_bytes(firm.read_bytes())
    out.hardlink_to(kept)
    status, _, err = asked([command, str(kept), *words[2:]], capfd)
    assert status == 1
    assert "the very file that is read" in err
    assert kept.read_bytes() == firm.read_bytes()


def test_a_backup_is_not_restored_over_itself(firm: Path, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert asked(["backup", str(firm), str(tmp_path)], capfd)[0] == 0
    (backup,) = tmp_path.iterdir()
    kept = backup.read_bytes()
    status, _, err = asked(["restore", str(backup), str(backup), "--replace"], capfd)
    assert (status, backup.read_bytes()) == (1, kept)
    assert is_one_kind_line(err)


@posix
@pytest.mark.parametrize(
    ("words", "around", "status", "said"),
    [
        (["check"], Surroundings(after=">/dev/full"), 1, "could not be written"),
        (["--help"], Surroundings(after=">/dev/full"), 1, "could not be written"),
        (["margins"], Surroundings(after=">&-"), 1, "nowhere to go"),
        (["check"], Surroundings(after=">/dev/null 2>&-"), 0, ""),
        (["costing"], Surroundings(after="| true; exit ${PIPESTATUS[0]}"), 0, ""),
        (["nowhere"], Surroundings({"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}), 1, '"nowhere"'),
        (["check"], Surroundings(first="env LC_ALL=xx"), 0, ""),
        (["--tour"], Surroundings(), 1, "it is a file, not a folder"),
        (["check"], Surroundings({"TMPDIR": "/nonexistent", "HOME": "/dev/null"}), 0, ""),
        (["export"], Surroundings(first="ulimit -f 4; exec"), 1, "full"),
        (["--sample"], Surroundings({"HOME": "/dev/null", "XDG_CACHE_HOME": None}, "ulimit -f 4; exec"), 1, "full"),
    ],
)  # fmt: skip
def test_around_it(
    words: list[str], around: Surroundings, status: int, said: str, firm: Path, tmp_path: Path
) -> None:
    env = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY")}
    env.pop("QT_QPA_PLATFORM", None)
    if words[0] == "nowhere":
        words = ["check", str(tmp_path / "nowhere")]
    elif words == ["--tour"]:
        words = ["--tour", str(firm)]
    elif not words[0].startswith("--"):
        words = words_of(words[0], firm, tmp_path)
    ended = ask(words, env, around)
    assert ended.status == status, ended
    assert "Traceback" not in ended.err + ended.out
    if said:
        assert said in ended.err
        assert is_one_kind_line(ended.err)
    else:
        assert ended.err == ""


@pytest.mark.parametrize(("stop", "status"), [(KeyboardInterrupt, 130), (BrokenPipeError, 0), (SystemExit, 0)])
def test_a_command_that_is_stopped(
    stop: type[BaseException], status: int, firm: Path, monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    from desktop import reports

    def stopped(_options: object) -> str:
        raise stop

    monkeypatch.setattr(reports, "run_check", stopped)
    got, _, err = asked(["check", str(firm)], capfd)
    assert got == status
    assert len(err.splitlines()) == (1 if stop is KeyboardInterrupt else 0)


@posix
def test_a_wish_to_end_runs_what_cleans_up() -> None:
    with pytest.raises(SystemExit) as leaving, terminal.orderly_end():
        signal.raise_signal(signal.SIGTERM)
    assert leaving.value.code == 128 + signal.SIGTERM
    assert signal.getsignal(signal.SIGTERM) is signal.SIG_DFL


def test_a_bug_is_a_line_with_a_report_that_has_no_data(
    firm: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    from desktop import reports

    def broken(_options: object) -> str:
        return str(int("-".join(("Petronella", "Vandersloot"))))

    monkeypatch.setattr(reports, "run_costing", broken)
    status, out, err = asked(["costing", str(firm)], capfd)
    assert (status, out) == (1, "")
    assert is_one_kind_line(err)
    report = next((firm.parent / "Heron Hill reports").glob("report-*.txt"))
    assert str(report) in err
    assert "Petronella-" not in err + report.read_text("utf-8")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="homes are found otherwise elsewhere")
def test_no_home_makes_no_folder_of_that_name(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from desktop import own_folders

    def unknown() -> Path:
        raise RuntimeError

    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", "somewhere")
    monkeypatch.setattr(own_folders.Path, "home", unknown)
    own_folders.name_a_home()
    assert os.environ["HOME"] == "/nonexistent"
    for name in ("XDG_CONFIG_HOME", "XDG_STATE_HOME"):
        monkeypatch.delenv(name)
    settings, logs = own_folders.settings_folder(), own_folders.log_folder()
    assert settings is not None
    assert settings.is_absolute()
    assert logs is not None
    assert list(tmp_path.iterdir()) == []
