"""Alembic runs this file for every command; the connection, and with it the transaction, comes from the caller."""

from alembic import context

given = context.config.attributes
context.configure(connection=given["connection"], version_table=given["table"])
context.run_migrations()
