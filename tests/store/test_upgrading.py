"""The schema: the migrations make what the tables say, old data is kept, the future is refused."""

import shutil
import subprocess
import sys

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect

from intake.store.backup import examine
from intake.store.complaints import StoreRefused
from intake.store.engine import make_engine, url_of
from intake.store.opening import Store
from intake.store.tables import Table
from intake.store.upgrading import REVISIONS, SCRIPTS, bring_up_to_date, revision_of
from tests.store.samples import book

NEXT = """
import sqlalchemy as sa
from alembic import op
revision = "next"
down_revision = "{newest}"
def upgrade():
    op.add_column("cases", sa.Column("colour_of_the_bag", sa.Text(), nullable=False, server_default=""))
    {then}
"""


@pytest.fixture
def scripts(tmp_path):
    """A later release's migrations: the real ones and one more."""

    def make(then="pass"):
        folder = tmp_path / "migrations"
        shutil.copytree(SCRIPTS, folder)
        (folder / "versions" / "next.py").write_text(NEXT.format(newest=REVISIONS[-1], then=then))
        return folder

    return make


def columns_of(place, table):
    engine = make_engine(url_of(place))
    names = [column["name"] for column in inspect(engine).get_columns(table)]
    engine.dispose()
    return names


def upgrade(place, scripts):
    engine = make_engine(url_of(place))
    try:
        return bring_up_to_date(engine, scripts, (*REVISIONS, "next"))
    finally:
        engine.dispose()


def described(engine):
    """Everything that a database says of its own tables."""
    found = inspect(engine)
    return {
        table: {
            "columns": sorted((c["name"], str(c["type"]), c["nullable"]) for c in found.get_columns(table)),
            "key": found.get_pk_constraint(table)["constrained_columns"],
            "references": sorted(
                (key["name"], key["constrained_columns"], key["referred_table"])
                for key in found.get_foreign_keys(table)
            ),
            "unique": sorted((each["name"], each["column_names"]) for each in found.get_unique_constraints(table)),
            "indexes": sorted((each["name"], each["column_names"]) for each in found.get_indexes(table)),
            "checks": sorted((each["name"], each["sqltext"]) for each in found.get_check_constraints(table)),
        }
        for table in found.get_table_names()
        if table != "alembic_version"
    }


def test_the_newest_revision_is_the_one_that_is_expected():
    script = ScriptDirectory(str(SCRIPTS))
    assert script.get_heads() == [REVISIONS[-1]]
    assert [revision.revision for revision in script.walk_revisions()] == list(reversed(REVISIONS))


def test_the_migrated_schema_is_the_one_of_the_tables(store):
    with store.engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), Table.metadata) == []


def test_the_migrated_schema_has_every_constraint_of_the_tables(store):
    migrated = described(store.engine)
    Table.metadata.drop_all(store.engine)
    assert described(store.engine) == {}
    Table.metadata.create_all(store.engine)
    assert described(store.engine) == migrated


def test_a_store_that_is_up_to_date_opens_without_the_migrations_library(sqlite_place):
    code = f"import sys; from intake.store.opening import Store; Store.open({sqlite_place!r}).close();"
    code += "print('alembic' in sys.modules)"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout == "False\n"


def test_a_fresh_place_becomes_a_store(empty_place):
    store = Store.open(empty_place)
    assert store.kept is None
    assert book(store).case_id == 1
    store.close()


def test_desks_that_start_at_once_on_a_fresh_place_all_open_it(empty_place):
    code = f"from intake.store.opening import Store; Store.open({empty_place!r}).close()"
    desks = [subprocess.Popen([sys.executable, "-c", code], stderr=subprocess.PIPE, text=True) for _ in range(3)]
    assert [desk.communicate()[1] for desk in desks] == ["", "", ""]
    store = Store.open(empty_place)
    assert book(store).case_id == 1
    store.close()


def test_an_older_store_is_brought_up_to_date_with_its_data(place, scripts):
    store = Store.open(place)
    booked = book(store)
    head = store.verify_chain()
    store.close()
    kept = upgrade(place, scripts())
    assert columns_of(place, "cases")[-1] == "colour_of_the_bag"
    if kept is not None:
        assert (examine(kept).head, examine(kept).cases) == (head, booked.case_id)
        assert kept.name == f"intake.schema-{REVISIONS[-1]}-before-next.sqlite"
    assert (kept is None) == place.startswith("postgresql")


def test_an_upgrade_that_breaks_off_leaves_the_store_as_it_was(place, scripts):
    store = Store.open(place)
    book(store)
    store.close()
    with pytest.raises(ZeroDivisionError):
        upgrade(place, scripts("1 / 0"))
    assert "colour_of_the_bag" not in columns_of(place, "cases")
    again = Store.open(place)
    assert again.read.case(1) is not None
    again.close()


def test_a_store_of_a_newer_release_is_refused_in_words(place, scripts):
    upgrade(place, scripts())
    with pytest.raises(StoreRefused, match="written by a newer Intake"):
        Store.open(place)
    engine = make_engine(url_of(place))
    with engine.connect() as connection:
        assert revision_of(connection) == "next"
    engine.dispose()


def test_somebody_elses_database_is_refused(empty_place):
    engine = make_engine(url_of(empty_place))
    with engine.begin() as connection:
        connection.exec_driver_sql("CREATE TABLE recipes (id integer)")
    with pytest.raises(StoreRefused, match="other tables than Intake's"):
        Store.open(empty_place)
    assert inspect(engine).get_table_names() == ["recipes"]
    engine.dispose()
