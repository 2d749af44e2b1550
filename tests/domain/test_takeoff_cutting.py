"""The cut list: never more sticks than an integer programme finds, every piece sawn once, kerfs counted."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.takeoff.cutting import QUICK, cut_list, joints_of, split_long
from domain.takeoff.stick_bounds import sticks_at_least
from tests.domain.exact_cuts import fewest_sticks

INCH = 16
STICK = 120 * INCH

lengths = st.integers(2 * INCH, STICK)
short_lengths = st.integers(2 * INCH, 70 * INCH)
piece_lists = st.lists(lengths | short_lengths, max_size=9)
offcut_lists = st.lists(st.integers(6 * INCH, 110 * INCH), max_size=3)
kerfs = st.sampled_from((0, 2, 3))


@settings(max_examples=60)
@given(piece_lists, kerfs, offcut_lists)
def test_no_more_sticks_than_the_integer_programme(pieces: list[int], kerf: int, offcuts: list[int]) -> None:
    found = cut_list(pieces, STICK, kerf, offcuts)
    assert found.proven
    if pieces:
        assert found.new_sticks == fewest_sticks(pieces, STICK, kerf, offcuts, max(1, found.new_sticks))


@settings(max_examples=25)
@given(st.lists(st.integers(20 * INCH, 65 * INCH), min_size=12, max_size=22), kerfs, offcut_lists)
def test_more_pieces_than_fit_in_the_head(pieces: list[int], kerf: int, offcuts: list[int]) -> None:
    found = cut_list(pieces, STICK, kerf, offcuts)
    exact = fewest_sticks(pieces, STICK, kerf, offcuts, found.new_sticks)
    assert found.at_least <= exact <= found.new_sticks
    if found.proven:
        assert found.new_sticks == exact


@given(st.lists(st.integers(1, 4 * STICK), max_size=40), kerfs, offcut_lists, st.sampled_from((0, QUICK, 20_000)))
def test_every_piece_is_sawn_once_and_every_stick_is_long_enough(
    pieces: list[int], kerf: int, offcuts: list[int], steps: int
) -> None:
    found = cut_list(pieces, STICK, kerf, offcuts, steps)
    wanted: Counter[int] = Counter()
    for piece in pieces:
        whole, rest = split_long(piece, STICK)
        wanted[STICK] += whole
        wanted[rest] += 1 if rest else 0
    assert Counter(cut for stick in found.sticks for cut in stick.cuts) == +wanted
    for stick in found.sticks:
        assert sum(stick.cuts) + kerf * (len(stick.cuts) - 1) <= stick.length
        assert stick.left == max(0, stick.length - sum(stick.cuts) - kerf * len(stick.cuts))
    assert not Counter(stick.length for stick in found.offcuts_used) - Counter(offcuts)
    assert found.new_sticks == sum(not stick.is_offcut for stick in found.sticks)
    assert found.at_least <= found.new_sticks
    assert found.joints == sum(joints_of(piece, STICK) for piece in pieces)


@given(piece_lists, kerfs, offcut_lists)
def test_a_longer_search_never_needs_more(pieces: list[int], kerf: int, offcuts: list[int]) -> None:
    quick, thorough = cut_list(pieces, STICK, kerf, offcuts, 0), cut_list(pieces, STICK, kerf, offcuts)
    assert quick.at_least <= thorough.at_least <= thorough.new_sticks <= quick.new_sticks


@given(st.lists(lengths, min_size=1, max_size=30))
def test_the_bound_is_not_below_the_plain_ones(pieces: list[int]) -> None:
    ordered = sorted(pieces, reverse=True)
    bound = sticks_at_least(ordered, STICK)
    assert bound >= -(-sum(pieces) // STICK)
    assert bound >= sum(piece > STICK // 2 for piece in pieces)
    assert bound <= len(pieces)


def test_a_search_given_up_says_so_and_a_full_one_proves() -> None:
    # 358 of 360 in on three sticks would be needed: the bound allows it, trying every way shows it cannot be
    pieces = [inches * INCH for inches in (43, 39, 41, 54, 56, 30, 40, 27, 28)]
    given_up, full = cut_list(pieces, STICK, 0, (), 1), cut_list(pieces, STICK)
    assert (given_up.new_sticks, given_up.at_least, given_up.proven) == (4, 3, False)
    assert (full.new_sticks, full.at_least, full.proven) == (4, 4, True)


def test_a_kerf_can_cost_a_stick() -> None:
    halves = [STICK // 2] * 2
    assert cut_list(halves, STICK, 0).new_sticks == 1
    assert cut_list(halves, STICK, 2).new_sticks == 2
    assert cut_list([STICK // 2, STICK // 2 - 2], STICK, 2).new_sticks == 1


def test_a_piece_as_long_as_the_stick_takes_no_kerf() -> None:
    assert cut_list([STICK], STICK, 2).new_sticks == 1


def test_offcuts_are_used_before_a_new_stick() -> None:
    found = cut_list([30 * INCH, 20 * INCH], STICK, 2, [31 * INCH, 20 * INCH])
    assert found.new_sticks == 0
    assert [stick.length for stick in found.offcuts_used] == [31 * INCH, 20 * INCH]


@pytest.mark.parametrize(("pieces", "stick", "kerf", "offcuts"), [([0], 10, 0, []), ([5], 0, 0, []), ([5], 10, 0, [0])])
def test_lengths_of_nothing_are_refused(pieces: list[int], stick: int, kerf: int, offcuts: list[int]) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        cut_list(pieces, stick, kerf, offcuts)


def test_an_offcut_pair_or_a_long_piece_takes_the_proof_away() -> None:
    foot = 12 * INCH
    pair = cut_list([8 * foot], STICK, 0, [4 * foot, 4 * foot])
    assert (pair.new_sticks, pair.joined_at_least, pair.proven_however_joined) == (1, 0, False)
    long = cut_list([14 * foot], STICK, 0, [7 * foot, 7 * foot])  # both offcuts joined: no stick, and no joint more
    assert (long.new_sticks, long.at_least, long.proven) == (1, 0, False)
    shared = cut_list([12 * foot, 9 * foot, 9 * foot], STICK)  # 10 + 1 + 1, beside each 9: three sticks, two joints
    assert (shared.new_sticks, shared.proven, shared.proven_however_joined) == (4, True, False)


@given(st.lists(st.integers(1, 4 * STICK), max_size=12), kerfs, offcut_lists)
def test_what_is_proven_however_joined_is_a_matter_of_length_alone(
    pieces: list[int], kerf: int, offcuts: list[int]
) -> None:
    found = cut_list(pieces, STICK, kerf, offcuts)
    if found.proven_however_joined and found.new_sticks:
        assert (found.new_sticks - 1) * STICK + sum(offcuts) < sum(pieces)
    if found.proven and offcuts and max(pieces, default=0) > STICK:
        assert found.proven_however_joined, "joined offcuts may stand in for a stick"
