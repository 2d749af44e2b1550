"""How the invented firm counts running pipe: for years one time a foot, then joints and supports by themselves."""

from __future__ import annotations

from decimal import Decimal

from sqlalchemy import select

from db.commands.library import add_usual_task, change_labour_task, remove_usual_task
from db.edit import Edit
from db.starter.files import settings, table_rows, usual_link
from db.tables import job_type, job_type_task, labour_task

ALL_IN = {
    "Run pipe in crawl space": Decimal(4),
    "Run pipe in basement": Decimal("2.5"),
    "Run pipe in attic": Decimal("3.5"),
    "Run pipe outside": Decimal(3),
}
"""Minutes a foot with joints and supports in them: common practice, no source."""

APART = ("Cement joints", "Set supports")
"""How the tasks begin that were told apart in the end."""


def count_the_foot_alone(edit: Edit) -> None:
    """As the stories are told: a foot of pipe takes its joints and supports with it."""
    ids = _tasks(edit)
    for name, minutes in ALL_IN.items():
        change_labour_task(edit, ids[name], standard_minutes=minutes)
    apart = {task_id for name, task_id in ids.items() if name.startswith(APART)}
    for row in edit.conn.execute(select(job_type_task.c.id, job_type_task.c.task_id)).all():
        if row.task_id in apart:
            remove_usual_task(edit, row.id)


def tell_joints_and_supports_apart(edit: Edit) -> None:
    """On the evening of the sample: the minutes and usual lines of the starting library, for quotes from now on."""
    ids = _tasks(edit)
    for row in table_rows("tasks.csv"):
        if row["name"] in ALL_IN:
            change_labour_task(edit, ids[row["name"]], standard_minutes=Decimal(row["minutes"]))
    types = {row.name: row.id for row in edit.conn.execute(select(job_type.c.id, job_type.c.name))}
    for entry in settings("job_types.toml")["job_type"]:
        for name, quantity in entry["tasks"]:
            if name.startswith(APART):
                part = usual_link("task", name, entry["name"])
                add_usual_task(edit, types[entry["name"]], ids[name], Decimal(str(quantity)), part)


def _tasks(edit: Edit) -> dict[str, int]:
    return {row.name: row.id for row in edit.conn.execute(select(labour_task.c.id, labour_task.c.name))}
