"""Upgrading, tried with an invented second migration that gives `span` its note.

The old book is the text of the first revision with `span.note` taken out, and says it is of generation 1. After the
invented migration its tables are those of the models again, so the whole machinery runs as it is, verifying included;
only the generation and the folder of the migrations are changed for the test.
"""

import os
import re
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from lugbook.errors import (
    BookBusy,
    BookExists,
    BookFromNewer,
    BookMissing,
    BookUnwritable,
    NotABook,
    UpgradeFailed,
)
from lugbook.jobs.keeping import verify_book
from lugbook.records import store, upgrade
from lugbook.records.guards import guard_texts
from lugbook.records.store import APPLICATION_ID, open_book
from lugbook.records.upgrade import Upgraded, upgrade_book
from small_book import LINES

HERE = Path(__file__).parent
SECOND = """
import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    with op.batch_alter_table("span", recreate="always") as batch:
        batch.add_column(sa.Column("note", sa.String(), nullable=True))
        batch.create_check_constraint(op.f("ck_span_note"), "note IS NULL OR typeof(note) = 'text'")
"""


@pytest.fixture
def second_migration(tmp_path, monkeypatch):
    """A folder of migrations of which the second may be rewritten by a test; the program is at generation 2."""
    folder = Path(shutil.copytree(HERE.parents[1] / "migrations", tmp_path / "migrations"))
    file = folder / "versions" / "0002_note_of_a_span.py"
    file.write_text(SECOND)
    monkeypatch.setattr(upgrade, "migrations_folder", lambda: folder)
    monkeypatch.setattr(upgrade, "GENERATION", 2)
    monkeypatch.setattr(store, "GENERATION", 2)
    return file


@pytest.fixture
def old_book(tmp_path):
    """A book of generation 1 whose spans have no note, alone in its folder."""
    text = (HERE / "first_revision.sql").read_text(encoding="utf-8")
    before, table, after = re.split(r"(CREATE TABLE span \(.*?\n\);)", text, maxsplit=1, flags=re.S)
    table = re.sub(r"\tnote VARCHAR, \n|\tCONSTRAINT ck_span_note CHECK .*\n", "", table)
    after = re.sub(r'^(INSERT INTO "span" VALUES\(.*),NULL\);$', r"\1);", after, flags=re.M)
    path = tmp_path / "boat" / "book.db"
    path.parent.mkdir()
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(before + table + after)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("PRAGMA user_version = 1")
    return path


def test_an_upgraded_book_holds_the_same_rows_and_all_its_guards(old_book, second_migration) -> None:
    before = rows_of(old_book)

    done = upgrade_book(old_book)

    after = rows_of(old_book)
    assert after["span"] == [(*row, None) for row in before["span"]]
    assert after["alembic_version"] == [("0002",)]
    for table in before.keys() - {"span", "alembic_version"}:
        assert after[table] == before[table], table
    assert guards_of(old_book) == dict(guard_texts())
    assert done == Upgraded(1, 2, old_book.with_name("book.db.generation-1"))
    book = open_book(old_book)
    found = verify_book(book)
    book.close()
    assert (found.lines, found.findings) == (LINES, ())


def test_the_old_file_is_kept_byte_for_byte_and_nothing_else_is_left(old_book, second_migration) -> None:
    before = old_book.read_bytes()

    upgrade_book(old_book)

    assert old_book.with_name("book.db.generation-1").read_bytes() == before
    assert names_beside(old_book) == ["book.db", "book.db.generation-1"]


@pytest.mark.skipif(os.name == "nt", reason="permission bits are a matter of Unix")
def test_an_upgraded_book_keeps_its_permissions(old_book, second_migration) -> None:
    old_book.chmod(0o600)

    upgrade_book(old_book)

    assert old_book.stat().st_mode & 0o777 == 0o600


