"""The migrations, run one after another, make exactly the tables that the models say."""

import re
from pathlib import Path

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine, inspect
from sqlmodel import SQLModel

from lugbook.records.store import GENERATION, engine_on
from lugbook.records.tables import FACT_TABLES, Ledger
from lugbook.records.upgrade import create_book
from small_book import RECORDED

VERSIONS = Path(__file__).parents[2] / "migrations" / "versions"
TABLES = [str(table.__tablename__) for table in (Ledger, *FACT_TABLES)]


@pytest.fixture(scope="module")
def schemas(tmp_path_factory):
    """What SQLite says of the tables made by the migrations, and of those made from the models."""
    folder = tmp_path_factory.mktemp("schemas")
    create_book(folder / "migrated.db", RECORDED)
    migrated, modelled = (
        engine_on(folder / "migrated.db"),
        create_engine(f"sqlite:///{folder / 'modelled.db'}"),
    )
    SQLModel.metadata.create_all(modelled)
    yield inspect(migrated), inspect(modelled)
    migrated.dispose()
    modelled.dispose()


def test_there_are_the_same_tables(schemas) -> None:
    migrated, modelled = schemas

    assert set(migrated.get_table_names()) - {"alembic_version"} == set(modelled.get_table_names())
    assert set(modelled.get_table_names()) == set(TABLES)


@pytest.mark.parametrize("table", TABLES)
def test_each_table_has_the_same_columns_constraints_and_indexes(schemas, table) -> None:
    migrated, modelled = (told_of(inspector, table) for inspector in schemas)

    assert migrated == modelled
    assert None not in migrated["names"], "a constraint without a name cannot be changed by a later migration"


def test_the_generation_is_the_number_of_the_newest_migration() -> None:
    numbers = [file.name[:4] for file in sorted(VERSIONS.glob("*.py"))]

    assert numbers == [f"{number:04}" for number in range(1, GENERATION + 1)]


def test_each_migration_follows_the_one_before_and_imports_nothing_of_ours() -> None:
    newest_first = [
        (script.revision, script.down_revision)
        for script in ScriptDirectory(VERSIONS.parent).walk_revisions()
    ]

    numbers = [f"{number:04}" for number in range(GENERATION, 0, -1)]
    assert newest_first == list(zip(numbers, [*numbers[1:], None], strict=True))
    for file in VERSIONS.glob("*.py"):
        assert not re.search(r"^\s*(from|import) lugbook", file.read_text(), re.M), file.name


def told_of(inspector, table: str) -> dict[str, object]:
    """Everything that can be asked of one table, in an order that does not matter."""
    primary, foreign = inspector.get_pk_constraint(table), inspector.get_foreign_keys(table)
    unique, checks = inspector.get_unique_constraints(table), inspector.get_check_constraints(table)
    return {
        "columns": sorted(
            (
                column["name"],
                str(column["type"]),
                column["nullable"],
                column["default"],
                column["primary_key"],
            )
            for column in inspector.get_columns(table)
        ),
        "primary key": primary,
        "foreign keys": sorted(foreign, key=str),
        "unique": sorted(unique, key=str),
        "checks": sorted(checks, key=str),
        "indexes": sorted(inspector.get_indexes(table), key=str),
        "names": {rule["name"] for rule in (primary, *foreign, *unique, *checks)},
    }
