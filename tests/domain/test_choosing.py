"""Choosing by typing: beginnings first, meanings next, middles last, and nothing when it is not clear."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.choosing import NameList, meaning_of, one_beginning
from domain.errors import NotUnderstood

KINDS = ["Permit", "Subcontractor", "Equipment", "Travel", "Other"]
COSTS = ["Miles driven", "Permit", "Subcontractor", "Equipment hired", "Other cost"]


@pytest.mark.parametrize(
    ("text", "names", "meant"),
    [
        ("tra", KINDS, "Travel"),
        ("mi", KINDS, "Travel"),
        ("miles", KINDS, "Travel"),
        ("mi", COSTS, "Miles driven"),
        ("elec", KINDS, "Subcontractor"),
        ("electrician", COSTS, "Subcontractor"),
        ("PERMIT", KINDS, "Permit"),
        ("driven", COSTS, "Miles driven"),
        ("contr", KINDS, "Subcontractor"),
        ("seal", ["Seal membrane", "Acoustical sealant", "Seal"], "Seal"),
        ("vapor barrier", ["Lay membrane", "Set the fan"], "Lay membrane"),
    ],
)  # fmt: skip
def test_the_one_that_is_meant_is_found(text: str, names: list[str], meant: str) -> None:
    assert names[NameList(names).choose(text)] == meant


@pytest.mark.parametrize(
    ("text", "names", "says"),
    [
        ("pipe", ["Pipe, 3 in", "Pipe, 4 in"], "fits 2"),
        ("", KINDS, "not in the list"),
        ("er", KINDS, "not in the list"),
        ("zzz", KINDS, "not in the list"),
        ("z" * 10_000, KINDS, "not in the list"),
    ],
)  # fmt: skip
def test_nothing_is_guessed(text: str, names: list[str], says: str) -> None:
    with pytest.raises(NotUnderstood, match=says) as told:
        NameList(names).choose(text)
    assert told.value.typed == text
    assert len(str(told.value)) < 200


def test_beginnings_are_offered_before_middles() -> None:
    names = ["Subcontractor", "Contract", "Extra contract", "Attractor"]
    assert [names[place] for _, place in NameList(names).ranks("tra")] == [
        "Subcontractor", "Contract", "Extra contract", "Attractor",
    ]  # fmt: skip
    assert [names[place] for _, place in NameList(names).ranks("contr")] == [
        "Contract", "Extra contract", "Subcontractor",
    ]  # fmt: skip


@given(st.lists(st.text("abcdefgh -,4", min_size=1), unique_by=lambda name: " ".join(name.casefold().split())))
def test_a_whole_name_always_means_itself(names: list[str]) -> None:
    for name in filter(str.strip, names):
        assert names[NameList(names).choose(name)] == name


def test_what_a_few_letters_begin() -> None:
    assert meaning_of("elec") == "electrician"
    assert meaning_of("e") == ""
    assert meaning_of("permit") == ""


def test_of_several_that_begin_so_none_is_guessed() -> None:
    spaces = {"room": "room", "roof": "roof", "attic": "attic"}
    assert one_beginning(spaces, "at", "none") == "attic"
    assert one_beginning({"can": "can", "canister": "canister"}, "can", "none") == "can"
    with pytest.raises(NotUnderstood, match="room or roof"):
        one_beginning(spaces, "ro", "none")
    with pytest.raises(NotUnderstood, match="none"):
        one_beginning(spaces, "", "none")
