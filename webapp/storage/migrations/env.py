"""Alembic runs this file for every command; the connection, and with it the transaction, comes from the caller."""

from alembic import context
from sqlmodel import SQLModel

from webapp.storage import (  # noqa: F401 - importing them fills the metadata
    log_tables,
    outbox_tables,
    phone_tables,
    privacy_tables,
    release_tables,
    spec_tables,
    tables,
    time_tables,
)

connection = context.config.attributes["connection"]
# Batches: SQLite cannot alter a column in place, so a later change copies the table.
context.configure(connection=connection, target_metadata=SQLModel.metadata, render_as_batch=True)
context.run_migrations()
