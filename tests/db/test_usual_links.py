"""What usual lines stand for: every one of the library says so, and an older file learns it of untouched ones."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

import pytest
from alembic import command
from sqlalchemy import Connection, create_engine, select
from sqlalchemy.pool import StaticPool

from db import tables
from db.commands import library, price_list
from db.company_file.problems import Refused
from db.migrations.run import config_for, upgrade
from db.queries.library import usual_items, usual_tasks
from db.starter.files import settings, table_rows, usual_link
from domain.errors import NotUnderstood
from domain.job_takeoff.stands_for import ALONE, GOODS_PARTS, WORK_PARTS, part_typed, part_words, parts_offered
from domain.price_list import COSTED_BY, costing_typed, usual_costing
from tests.db.quote_company import TODAY, make_quote_company


def test_every_usual_line_of_the_library_says_what_it_stands_for() -> None:
    shop = make_quote_company()
    with shop.company.read() as conn:
        tasks, items = usual_tasks(conn), usual_items(conn)
    assert tasks
    assert items
    assert {line.stands_for for line in tasks} <= set(WORK_PARTS)
    assert {line.stands_for for line in items} <= set(GOODS_PARTS)
    assert "" not in {line.stands_for for line in (*tasks, *items)}
    alone = {line.code for line in items if line.stands_for == ALONE}
    assert {"KIT-ST", "CHK-DR", "P4-PERF", "BATT", "LTF-12", "HYDC"} <= alone
    anchors = {line.job_type_id: line.stands_for for line in items if line.code == "ANC-14"}
    assert set(anchors.values()) == {ALONE, "membrane_fastener"}


WITH_THE_WORK = {
    "Run pipe in": {"pipe"}, "Run pipe outside": {"pipe"}, "Cement joints": {"cement", "primer"},
    "Set supports": {"support"}, "Core through": {"sleeve"}, "Set the fan": {"fan", "flexible_coupling"},
    "Seal cracks": {"sealant", "backer_rod"}, "Paint pipe": {"paint"}, "Lay membrane": {"membrane", "seam_tape"},
    "Seal membrane to walls": {"membrane_sealant", "membrane_fastener"},
    "Fit pressure indicator": {"pressure_indicator", "indicator_tubing", "system_label", "circuit_label"},
    "Correct the slope": {"slope"},
}  # common practice, no source
WITH_THE_TASK = {
    "Core and dig the suction pit": {"CONC"}, "Dig out the old suction point": {"CONC"}, "Fit and seal": {"SUMP-LID"},
    "Fit a floor-drain insert": {"CHK-DR"}, "Connect to the drain tile": {"TILE-4", "HYDC"},
    "Lay perforated pipe": {"P4-PERF"}, "Place a radon test": {"KIT-ST"}, "Seal membrane to walls": {"BATT"},
    "Wire the fan": {"WNUT"},
}  # common practice, no source


def test_each_usual_task_has_its_material_and_the_other_way_round() -> None:
    codes = {row["code"]: row for row in table_rows("items.csv")}
    for entry in settings("job_types.toml")["job_type"]:
        name, tasks = entry["name"], dict(entry["tasks"])
        there = {code for code, _ in entry["items"]}
        parts = {usual_link("item", code, name) for code in there}
        for words, wanted in WITH_THE_WORK.items():
            has = any(task.startswith(words) for task in tasks)
            assert not has or wanted <= parts, (name, words, wanted - parts)
            own = wanted if not words.startswith("Run pipe") else set()
            assert has or not own & parts or words in ("Core through", "Seal membrane to walls"), (name, words)
        for words, items in WITH_THE_TASK.items():
            has = any(task.startswith(words) for task in tasks)
            assert not has or items <= there, (name, words, items - there)
            assert has or not (items - {"CONC"}) & there, (name, words)  # concrete closes either kind of pit
        for task, counted in (("Set supports", "support"), ("Place a radon test", "KIT-ST")):
            work = sum(Decimal(str(n)) for one, n in tasks.items() if one.startswith(task))
            goods = sum(
                Decimal(str(n)) for code, n in entry["items"] if counted in (code, usual_link("item", code, name))
            )
            assert work == goods, (name, task)
        feet = sum(Decimal(str(n)) for one, n in tasks.items() if one.startswith("Run pipe"))
        stock = sum(Decimal(str(n)) for c, n in entry["items"] if usual_link("item", c, name) == "pipe")
        assert feet <= stock <= feet + 8, name  # short pieces at joints that are put right
        holes = {size for size in ("3", "4") if f"P{size}-40" in there}
        fans = {size for code in there for size in ("3", "4") if codes[code]["class"] == "fan" and code.endswith(size)}
        joined = {"FLX43"} if holes == {"3"} and fans == {"4"} else {f"FLX{size}" for size in fans}
        assert {code for code in there if code.startswith("FLX")} == joined, (name, "pipe and fan of two sizes")


@pytest.fixture
def before() -> Iterator[Connection]:
    """A file of the revision before, with the library's own lines and two that were changed."""
    engine = create_engine("sqlite://", poolclass=StaticPool)
    with engine.connect() as conn:
        command.upgrade(config_for(conn), "0012")
        for n, row in enumerate(table_rows("tasks.csv"), 1):
            conn.exec_driver_sql(
                "INSERT INTO labour_task (id, name, unit, standard_minutes, role) VALUES (?, ?, ?, 1000, 'work')",
                (n, row["name"], row["unit"]),
            )
        for n, row in enumerate(table_rows("items.csv"), 1):
            conn.exec_driver_sql(
                "INSERT INTO item (id, code, name, item_class, unit, pack_quantity, waste_percent) "
                "VALUES (?, ?, ?, ?, ?, 1000, 0)",
                (n, row["code"], row["name"], row["class"], row["unit"]),
            )
        tasks = {row["name"]: n for n, row in enumerate(table_rows("tasks.csv"), 1)}
        items = {row["code"]: n for n, row in enumerate(table_rows("items.csv"), 1)}
        for n, entry in enumerate(settings("job_types.toml")["job_type"], 1):
            conn.exec_driver_sql("INSERT INTO job_type (id, name) VALUES (?, ?)", (n, entry["name"]))
            for kind, ids, lines in (("task", tasks, entry["tasks"]), ("item", items, entry["items"])):
                for name, quantity in lines:
                    conn.exec_driver_sql(
                        f"INSERT INTO job_type_{kind} (job_type_id, {kind}_id, quantity) VALUES (?, ?, ?)",
                        (n, ids[name], int(Decimal(str(quantity)) * 1000)),
                    )
        conn.exec_driver_sql(
            "UPDATE job_type_task SET quantity = 25000 WHERE job_type_id = 1 AND task_id = ?",
            (tasks["Run pipe in basement"],),
        )
        yield conn