def test_where_files_cannot_be_linked_the_old_file_is_copied(old_book, second_migration, monkeypatch) -> None:
    before = old_book.read_bytes()

    def refuse(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(os, "link", refuse)
    upgrade_book(old_book)

    assert old_book.with_name("book.db.generation-1").read_bytes() == before
    assert names_beside(old_book) == ["book.db", "book.db.generation-1"]


def test_a_book_that_is_up_to_date_is_left_as_it_was(old_book, second_migration) -> None:
    upgrade_book(old_book)
    before = old_book.read_bytes()

    assert upgrade_book(old_book) == Upgraded(2, 2, None)
    assert old_book.read_bytes() == before


@pytest.mark.parametrize(
    ("last_line", "why"),
    [
        pytest.param('raise RuntimeError("half way.")', "half way", id="an error of any kind"),
        pytest.param("raise RuntimeError", "RuntimeError", id="an error without a word"),
        pytest.param('op.execute("INSERT INTO span (id) VALUES (999)")', "NOT NULL constraint failed: span.build_id",
                     id="an error of the database"),
        pytest.param('op.execute("nonsense")', 'near "nonsense": syntax error', id="SQL that is none"),
    ],
)  # fmt: skip
def test_a_migration_that_fails_half_way_leaves_the_book_as_it_was(
    old_book, second_migration, last_line, why
) -> None:
    before = old_book.read_bytes()
    second_migration.write_text(f"{SECOND}    {last_line}\n")

    with pytest.raises(UpgradeFailed) as refused:
        upgrade_book(old_book)

    assert str(refused.value) == (
        f"The upgraded copy of {old_book} did not pass its check ({why}); the book itself was not changed."
    )
    assert old_book.read_bytes() == before
    assert names_beside(old_book) == ["book.db"]


@pytest.mark.parametrize(
    ("last_line", "why"),
    [
        pytest.param('op.execute("UPDATE span SET limit_microohm = 1.0")',
                     "Row 14 of span does not say what ledger line 14 says", id="an edited row"),
        pytest.param('op.execute("DELETE FROM span")', "refers to a span that is not there",
                     id="a lost row"),
        pytest.param('op.drop_table("photo")', "no such table: main.photo", id="a lost table"),
    ],
)  # fmt: skip
def test_a_migration_that_changes_what_was_recorded_is_refused(
    old_book, second_migration, last_line, why
) -> None:
    before = old_book.read_bytes()
    second_migration.write_text(f"{SECOND}    {last_line}\n")

    with pytest.raises(UpgradeFailed) as refused:
        upgrade_book(old_book)

    assert why in str(refused.value)
    assert old_book.read_bytes() == before
    assert names_beside(old_book) == ["book.db"]


def test_a_book_of_a_migration_that_nobody_knows_is_refused(old_book, second_migration) -> None:
    with closing(sqlite3.connect(old_book, isolation_level=None)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0099'")
    before = old_book.read_bytes()

    with pytest.raises(UpgradeFailed, match="Can't locate revision identified by '0099'"):
        upgrade_book(old_book)

    assert old_book.read_bytes() == before
    assert names_beside(old_book) == ["book.db"]


def test_a_swap_that_fails_leaves_the_book_as_it_was(old_book, second_migration, monkeypatch) -> None:
    before = old_book.read_bytes()

    def refuse(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(BookUnwritable):
        upgrade_book(old_book)

    assert old_book.read_bytes() == before
    assert names_beside(old_book) == ["book.db"]


def test_a_read_only_book_is_not_upgraded(old_book, second_migration, monkeypatch) -> None:
    monkeypatch.setattr(os, "access", lambda path, mode: not (path == old_book and mode & os.W_OK))
    before = old_book.read_bytes()

    with pytest.raises(BookUnwritable):
        upgrade_book(old_book)

    assert old_book.read_bytes() == before
    assert names_beside(old_book) == ["book.db"]


def test_an_earlier_kept_book_is_never_written_over(old_book, second_migration) -> None:
    kept = old_book.with_name("book.db.generation-1")
    kept.write_text("an earlier one")
    before = old_book.read_bytes()

    with pytest.raises(BookExists):
        upgrade_book(old_book)

    assert (kept.read_text(), old_book.read_bytes()) == ("an earlier one", before)


def test_a_book_that_somebody_writes_in_is_not_upgraded(old_book, second_migration, monkeypatch) -> None:
    monkeypatch.setattr(upgrade, "LOCK_WAIT_SECOND", 0.05)
    with closing(sqlite3.connect(old_book, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")

        with pytest.raises(BookBusy):
            upgrade_book(old_book)

    assert names_beside(old_book) == ["book.db"]


def test_nobody_can_write_while_a_book_is_upgraded(old_book, second_migration, monkeypatch) -> None:
    seen = []

    def look(draft: Path, path: Path) -> None:
        with closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as other:
            with pytest.raises(sqlite3.OperationalError, match="database is locked"):
                other.execute("BEGIN IMMEDIATE")
            seen.append(draft)

    monkeypatch.setattr(upgrade, "_refuse_unsound", look)
    upgrade_book(old_book)

    assert len(seen) == 1


def test_what_cannot_be_upgraded_is_refused_and_left_as_it_was(old_book, second_migration) -> None:
    with pytest.raises(BookMissing):
        upgrade_book(old_book.with_name("other.db"))
    with closing(sqlite3.connect(old_book)) as connection:
        connection.execute("PRAGMA user_version = 3")
    before = old_book.read_bytes()
    with pytest.raises(BookFromNewer):
        upgrade_book(old_book)
    assert old_book.read_bytes() == before


def test_a_book_cut_in_half_is_not_upgraded(old_book, second_migration) -> None:
    half = old_book.read_bytes()[: old_book.stat().st_size // 2]
    old_book.write_bytes(half)

    with pytest.raises((NotABook, UpgradeFailed)):
        upgrade_book(old_book)

    assert old_book.read_bytes() == half
    assert names_beside(old_book) == ["book.db"]


def rows_of(path: Path) -> dict[str, list[tuple]]:
    """Every row of every table."""
    with closing(sqlite3.connect(path)) as connection:
        names = [
            name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        ]
        return {name: connection.execute(f"SELECT * FROM {name} ORDER BY 1").fetchall() for name in names}


def guards_of(path: Path) -> dict[str, str]:
    """The triggers of a file by name."""
    with closing(sqlite3.connect(path)) as connection:
        return dict(connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"))


def names_beside(path: Path) -> list[str]:
    """Every file in the folder of the book."""
    return sorted(file.name for file in path.parent.iterdir())
