"""The history of the tables, a file a step. `webapp.storage.migrate.upgrade` walks it."""