LINKED_OTHERWISE = {("Rework of an existing system", code) for code in ("C3", "HNG-3")}
ALONE_THEN = {
    "Dig out the old suction point", "Fit and seal the sump lid", "Connect to the drain tile", "SUMP-LID", "TILE-4",
    "CONC",
}  # fmt: skip
"""What that revision linked to another part than the library has since."""


def test_a_file_of_before_learns_it_where_nobody_changed_the_line(before: Connection) -> None:
    upgrade(before)
    named = {
        kind: {
            (row.job_type, row.name): row.stands_for
            for row in before.exec_driver_sql(
                f"SELECT job_type.name AS job_type, {known}.{name} AS name, stands_for FROM job_type_{kind} "
                f"JOIN job_type ON job_type.id = job_type_id JOIN {known} ON {known}.id = {kind}_id"
            )
        }
        for kind, known, name in (("task", "labour_task", "name"), ("item", "item", "code"))
    }
    assert named["task"].pop(("New system", "Run pipe in basement")) == "", "a changed line is linked by its owner"
    for kind, lines in named.items():
        for (job_type, name), part in lines.items():
            since = (job_type, name) in LINKED_OTHERWISE or (part == ALONE and name in ALONE_THEN)
            assert part in ("", usual_link(kind, name, job_type)) or since
    assert sum(bool(part) for lines in named.values() for part in lines.values()) > 150
    rules = {row.code: row.costed_by for row in before.exec_driver_sql("SELECT code, costed_by FROM item")}
    assert rules == {row["code"]: row["costed_by"] for row in table_rows("items.csv")}


def test_a_line_added_later_stands_for_what_it_does_elsewhere() -> None:
    shop = make_quote_company()
    task = shop.id_of(tables.labour_task, "Paint pipe")
    rework = shop.id_of(tables.job_type, "Rework of an existing system")
    line = shop.do(library.add_usual_task, rework, task, Decimal(10))
    other = shop.do(library.add_usual_task, rework, shop.id_of(tables.labour_task, "Other work"), Decimal(1))
    with shop.company.read() as conn:
        links = {one.id: one.stands_for for one in usual_tasks(conn, rework)}
    assert links[line] == "paint_ft"
    assert links[other] == ""
    shop.do(library.link_usual_task, other, ALONE)
    with pytest.raises(Refused, match="nothing the takeoff counts"):
        shop.do(library.link_usual_task, other, "elbow")


def test_a_part_is_named_by_its_words() -> None:
    for of, parts in (("task", WORK_PARTS), ("item", GOODS_PARTS)):
        assert sorted(parts_offered(of)) == sorted(parts.values())
        for part, words in parts.items():
            assert part_typed(of, words.upper()) == part
            assert part_words(of, part) == words
    assert part_typed("item", "elb") == "elbow"
    assert part_typed("item", " ") == ""
    with pytest.raises(NotUnderstood, match="system label"):
        part_typed("item", "the")
    with pytest.raises(NotUnderstood, match="nothing the takeoff counts"):
        part_typed("task", "qqq")


def test_an_item_says_by_what_a_job_is_costed() -> None:
    assert usual_costing("pipe", "ft") == "cut"
    assert usual_costing("cement", "quart") == usual_costing("electrical", "ft") == "used"
    assert usual_costing("fitting", "each") == "whole"
    for rule, words in COSTED_BY.items():
        assert costing_typed(words) == rule
    with pytest.raises(NotUnderstood):
        costing_typed("w")
    shop = make_quote_company()
    made = shop.do(price_list.add_item, "GLUE", "Glue, can", "can", Decimal(9), TODAY, item_class="cement")
    with pytest.raises(Refused):
        shop.do(price_list.change_item, made, costed_by="guess")
    shop.do(price_list.change_item, made, costed_by="whole")
    with shop.company.read() as conn:
        found = select(tables.item.c.costed_by).where(tables.item.c.id == made)
        assert conn.execute(found).scalar_one() == "whole"
