"""The advice the command line prints after a crash or damage, followed to the letter: every step is there."""

from __future__ import annotations

import random
import re
import shlex
from pathlib import Path

import pytest

from desktop import cli
from tests.db.company_files import company_file
from tests.db.crash_lab import Tally, at_work, crashed_copy, newest_pages, steps_in, write_back
from tests.db.damage import flipped_bit, torn_pages

READERS = (
    ["costing"], ["costing", "--json"], ["margins"], ["export", "OUT.xlsx"], ["export", "OUT.xlsx", "--year", "2026"],
    ["ledger", "2026", "OUT.csv"], ["ties"], ["calendar", "OUT.ics"], ["backup", "."], ["check"],
)  # fmt: skip


@pytest.fixture
def a_sample(sample_original: Path) -> Path:
    """A firm with something in every table."""
    return sample_original


def said(words: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    status = cli.main(words)
    told = capsys.readouterr()
    text = told.out + told.err
    assert "Traceback" not in text, text
    return status, text


def follow_the_advice(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Do what is printed, word for word, until the file is in order or nothing more is advised."""
    status, text = said(["check", str(path)], capsys)
    if status == 0:
        return
    ways = re.findall(r"[Rr]un: riserbook (.+)", text)
    if not ways:
        assert "Recover" not in text
        return
    _, text = said(shlex.split(ways[0]), capsys)
    advised = [line.split("riserbook ", 1)[1] for line in text.splitlines() if "To use it: riserbook " in line]
    if advised:
        assert "--lose" not in advised[0]  # the first loses nothing
        status, text = said(shlex.split(advised[0]), capsys)
        assert status == 0, text


@pytest.mark.parametrize("turns", [4, pytest.param(300, marks=pytest.mark.long)])
def test_after_a_crash_and_after_harm_the_advice_brings_every_step(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], turns: int
) -> None:
    tally, luck = Tally("advice followed"), random.Random(3)
    (tmp_path / "work").mkdir()
    path = [path for path, _ in at_work(tmp_path / "work", 5)][-1]
    for turn in range(turns):
        (place := tmp_path / str(turn)).mkdir()
        copy = place / path.name
        copy.write_bytes(path.read_bytes())
        if turn % 2:
            copy.write_bytes(torn_pages(copy.read_bytes(), luck, 1))
        follow_the_advice(copy, capsys)
        tally.count(5, steps_in(copy), f"turn {turn}")
    tally.close()


def test_after_a_checkpoint_cut_short_nothing_is_advised_and_nothing_lost(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    tally = Tally("advice after a checkpoint cut short")
    (tmp_path / "work").mkdir()
    for path, acknowledged in at_work(tmp_path / "work", 4):
        copy = crashed_copy(path, tmp_path / str(acknowledged))
        write_back(copy, newest_pages(copy)[:1])
        follow_the_advice(copy, capsys)
        tally.count(acknowledged, steps_in(copy), str(acknowledged))
    tally.close()


@pytest.mark.parametrize("turns", [3, pytest.param(2000, marks=pytest.mark.long)])
def test_every_reader_answers_any_flipped_bit_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], a_sample: Path, turns: int
) -> None:
    monkeypatch.chdir(tmp_path)
    content, luck = a_sample.read_bytes(), random.Random(11)
    path = tmp_path / "Firm.riserbook"
    tally = Tally("one bit flipped, every command")
    for _ in range(turns):
        path.write_bytes(flipped_bit(content, luck))
        for words in luck.sample(READERS, 3):
            status, _ = said([words[0], str(path), *words[1:]], capsys)
            tally.count(0, 0)
            assert status in (0, 1)
        for made in tmp_path.glob("Firm 20*"):
            made.unlink()
    tally.close()


def test_a_file_in_order_needs_no_recovery(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = company_file(tmp_path)
    before = path.read_bytes()
    status, text = said(["recover", str(path)], capsys)
    assert status == 0
    assert "needs no recovery" in text
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]
