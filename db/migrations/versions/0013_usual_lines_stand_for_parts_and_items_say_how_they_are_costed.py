"""Usual lines know what they stand for, items how a job is costed by them, and the takeoff what it wrote.

Usual lines get their link where they are as the starting library had them: job type, task or item, and quantity. A
line that was changed keeps none, and is named when a list is taken into a quote.
"""

from __future__ import annotations

from decimal import Decimal

import sqlalchemy as sa
from alembic import op

import db.tables.base

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None

TASK_LINES = """
New system: Set-up and floor protection 1; Mock the fan up in place 1; Check suction under the slab 2;
  Core and dig the suction pit 1; Run pipe in basement 18; Core through a wall or floor 1; Run pipe outside 22;
  Cement joints 20; Set supports 5; Set supports outside 4; Set the fan 1; Wire the fan 1;
  Seal cracks and joints 40; Fit pressure indicator and labels 1; Check flues for backdrafting 1; Paint pipe 20;
  Test the system 1; Place a radon test 1; Clean-up 1; Show the owner and hand over papers 1; Travel 1.5
Rework of an existing system: Assess what is there 1; Set-up and floor protection 1; Mock the fan up in place 1;
  Remove old pipe 16; Dig out the old suction point 1; Correct the slope at joints 6; Run pipe in basement 12;
  Cement joints 8; Set supports 3; Set the fan 1; Wire the fan 1; Seal cracks and joints 25;
  Fit pressure indicator and labels 1; Check flues for backdrafting 1; Test the system 1; Place a radon test 1;
  Clean-up 1; Show the owner and hand over papers 1; Travel 1.5
Crawl-space membrane: Set-up and floor protection 1; Mock the fan up in place 1;
  Clear and level the crawl floor 700; Lay membrane 700; Seal membrane to walls 110; Seal membrane round piers 8;
  Run pipe in crawl space 20; Cement joints in crawl space 8; Set supports in crawl space 5;
  Core through a wall or floor 1; Run pipe outside 18; Cement joints 6; Set supports outside 3; Set the fan 1;
  Wire the fan 1; Fit pressure indicator and labels 1; Check flues for backdrafting 1; Test the system 1;
  Place a radon test 1; Clean-up 1; Show the owner and hand over papers 1; Travel 3
Fan replacement: Remove the old fan 1; Set the fan 1; Wire the fan 0.5; Fit pressure indicator and labels 1;
  Test the system 1; Clean-up 0.5; Show the owner and hand over papers 0.5; Travel 1
Passive activation: Assess what is there 1; Set-up and floor protection 1; Mock the fan up in place 1;
  Remove old pipe 4; Run pipe in attic 4; Cement joints in attic 2; Set supports in attic 1; Set the fan 1;
  Wire the fan 1; Fit pressure indicator and labels 1; Seal cracks and joints 20; Check flues for backdrafting 1;
  Test the system 1; Place a radon test 1; Clean-up 1; Show the owner and hand over papers 1; Travel 1.5
Sump or drain-tile system: Set-up and floor protection 1; Mock the fan up in place 1; Fit and seal the sump lid 1;
  Connect to the drain tile 1; Run pipe in basement 16; Core through a wall or floor 1; Run pipe outside 20;
  Cement joints 18; Set supports 4; Set supports outside 4; Set the fan 1; Wire the fan 1;
  Seal cracks and joints 50; Fit pressure indicator and labels 1; Check flues for backdrafting 1;
  Test the system 1; Place a radon test 1; Clean-up 1; Show the owner and hand over papers 1; Travel 1.5
Small multi-family: Set-up and floor protection 2; Mock the fan up in place 2; Check suction under the slab 5;
  Core and dig the suction pit 3; Run pipe in basement 50; Core through a wall or floor 4; Run pipe outside 40;
  Cement joints 46; Set supports 13; Set supports outside 8; Set the fan 2; Wire the fan 2;
  Seal cracks and joints 90; Fit pressure indicator and labels 3; Check flues for backdrafting 2; Paint pipe 40;
  Test the system 2; Place a radon test 4; Clean-up 2; Show the owner and hand over papers 1; Travel 4.5
Service call: Find the fault 1; Test the system 1; Travel 1
"""
ITEM_LINES = """
New system: P3-40 40; C3 4; E90-3 5; E45-3 3; FLX4 2; FAN-M4 1; STR-3 5; WBR-4 4; LTF-12 3; LTC-12 2; CND-12 20;
  CON-12 2; CSTR-12 4; W12-B 66; SW-WP 1; BOX-WP 1; SEAL-PU 4; BACKER 30; PRIM-Q 0.25; CEM-Q 0.5; PNT-S 2; IND-U 1;
  LBL-SYS 2; LBL-CRC 1; CONC 1; ANC-14 8; KIT-ST 1
Rework of an existing system: P3-40 20; C3 6; E90-3 3; E45-3 4; FLX4 2; FAN-H4 1; HNG-3 5; STR-3 3; LTF-12 3;
  LTC-12 2; SW-WP 1; SEAL-PU 3; FOAM 1; PRIM-Q 0.25; CEM-Q 0.5; IND-U 1; LBL-SYS 2; LBL-CRC 1; CONC 1; KIT-ST 1
Crawl-space membrane: MEM-12 700; TAPE-M 150; SEAL-AC 8; BATT 110; ANC-14 60; P4-PERF 40; P4-40 38; C4 4; E90-4 4;
  E45-4 2; T4 1; FLX4 2; FAN-F4 1; HNG-4 4; WBR-4 3; LTF-12 3; LTC-12 2; CND-12 20; CON-12 2; W12-B 66; SW-WP 1;
  BOX-WP 1; PRIM-Q 0.25; CEM-Q 0.5; IND-U 1; LBL-SYS 3; LBL-CRC 1; KIT-ST 1
Fan replacement: FAN-M4 1; FLX4 2; LTC-12 1; WNUT 3; IND-U 1; LBL-SYS 1
Passive activation: FAN-L3 1; FLX3 2; P3-40 4; C3 2; STR-3 2; CBL-142 20; BOX-4S 1; SW-1 1; SEAL-PU 2; IND-U 1;
  LBL-SYS 3; LBL-CRC 1; KIT-ST 1
Sump or drain-tile system: SUMP-LID 1; CHK-DR 1; P3-40 36; C3 4; E90-3 5; E45-3 2; FLX4 2; FAN-F4 1; STR-3 4;
  WBR-4 4; LTF-12 3; LTC-12 2; CND-12 20; CON-12 2; W12-B 66; SW-WP 1; BOX-WP 1; SEAL-PU 5; SEAL-SL 2; BACKER 40;
  PRIM-Q 0.25; CEM-Q 0.5; IND-U 1; LBL-SYS 2; LBL-CRC 1; KIT-ST 1
Small multi-family: P4-40 40; P3-40 50; C4 4; C3 5; E90-4 5; E90-3 7; E45-3 4; W4 2; RB43 3; GATE3 3; FLX4 4;
  FAN-H4 2; STR-4 6; HNG-3 10; WBR-4 6; FIRE-3 2; CND-12 40; CON-12 4; CSTR-12 8; W12-B 132; SW-WP 2; BOX-WP 2;
  SEAL-PU 9; BACKER 80; PRIM-Q 0.5; CEM-Q 1; PNT-S 4; IND-U 3; LBL-SYS 6; LBL-CRC 2; CONC 3; KIT-ST 4
"""
TASK_LINKS = """
remove_ft: Remove old pipe
remove_fan: Remove the old fan
slope: Correct the slope at joints
pit: Core and dig the suction pit
membrane_sq_ft: Lay membrane
membrane_wall_ft: Seal membrane to walls
pier: Seal membrane round piers
pipe_ft: Run pipe in crawl space; Run pipe in basement; Run pipe in attic; Run pipe outside
joint: Cement joints; Cement joints in crawl space; Cement joints in attic
support: Set supports; Set supports in crawl space; Set supports in attic; Set supports outside
passage: Core through a wall or floor
fan: Set the fan
conduit_ft: Wire the fan
fan_kit: Fit pressure indicator and labels
seal_ft: Seal cracks and joints
paint_ft: Paint pipe
"""
ITEM_LINKS = """
pipe: P3-40; P4-40
coupling: C3; C4
elbow: E90-3; E90-4; E45-3; E45-4
branch: T4; W4
reducer: RB43
flexible_coupling: FLX3; FLX4
valve: GATE3
fan: FAN-L3; FAN-M4; FAN-H4; FAN-F4
conduit: CND-12
conduit_connector: CON-12
conduit_strap: CSTR-12
box: BOX-WP; BOX-4S
disconnect: SW-1; SW-WP
wire: W12-B; CBL-142
support: STR-3; STR-4; HNG-3; HNG-4; WBR-4
fire_passage: FIRE-3
sealant: SEAL-PU; SEAL-SL
membrane_sealant: SEAL-AC
backer_rod: BACKER
membrane: MEM-12
seam_tape: TAPE-M
primer: PRIM-Q
cement: CEM-Q
paint: PNT-S
system_label: LBL-SYS
circuit_label: LBL-CRC
pressure_indicator: IND-U
"""
ALONE = "alone"
IN_ONE_TYPE = {("Crawl-space membrane", "ANC-14"): "membrane_fastener"}
CONDUIT = ("CND-12", "CND-34", "PCND-12")  # its sticks: what is left of one is no offcut that is kept


