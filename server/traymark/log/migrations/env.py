"""Alembic runs this, and by it the steps of `versions/`, in the transaction that `migrate.py` has begun."""

from alembic import context

context.configure(connection=context.config.attributes["connection"])
context.run_migrations()
