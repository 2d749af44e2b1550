"""Run by Alembic: migrate over the connection it was given, all steps in one transaction, or none."""

from alembic import context

from db.migrations.run import default_differs
from db.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,  # SQLite changes a column by copying its table
    transactional_ddl=True,  # our connections begin real transactions, so a failed step leaves nothing behind
    compare_type=True,
    compare_server_default=default_differs,
    user_module_prefix="base.",
)
context.run_migrations()
