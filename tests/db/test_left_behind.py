"""What a killed maker left is known by its lock and cleared at the next start; what is being made is left alone."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from db.company_file import back_up, backup_folder, open_company, photo_folder
from db.company_file.workplace import SAMPLE, clear_left_behind, workplace
from tests.db.company_files import company_file, program

posix_only = pytest.mark.skipif(os.name != "posix", reason="the system has no such signal")

MAKER = """
import sys, time
from pathlib import Path
from db.company_file.workplace import workplace
with workplace(Path(sys.argv[1])) as work:
    (work / "half").write_bytes(b"x" * 1000)
    print("at work", flush=True)
    time.sleep(60)
"""


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


@posix_only
def test_a_living_makers_work_is_left_alone_and_a_killed_ones_is_cleared(tmp_path: Path) -> None:
    maker = program(MAKER, tmp_path)
    assert maker.stdout is not None
    assert maker.stdout.readline() == "at work\n"
    (place,) = tmp_path.iterdir()
    old = 86_400.0
    os.utime(place, (old, old))  # however old it looks
    assert clear_left_behind([tmp_path]) == 0
    assert (place / "half").exists()
    maker.send_signal(signal.SIGKILL)
    maker.wait()
    assert clear_left_behind([tmp_path, tmp_path / "gone"]) == 1
    assert names(tmp_path) == []


def test_of_ones_own_program_too_and_what_is_no_workplace_stays(tmp_path: Path) -> None:
    other = tmp_path / ".riserbook-unfinished-notes"
    other.mkdir()
    (tmp_path / ".riserbook-unfinished-0123456789ab").write_text("a file of that name")
    with workplace(tmp_path) as one, workplace(tmp_path, SAMPLE) as two:
        assert clear_left_behind([tmp_path]) == 0
        assert one.is_dir()
        assert two.is_dir()
    assert names(tmp_path) == [".riserbook-unfinished-0123456789ab", other.name]


def test_a_maker_killed_before_it_held_its_lock_is_cleared(tmp_path: Path) -> None:
    (tmp_path / ".riserbook-unfinished-0123456789ab").mkdir()
    assert clear_left_behind([tmp_path]) == 1
    assert names(tmp_path) == []


def test_opening_clears_beside_the_firm_among_its_backups_its_photos_and_where_it_was_backed_up_to(
    tmp_path: Path,
) -> None:
    path, stick = company_file(tmp_path), tmp_path / "stick"
    stick.mkdir()
    back_up(path)
    photo_folder(path).mkdir(mode=0o755)
    (photo_folder(path) / ".26-001-aa.jpg.part").write_bytes(b"half a photo")
    with pytest.MonkeyPatch.context() as patch:  # killed: nothing of its ending runs
        patch.setattr("db.company_file.elsewhere._make", lambda *_: (_ for _ in ()).throw(SystemExit))
        patch.setattr("db.company_file.elsewhere.begun_in", _begun_only)
        with pytest.raises(SystemExit):
            back_up(path, stick)
    for folder in (tmp_path, backup_folder(path), stick):
        (folder / ".riserbook-unfinished-0123456789ab").mkdir()
        (folder / ".riserbook-unfinished-0123456789ab" / "maker").touch()
    lonely = backup_folder(path) / "notes" / "2026-03-02 21.00.00 rolling.riserbook.json"
    lonely.write_text("{}")
    open_company(path).close()
    assert names(stick) == []
    assert names(photo_folder(path)) == []
    assert not lonely.exists()
    assert [one for one in tmp_path.rglob("*") if "unfinished" in one.name] == []


class _begun_only:
    def __init__(self, path: Path, folder: Path) -> None:
        from db.company_file.elsewhere import _note

        _note(path, begun=str(folder))

    def __enter__(self) -> None: ...

    def __exit__(self, *_: object) -> None: ...