def upgrade() -> None:
    _columns()
    _answers()
    _link("job_type_task", "labour_task", "task_id", "name", TASK_LINES, TASK_LINKS)
    _link("job_type_item", "item", "item_id", "code", ITEM_LINES, ITEM_LINKS)
    _costing()


def _columns() -> None:
    for name in ("job_type_task", "job_type_item"):
        with op.batch_alter_table(name) as table:
            table.add_column(sa.Column("stands_for", sa.String(), server_default="", nullable=False))
    with op.batch_alter_table("item") as table:
        table.add_column(sa.Column("costed_by", sa.String(), server_default="whole", nullable=False))
    for name in ("labour_line", "material_line"):
        with op.batch_alter_table(name) as table:
            table.add_column(sa.Column("takeoff_quantity", db.tables.base.Quantity(), nullable=True))
    with op.batch_alter_table("material_line") as table:
        table.add_column(sa.Column("buy_quantity", db.tables.base.Quantity(), nullable=True))


def _answers() -> None:
    op.create_table(
        "takeoff_answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("row_key", sa.String(), nullable=False),
        sa.Column("answer", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name=op.f("fk_takeoff_answer_job_id_job")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_takeoff_answer")),
        sa.UniqueConstraint("job_id", "row_key", name=op.f("uq_takeoff_answer_job_id_row_key")),
    )
    with op.batch_alter_table("takeoff_answer") as table:
        table.create_index(op.f("ix_takeoff_answer_job_id"), ["job_id"], unique=False)


def _link(usual: str, known: str, column: str, name: str, lines: str, links: str) -> None:
    part_of = {one: part for part, names in _read(links) for one in names}
    statement = sa.text(
        f"UPDATE {usual} SET stands_for = :part WHERE quantity = :quantity "
        f"AND {column} IN (SELECT id FROM {known} WHERE {name} = :name) "
        "AND job_type_id IN (SELECT id FROM job_type WHERE name = :job_type)"
    ).bindparams(sa.bindparam("quantity", type_=db.tables.base.Quantity()))
    for job_type, entries in _read(lines):
        for entry in entries:
            of, _, quantity = entry.rpartition(" ")
            part = IN_ONE_TYPE.get((job_type, of), part_of.get(of, ALONE))
            values = {"part": part, "quantity": Decimal(quantity), "name": of, "job_type": job_type}
            op.get_bind().execute(statement, values)


def _read(text: str) -> list[tuple[str, list[str]]]:
    joined = text.strip().replace("\n  ", " ")
    heads = (line.partition(": ") for line in joined.splitlines())
    return [(head, [one.strip() for one in rest.split(";")]) for head, _, rest in heads]


def _costing() -> None:
    op.execute("UPDATE item SET costed_by = 'used' WHERE item_class IN ('cement', 'sealing', 'membrane', 'paint')")
    op.execute("UPDATE item SET costed_by = 'used' WHERE unit IN ('ft', 'sq ft')")
    op.execute("UPDATE item SET costed_by = 'cut' WHERE item_class = 'pipe' AND unit = 'ft'")
    for code in CONDUIT:
        op.get_bind().execute(sa.text("UPDATE item SET costed_by = 'whole' WHERE code = :code"), {"code": code})
