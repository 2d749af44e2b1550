"""A backup is whole: the firm's file with its photos, reports and bills, restored on a machine that has none."""

from __future__ import annotations

import os
import random
import shutil
import stat
from pathlib import Path

import pytest

from db.company_file import (
    back_up,
    back_up_if_changed,
    backup_folder,
    check_file,
    kept,
    list_backups,
    open_company,
    photo_folder,
    restore,
    save_copy,
)
from db.company_file.container import BrokenBackup, NeedsPassword, is_container, verify_container
from db.company_file.elsewhere import last_elsewhere
from db.company_file.places import store_folder
from db.company_file.problems import CompanyProblem, NotOurs, Refused
from tests.db.company_files import add_customer, content, customer_names
from tests.db.whole_firm import WholeFirm, add_papers, papers_of, quick_passwords, whole_firm

PASSWORD = "four gray slate crows"


@pytest.fixture
def firm(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> WholeFirm:
    quick_passwords(monkeypatch)
    (tmp_path / "desk").mkdir()
    (tmp_path / "stick").mkdir()
    (tmp_path / "other machine").mkdir()
    return whole_firm(tmp_path / "desk")


@pytest.mark.parametrize("password", [None, PASSWORD])
def test_one_file_brings_everything_to_another_machine(firm: WholeFirm, tmp_path: Path, password: str | None) -> None:
    made = back_up(firm.path, tmp_path / "stick", password)
    shutil.move(made, tmp_path / "other machine" / made.name)
    there = tmp_path / "other machine" / "Quarry Lane.riserbook"
    before = content(firm.path)
    shutil.rmtree(tmp_path / "desk")
    assert restore(there, tmp_path / "other machine" / made.name, password) is None
    assert content(there) == before
    assert papers_of(there) == firm.papers
    assert len(firm.papers) == 4
    open_company(there).close()


def test_a_backup_is_one_file_and_is_noted_beside_the_firm(firm: WholeFirm, tmp_path: Path) -> None:
    assert last_elsewhere(firm.path) is None
    made = back_up(firm.path, tmp_path / "stick")
    again = back_up(firm.path, tmp_path / "stick", PASSWORD)
    assert sorted((tmp_path / "stick").iterdir()) == sorted([made, again])
    last = last_elsewhere(firm.path)
    assert last is not None
    assert (last.path, last.papers, last.missing, last.sealed) == (again, 4, (), True)
    assert verify_container(made, None).holdings["jobs"] == 1


def test_under_a_password_nothing_can_be_read(firm: WholeFirm, tmp_path: Path) -> None:
    made = back_up(firm.path, tmp_path / "stick", PASSWORD)
    sealed = made.read_bytes()
    for told in (b"SQLite format", b"Quarry Lane Radon", b"\x89PNG\r\n", b"contents.json", b"laboratory"):
        assert told not in sealed
        assert told in back_up(firm.path, tmp_path / "stick").read_bytes()
    for wrong in (None, "", "four gray slate crow", PASSWORD.upper()):
        with pytest.raises(NeedsPassword, match="password"):
            restore(tmp_path / "other machine" / "x.riserbook", made, wrong)
    assert list((tmp_path / "other machine").iterdir()) == []
    with pytest.raises(Refused, match="shorter than 8"):
        back_up(firm.path, tmp_path / "stick", "short")


@pytest.mark.parametrize("password", [None, PASSWORD])
def test_a_backup_cut_short_or_changed_is_told_and_nothing_is_restored(
    firm: WholeFirm, tmp_path: Path, password: str | None
) -> None:
    whole = back_up(firm.path, tmp_path / "stick", password).read_bytes()
    there, bad = tmp_path / "other machine" / "x.riserbook", tmp_path / "stick" / "bad.riserbackup"
    middle = len(whole) // 2
    flipped = bytearray(whole)
    flipped[middle] ^= 4
    for harm in (whole[:middle], whole[: len(whole) - 11_000], whole[:3000], bytes(flipped), whole[:60]):
        bad.write_bytes(harm)
        with pytest.raises((BrokenBackup, NotOurs), match=r"whole|not a firm's file"):
            restore(there, bad, password)
        assert list((tmp_path / "other machine").iterdir()) == []


def test_rolling_backups_keep_each_paper_once(firm: WholeFirm, tmp_path: Path) -> None:
    with open_company(firm.path) as opened:
        add_customer(opened, "Bo")
        back_up_if_changed(opened)
        first = {entry.name: entry.stat().st_ino for entry in store_folder(firm.path).iterdir()}
        assert set(first) == set(firm.papers)
        add_papers(opened, firm.job.job_id, tmp_path, 30)
        back_up_if_changed(opened)
    then = {entry.name: entry.stat().st_ino for entry in store_folder(firm.path).iterdir()}
    assert len(then) == 6
    assert {name: then[name] for name in first} == first  # not written again
    newest, older, *_ = list_backups(firm.path)
    assert (newest.papers, older.papers, newest.missing) == (6, 4, ())


def test_a_rolling_backup_brings_back_papers_that_went(firm: WholeFirm) -> None:
    open_company(firm.path).close()
    (backup, *_) = list_backups(firm.path)
    shutil.rmtree(photo_folder(firm.path))
    firm.path.unlink()
    restore(firm.path, backup.path)
    assert papers_of(firm.path) == firm.papers


def test_a_paper_that_comes_back_is_backed_up_although_nothing_was_edited(firm: WholeFirm, tmp_path: Path) -> None:
    name = next(iter(firm.papers))
    away = shutil.move(photo_folder(firm.path) / name, tmp_path / name)
    with open_company(firm.path) as opened:
        assert list_backups(firm.path)[0].missing == (name,)
        shutil.move(away, photo_folder(firm.path) / name)
        assert back_up_if_changed(opened) is None
    assert (store_folder(firm.path) / name).read_bytes() == firm.papers[name]


def test_a_changed_paper_never_replaces_the_sound_one_in_the_backups(firm: WholeFirm, tmp_path: Path) -> None:
    back_up(firm.path)
    name = next(iter(firm.papers))
    (photo_folder(firm.path) / name).write_bytes(b"scribbled over")
    back_up(firm.path)
    assert (store_folder(firm.path) / name).read_bytes() == firm.papers[name]
    made = back_up(firm.path, tmp_path / "stick")  # the sound one is taken from there
    assert verify_container(made, None).missing == ()
    restore(firm.path, list_backups(firm.path)[0].path)
    assert papers_of(firm.path) == firm.papers


def test_what_could_not_be_found_is_named(firm: WholeFirm, tmp_path: Path) -> None:
    name = next(iter(firm.papers))
    (photo_folder(firm.path) / name).unlink()
    back_up(firm.path, tmp_path / "stick")
    last = last_elsewhere(firm.path)
    assert last is not None
    assert (last.papers, last.missing) == (3, (name,))
    back_up(firm.path)
    assert list_backups(firm.path)[0].missing == (name,)


def test_a_copy_brings_its_papers_and_is_named_last(firm: WholeFirm, tmp_path: Path) -> None:
    there = tmp_path / "stick" / "Copy.riserbook"
    seen: list[bool] = []
    with open_company(firm.path) as opened, pytest.MonkeyPatch.context() as patch:
        from db.company_file import copies

        real = copies.put_in_folder

        def watched(*arguments: object, **named: object) -> object:
            seen.append(there.exists())
            return real(*arguments, **named)  # type: ignore[arg-type]

        patch.setattr(copies, "put_in_folder", watched)
        save_copy(opened, there)
    assert seen == [False]
    assert papers_of(there) == firm.papers
    assert content(there) == content(firm.path)


def test_restoring_keeps_newer_work_and_newer_papers(firm: WholeFirm, tmp_path: Path) -> None:
    made = back_up(firm.path, tmp_path / "stick")
    with open_company(firm.path, backup=False) as opened:
        add_customer(opened, "Bo Newer")
        add_papers(opened, firm.job.job_id, tmp_path, 40)
    newer = papers_of(firm.path)
    safety = restore(firm.path, made)
    assert safety is not None
    assert papers_of(firm.path) == newer
    restore(firm.path, safety)
    with open_company(firm.path) as opened:
        assert "Bo Newer" in customer_names(opened)
    assert papers_of(firm.path) == newer


def test_what_lies_in_the_folder_without_a_row_comes_along_and_is_never_written_over(
    firm: WholeFirm, tmp_path: Path
) -> None:
    plan = photo_folder(firm.path) / "plan-of-mine.pdf"
    plan.write_bytes(b"first")
    made = back_up(firm.path, tmp_path / "stick")
    there = tmp_path / "other machine" / "Q.riserbook"
    restore(there, made)
    assert (photo_folder(there) / "plan-of-mine.pdf").read_bytes() == b"first"
    plan.write_bytes(b"second")
    restore(firm.path, made)
    assert plan.read_bytes() == b"second"


@pytest.mark.skipif(os.name != "posix", reason="the system has no such modes")
def test_everything_is_for_the_owner_alone(firm: WholeFirm, tmp_path: Path) -> None:
    old = os.umask(0)
    try:
        back_up(firm.path)
        made = back_up(firm.path, tmp_path / "stick", PASSWORD)
        there = tmp_path / "other machine" / "Q.riserbook"
        restore(there, made, PASSWORD)
        restore(there, made, PASSWORD)
        with open_company(there) as opened:
            save_copy(opened, tmp_path / "stick" / "Copy.riserbook")
            every = [*(tmp_path / "stick").rglob("*"), *there.parent.rglob("*"), *backup_folder(firm.path).rglob("*")]
            wrong = [path for path in every if stat.S_IMODE(path.stat().st_mode) & 0o077]
    finally:
        os.umask(old)
    assert wrong == []
    assert len(every) > 20


def test_a_company_file_is_no_container_and_neither_is_a_letter(firm: WholeFirm, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("contents.json")
    assert not is_container(firm.path)
    assert not is_container(tmp_path / "letter.txt")
    assert not is_container(tmp_path / "gone")


def bent(whole: bytes, chance: random.Random) -> bytes:
    made = bytearray(whole)
    for _ in range(chance.choice((1, 1, 3))):
        at = chance.choice((chance.randrange(4_000), chance.randrange(len(made))))
        kind = chance.random()
        if kind < 0.5:
            made[at] ^= 1 << chance.randrange(8)
        elif kind < 0.75:
            del made[at : at + chance.randrange(1, 3_000)]
        else:
            made[at:at] = chance.randbytes(chance.randrange(1, 600))
    return bytes(made)


def restore_bent(firm: WholeFirm, folder: Path, tries: int, seed: int) -> None:
    """Bent backups, with and without a password: each is refused in words, or brings back exactly what it held."""
    chance, refused = random.Random(seed), 0
    wholes = [(back_up(firm.path, folder, password).read_bytes(), password) for password in (None, PASSWORD)]
    for number in range(tries):
        whole, password = wholes[number % 2]
        bad = folder / "bent.riserbackup"
        bad.write_bytes(bent(whole, chance))
        try:
            verify_container(bad, password)
        except CompanyProblem:
            refused += 1
        else:
            there = folder / f"{number}" / "Q.riserbook"
            there.parent.mkdir()
            restore(there, bad, password)
            assert content(there) == content(firm.path)
            assert papers_of(there) == firm.papers
            shutil.rmtree(there.parent)
    print(f"bent backups: tried {tries}, refused in words {refused}, whole all the same {tries - refused}, lost 0")
    assert refused > tries // 2


def test_bent_backups_are_refused_in_words(firm: WholeFirm, tmp_path: Path) -> None:
    restore_bent(firm, tmp_path / "stick", 60, seed=3)


@pytest.mark.long
def test_ten_thousand_bent_backups(firm: WholeFirm, tmp_path: Path) -> None:
    restore_bent(firm, tmp_path / "stick", 10_000, seed=4)


def test_an_evenings_backup_does_not_read_all_photos_again(
    firm: WholeFirm, monkeypatch: pytest.MonkeyPatch
) -> None:
    back_up(firm.path)
    read: list[str] = []
    real = kept.sum_of
    monkeypatch.setattr(kept, "sum_of", lambda path: read.append(path.name) or real(path))
    back_up(firm.path)
    assert read == []


def test_a_copy_among_the_backups_that_changed_is_named_by_the_check(firm: WholeFirm) -> None:
    back_up(firm.path)
    name = next(iter(firm.papers))
    changed = bytearray(firm.papers[name])
    changed[20] ^= 1
    (store_folder(firm.path) / name).write_bytes(changed)
    report = check_file(firm.path)
    assert not report.ok
    assert f"The backups' copy of {name} has changed since it was written" in "\n".join(report.lines)
