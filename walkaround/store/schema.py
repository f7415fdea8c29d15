"""The shape of the database, made and brought up to date by numbered migrations."""

import sys
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine
from sqlalchemy.pool import StaticPool

from walkaround.store.db import make_engine

_FOLDER = Path(__file__).parent / "migrations"


def upgrade(engine: Engine) -> None:
    """Bring the database up to date; one that is empty gets everything."""
    with engine.execution_options(writes=True).begin() as connection:
        config = _config()
        config.attributes["connection"] = connection
        command.upgrade(config, "head")


def is_ready(engine: Engine) -> bool:
    """Say whether the database has at least what this program needs."""
    with engine.connect() as connection:
        has = MigrationContext.configure(connection).get_current_revision()
    script = ScriptDirectory.from_config(_config())
    known = {revision.revision for revision in script.walk_revisions()}
    return has == script.get_current_head() or (has is not None and has not in known)


def write_next(words: str) -> None:
    """Write the next migration: what the models have and the newest migration has not."""
    engine = make_engine("sqlite://", poolclass=StaticPool)
    upgrade(engine)
    config, count = _config(), len(list(_FOLDER.glob("versions/0*.py")))
    with engine.connect() as connection:
        config.attributes["connection"] = connection
        command.revision(config, words, autogenerate=True, rev_id=f"{count + 1:04}")


def _config() -> Config:
    config = Config()
    config.set_main_option("script_location", str(_FOLDER))
    return config


if __name__ == "__main__":
    write_next(sys.argv[1])
