"""What is shown has one name: no second one in any text of the program, and a page is titled as its entry."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.desktop.one_name import program_texts, second_names

ROOT = Path(__file__).parents[2]


def test_no_text_has_a_second_name() -> None:
    found = [f"{name}:{one}" for name, source in program_texts(ROOT) for one in second_names(source)]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    "planted",
    ["Who changed what", "Open a company file", "Throw away", "Delete draft", "Bo was deleted", "Take out",
     "3 hour entries", "152 Bq/m3", "Save as csv", "no log yet", "Labour"],
)  # fmt: skip
def test_a_planted_one_is_found(planted: str) -> None:
    assert second_names(f"words = {planted!r}")


@pytest.mark.parametrize("harmless", ["Delete", "Bq/m3", "labour_line", "Remove it (Delete)", "Delete removes it"])
def test_keys_and_names_are_left_alone(harmless: str) -> None:
    assert not second_names(f"words = {harmless!r}")


def test_every_part_is_titled_as_its_entry_in_the_list() -> None:
    import ast

    from desktop.pages.company.page import _CLASSES, PARTS

    other: list[str] = []
    for key, (module, name) in _CLASSES.items():
        tree = ast.parse((ROOT / "desktop/pages/company" / f"{module}.py").read_text(encoding="utf-8"))
        (made,) = [node for node in ast.walk(tree) if isinstance(node, ast.ClassDef) and node.name == name]
        texts = {node.value for node in ast.walk(made) if isinstance(node, ast.Constant)}
        if PARTS[key] not in texts:
            other.append(f"{name} is called {PARTS[key]} in the list")
    assert not other
