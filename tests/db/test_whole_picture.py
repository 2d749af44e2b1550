"""A broken picture is told when it is taken in; nothing is copied then, and whole ones come in untouched."""

from __future__ import annotations

import io
import random
import zlib
from pathlib import Path

import pytest
from PIL import Image

from db.company_file.problems import Refused
from db.photo_folder import keep_paper, keep_photo
from db.whole_picture import BrokenPicture
from tests.db.whole_firm import png


def picture(kind: str, size: tuple[int, int] = (64, 48)) -> bytes:
    shades = random.Random(7).randbytes(size[0] * size[1] * 3)
    out = io.BytesIO()
    Image.frombytes("RGB", size, shades).save(out, kind)
    return out.getvalue()


WHOLE = {kind: picture(kind) for kind in ("JPEG", "PNG", "GIF")}


@pytest.mark.parametrize("kind", list(WHOLE))
def test_a_picture_cut_short_is_told_at_once(tmp_path: Path, kind: str) -> None:
    source, folder = tmp_path / "from the phone", tmp_path / "photos"
    source.write_bytes(WHOLE[kind][: len(WHOLE[kind]) * 2 // 3])
    for keep in (keep_photo, keep_paper):
        with pytest.raises(BrokenPicture, match="broken"):
            keep(source, folder, "26-001")
    assert not folder.exists()
    source.write_bytes(WHOLE[kind])
    name = keep_photo(source, folder, "26-001")
    assert (folder / name).read_bytes() == WHOLE[kind]


def test_a_small_file_that_claims_a_huge_picture_is_refused(tmp_path: Path) -> None:
    source = tmp_path / "huge.png"
    bomb = bytearray(png())
    bomb[16:24] = (60_000).to_bytes(4, "big") * 2
    bomb[29:33] = zlib.crc32(bytes(bomb[12:29])).to_bytes(4, "big")
    source.write_bytes(bomb)
    with pytest.raises(BrokenPicture, match="more than 120 million pixels"):
        keep_photo(source, tmp_path / "photos", "x")


def mutated(whole: bytes, chance: random.Random) -> bytes:
    bent = bytearray(whole)
    for _ in range(chance.choice((1, 1, 2, 8))):
        at = chance.randrange(len(bent) or 1)
        what = chance.random()
        if what < 0.6 and bent:
            bent[at] ^= 1 << chance.randrange(8)
        elif what < 0.8:
            del bent[at : at + chance.randrange(1, 200)]
        else:
            bent[at:at] = chance.randbytes(chance.randrange(1, 50))
    return bytes(bent)


PAPER = b"%PDF-1.4\n1 0 obj << /Type /Catalog >> endobj\ntrailer << /Root 1 0 R >>\n%%EOF\n" * 4


def take_in_mutated(folder: Path, tries: int, seed: int = 1) -> tuple[int, int]:
    """Take mutated pictures, reports and bills in; each must come in byte for byte or be refused in words.

    Returns:
        how many were taken in, how many refused.
    """
    chance, taken = random.Random(seed), 0
    source = folder / "bent"
    for _ in range(tries):
        content = mutated(chance.choice([*WHOLE.values(), PAPER]), chance)
        source.write_bytes(content)
        try:
            if chance.random() < 0.5:
                name = keep_photo(source, folder / "photos", "26-001")
            else:
                name = keep_paper(source, folder / "photos", "26-001").name
        except Refused as refusal:
            assert "bent" in refusal.message  # noqa: PT017
            assert refusal.advice  # noqa: PT017
        else:
            assert (folder / "photos" / name).read_bytes() == content
            taken += 1
    left = [one.name for one in (folder / "photos").iterdir() if one.suffix == ".part"]
    assert left == []
    return taken, tries - taken


def test_mutated_pictures_come_in_whole_or_are_refused_in_words(tmp_path: Path) -> None:
    taken, refused = take_in_mutated(tmp_path, 250)
    print(f"pictures and papers: tried {taken + refused}, taken in whole {taken}, refused in words {refused}, lost 0")
    assert refused > 50


@pytest.mark.long
def test_ten_thousand_mutated_pictures(tmp_path: Path) -> None:
    taken, refused = take_in_mutated(tmp_path, 10_000, seed=2)
    print(f"pictures and papers: tried {taken + refused}, taken in whole {taken}, refused in words {refused}, lost 0")
