"""Migrations: from nothing to the newest, which is what the models say."""

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Engine, inspect, text

from tests.people import ENGINES, address
from walkaround.store import schema
from walkaround.store.db import make_engine
from walkaround.store.models import Base


@pytest.fixture(params=ENGINES)
def empty(request):
    made = make_engine(address(request.param, request))
    yield made
    made.dispose()


def differences(engine: Engine) -> list:
    with engine.connect() as connection:
        options = {"compare_type": True, "compare_server_default": True}
        context = MigrationContext.configure(connection, opts=options)
        return compare_metadata(context, Base.metadata)


def test_the_newest_schema_is_that_of_the_models(empty):
    schema.upgrade(empty)

    assert differences(empty) == []


def test_an_upgrade_that_is_done_changes_nothing(empty):
    schema.upgrade(empty)
    with empty.begin() as connection:
        connection.execute(text("insert into site (id, made_at) values ('Gravel pit', 1)"))

    schema.upgrade(empty)

    with empty.connect() as connection:
        assert connection.scalar(text("select id from site")) == "Gravel pit"
    assert differences(empty) == []


def test_only_a_database_that_is_up_to_date_is_ready(empty):
    before = schema.is_ready(empty)
    schema.upgrade(empty)

    assert (before, schema.is_ready(empty)) == (False, True)


def test_a_newer_schema_than_this_program_knows_is_ready(empty):
    schema.upgrade(empty)
    with empty.begin() as connection:
        connection.execute(text("update alembic_version set version_num = '9999'"))

    assert schema.is_ready(empty)


def test_the_site_leads_every_key_and_index(empty):
    """So that sites can live apart; `site` itself and the migrations' own table aside."""
    schema.upgrade(empty)
    found = inspect(empty)

    for table in set(found.get_table_names()) - {"site", "alembic_version"}:
        keys = [found.get_pk_constraint(table)["constrained_columns"]]
        keys += [one["column_names"] for one in found.get_unique_constraints(table)]
        keys += [one["column_names"] for one in found.get_indexes(table)]
        assert all(key[0] == "site" for key in keys), table


def test_no_key_is_counted_up_by_the_database():
    """A sequence that all writers share would be a place where they all wait."""
    columns = [column for table in Base.metadata.tables.values() for column in table.columns]

    assert not [c for c in columns if c.autoincrement is True or c.identity or c.default]
    assert not [
        c
        for c in columns
        if c.primary_key and len(c.table.primary_key) == 1 and c.type.python_type is int
    ]
