"""Whether a window can open: the loader and the screen are asked, and what they miss is told with what to do."""

from __future__ import annotations

import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import nullcontext
from pathlib import Path

import pytest

from desktop import cli, reports, sample, screen, system_libraries

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only a Linux is asked")


@pytest.fixture(autouse=True)
def no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM", "XDG_RUNTIME_DIR"):
        monkeypatch.setenv(name, "")  # so that what is set meanwhile is taken back
        monkeypatch.delenv(name)


@pytest.fixture
def qt_of_ours(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that stands for PySide6, with a plugin for X that is a library of the system's own."""
    plugins = tmp_path / "PySide6" / "Qt" / "plugins" / "platforms"
    plugins.mkdir(parents=True)
    monkeypatch.setattr(system_libraries, "_pyside_folder", lambda: tmp_path / "PySide6")
    return plugins


def build_needing(libraries: list[str], target: Path) -> None:
    """A small library that needs others, which are taken away again after it was linked against them."""
    code = target.with_suffix(".c")
    code.write_text("int nothing(void) { return 0; }\n", "utf-8")
    needed = []
    for name in libraries:
        needed.append(target.with_name(name))
        subprocess.run(["cc", "-shared", f"-Wl,-soname,{name}", "-o", needed[-1], code], check=True)
    subprocess.run(["cc", "-shared", "-Wl,--no-as-needed", "-o", target, code, *needed], check=True)
    for file in needed:
        file.unlink()


def test_the_qt_in_use_is_asked_and_not_a_list(monkeypatch: pytest.MonkeyPatch) -> None:
    plugin = system_libraries.plugin_file("offscreen")
    assert plugin is not None
    assert system_libraries.missing_for(plugin) == []
    assert {"xcb", "offscreen", "wayland"} <= set(system_libraries.ways_there_are())
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    assert screen.why_no_window() is None


def test_all_that_is_missing_is_told_at_once(qt_of_ours: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    if system_libraries.shutil.which("cc") is None:
        pytest.skip("no compiler here")
    build_needing(["libnosuch-thing.so.9", "libno_such4.so.2"], qt_of_ours / "libqxcb.so")
    monkeypatch.setenv("QT_QPA_PLATFORM", "xcb")
    monkeypatch.setattr(screen, "_x_server_answers", lambda: True)
    monkeypatch.setattr(system_libraries.shutil, "which", lambda name: {"ldd": "ldd", "apt-get": "apt-get"}.get(name))
    said = screen.why_no_window()
    assert said is not None
    assert "libno_such4.so.2, libnosuch-thing.so.9" in said
    assert "sudo apt-get install libno-such4-2 libnosuch-thing9," in said
    assert "\n" not in said


def test_without_a_lister_the_loaders_own_word_is_told(qt_of_ours: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (qt_of_ours / "libqxcb.so").write_text("no library at all", "utf-8")
    monkeypatch.setattr(system_libraries.shutil, "which", lambda _name: None)
    assert len(system_libraries.missing_for(qt_of_ours / "libqxcb.so")) == 1


@pytest.mark.parametrize(
    ("library", "package"),
    [
        ("libxcb-cursor.so.0", "libxcb-cursor0"),
        ("libEGL.so.1", "libegl1"),
        ("libX11.so.6", "libx11-6"),
        ("libX11-xcb.so.1", "libx11-xcb1"),
        ("libxkbcommon-x11.so.0", "libxkbcommon-x11-0"),
        ("libdbus-1.so.3", "libdbus-1-3"),
        ("libgssapi_krb5.so.2", "libgssapi-krb5-2"),
        ("libglib-2.0.so.0", "libglib2.0-0"),
    ],
)
def test_packages_are_named_as_debian_names_them(library: str, package: str) -> None:
    """The pairs are those `dpkg -S` gives on Debian 12 (seen for libxcb-cursor0, libegl1, libx11-6, libx11-xcb1,
    libxkbcommon-x11-0, libdbus-1-3, libgssapi-krb5-2 and libglib2.0-0 installed there)."""
    assert system_libraries.debian_package(library) == package


@pytest.mark.parametrize("named", [":987", "nowhere.invalid:0", "gibberish"])
def test_a_screen_that_does_not_answer_is_one_line(
    named: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("DISPLAY", named)
    assert cli.main([]) == 1
    said = capsys.readouterr().err
    assert said.startswith(f"riserbook: the screen that DISPLAY names, “{named}”, does not answer")
    assert len(said.splitlines()) == 1
    monkeypatch.setattr(reports, "costing_summary", lambda _path: "quoted against actual")
    monkeypatch.setattr(sample, "fresh_copy", lambda: nullcontext(Path("Sample.riserbook")))
    assert cli.main(["--sample"]) == 0  # as the README says of a machine without a screen
    told = capsys.readouterr()
    assert told.err == said
    assert told.out.splitlines()[1:] == ["quoted against actual"]


def test_a_way_to_draw_that_qt_has_not_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QT_QPA_PLATFORM", "etching")
    assert "“etching”" in str(screen.why_no_window())
    monkeypatch.setenv("QT_QPA_PLATFORM", "etching;offscreen")
    assert screen.why_no_window() is None
    assert screen.os.environ["QT_QPA_PLATFORM"] == "offscreen"


@pytest.fixture
def wayland(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[list[bytes]]:
    """A socket that takes one connection and answers a sync as the protocol says: the callback is done."""
    asked: list[bytes] = []
    server = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
    server.bind(str(tmp_path / "wl-0"))
    server.listen()
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    monkeypatch.setenv("WAYLAND_DISPLAY", "wl-0")

    def serve() -> None:
        line, _ = server.accept()
        asked.append(line.recv(64))
        line.sendall(bytes(12))
        line.close()

    threading.Thread(target=serve, daemon=True).start()
    yield asked
    server.close()


def test_a_wayland_screen_is_asked_in_its_own_protocol(wayland: list[bytes]) -> None:
    assert screen._answers(screen._wayland_answers) is True
    assert len(wayland[0]) == 12


def test_a_screen_that_hangs_is_one_that_does_not_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(screen, "PATIENCE_S", 0.05)
    never = threading.Event()
    assert screen._answers(never.wait) is False
    never.set()


def test_a_dead_first_screen_gives_way_to_a_second_that_answers(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    monkeypatch.setenv("WAYLAND_DISPLAY", "gone")
    monkeypatch.setenv("DISPLAY", ":1")
    monkeypatch.setattr(screen, "_x_server_answers", lambda: True)
    monkeypatch.setattr(screen, "missing_for", lambda _plugin: [])
    assert screen.why_no_window() is None
    assert screen.os.environ["QT_QPA_PLATFORM"] == "xcb"
    monkeypatch.delenv("QT_QPA_PLATFORM")
    monkeypatch.setattr(screen, "_x_server_answers", lambda: False)
    said = str(screen.why_no_window())
    assert "WAYLAND_DISPLAY" in said
    assert "DISPLAY names, “:1”" in said
