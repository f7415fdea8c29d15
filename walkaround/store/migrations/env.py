"""Runs migrations on the connection that `store/schema.py` hands over."""

from alembic import context

from walkaround.store.models import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
    transactional_ddl=False,  # schema.upgrade holds the one transaction
)
context.run_migrations()
