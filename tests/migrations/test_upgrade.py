"""Upgrading a book of the first revision, with one more invented migration at the end that a test may spoil."""

import os
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
from lugbook.records.store import APPLICATION_ID, GENERATION, open_book
from lugbook.records.upgrade import Upgraded, upgrade_book
from small_book import FIRST_REVISION_LINES

HERE = Path(__file__).parent
NEXT = GENERATION + 1
LAST = f'''
from alembic import op

revision = "{NEXT:04}"
down_revision = "{GENERATION:04}"


def upgrade() -> None:
    with op.batch_alter_table("span", recreate="always"):
        pass  # a rebuilt table has lost its guards
'''


@pytest.fixture
def last_migration(tmp_path, monkeypatch):
    """A folder of migrations with one more, which may be rewritten by a test; the program is of its generation."""
    folder = Path(shutil.copytree(HERE.parents[1] / "migrations", tmp_path / "migrations"))
    file = folder / "versions" / f"{NEXT:04}_invented.py"
    file.write_text(LAST)
    monkeypatch.setattr(upgrade, "migrations_folder", lambda: folder)
    monkeypatch.setattr(upgrade, "GENERATION", NEXT)
    monkeypatch.setattr(store, "GENERATION", NEXT)
    return file


@pytest.fixture
def old_book(tmp_path):
    """A book of generation 1, alone in its folder."""
    path = tmp_path / "boat" / "book.db"
    path.parent.mkdir()
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript((HERE / "first_revision.sql").read_text(encoding="utf-8"))
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute("PRAGMA user_version = 1")
    return path


def test_an_upgraded_book_holds_the_same_rows_and_all_its_guards(old_book, last_migration) -> None:
    before = rows_of(old_book)

    done = upgrade_book(old_book)

    after = rows_of(old_book)
    assert after["alembic_version"] == [(f"{NEXT:04}",)]
    for table in before.keys() - {"alembic_version"}:
        assert [row[: len(old)] for row, old in zip(after[table], before[table], strict=True)] == before[
            table
        ], table
        assert {
            value for row, old in zip(after[table], before[table], strict=True) for value in row[len(old) :]
        } <= {None}
    assert guards_of(old_book) == dict(guard_texts())
    assert done == Upgraded(1, NEXT, old_book.with_name("book.db.generation-1"))
    book = open_book(old_book)
    found = verify_book(book)
    book.close()
    assert (found.lines, found.findings) == (FIRST_REVISION_LINES, ())


def test_the_old_file_is_kept_byte_for_byte_and_nothing_else_is_left(old_book, last_migration) -> None:
    before = old_book.read_bytes()

    upgrade_book(old_book)

    assert old_book.with_name("book.db.generation-1").read_bytes() == before
    assert names_beside(old_book) == ["book.db", "book.db.generation-1"]


@pytest.mark.skipif(os.name == "nt", reason="permission bits are a matter of Unix")
def test_an_upgraded_book_keeps_its_permissions(old_book, last_migration) -> None:
    old_book.chmod(0o600)

    upgrade_book(old_book)

    assert old_book.stat().st_mode & 0o777 == 0o600


def test_where_files_cannot_be_linked_the_old_file_is_copied(old_book, last_migration, monkeypatch) -> None:
    before = old_book.read_bytes()

    def refuse(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(os, "link", refuse)
    upgrade_book(old_book)

    assert old_book.with_name("book.db.generation-1").read_bytes() == before
    assert names_beside(old_book) == ["book.db", "book.db.generation-1"]


def test_a_book_that_is_up_to_date_is_left_as_it_was(old_book, last_migration) -> None:
    upgrade_book(old_book)
    before = old_book.read_bytes()

    assert upgrade_book(old_book) == Upgraded(NEXT, NEXT, None)
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
    old_book, last_migration, last_line, why
) -> None:
    before = old_book.read_bytes()
    last_migration.write_text(f"{LAST}    {last_line}\n")

    with pytest.raises(UpgradeFailed) as refused:
        upgrade_book(old_book)

    assert str(refused.value) == (
        f"The upgraded copy of {old_book} did not pass its check ({why}); the book itself was not changed. "
        "See what is damaged with `book verify` of the Lugbook that made it, or put back a copy."
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
    old_book, last_migration, last_line, why
) -> None:
    before = old_book.read_bytes()
    last_migration.write_text(f"{LAST}    {last_line}\n")

    with pytest.raises(UpgradeFailed) as refused:
        upgrade_book(old_book)

    assert why in str(refused.value)
    assert old_book.read_bytes() == before
    assert names_beside(old_book) == ["book.db"]


def test_a_book_of_a_migration_that_nobody_knows_is_refused(old_book, last_migration) -> None:
    with closing(sqlite3.connect(old_book, isolation_level=None)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0099'")
    before = old_book.read_bytes()

    with pytest.raises(UpgradeFailed, match="Can't locate revision identified by '0099'"):
        upgrade_book(old_book)

    assert old_book.read_bytes() == before
    assert names_beside(old_book) == ["book.db"]


def test_a_swap_that_fails_leaves_the_book_as_it_was(old_book, last_migration, monkeypatch) -> None:
    before = old_book.read_bytes()

    def refuse(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(BookUnwritable):
        upgrade_book(old_book)

    assert old_book.read_bytes() == before
    assert names_beside(old_book) == ["book.db"]


def test_a_read_only_book_is_not_upgraded(old_book, last_migration, monkeypatch) -> None:
    monkeypatch.setattr(os, "access", lambda path, mode: not (path == old_book and mode & os.W_OK))
    before = old_book.read_bytes()

    with pytest.raises(BookUnwritable):
        upgrade_book(old_book)

    assert old_book.read_bytes() == before
    assert names_beside(old_book) == ["book.db"]


def test_an_earlier_kept_book_is_never_written_over(old_book, last_migration) -> None:
    kept = old_book.with_name("book.db.generation-1")
    kept.write_text("an earlier one")
    before = old_book.read_bytes()

    with pytest.raises(BookExists):
        upgrade_book(old_book)

    assert (kept.read_text(), old_book.read_bytes()) == ("an earlier one", before)


def test_a_book_that_somebody_writes_in_is_not_upgraded(old_book, last_migration, monkeypatch) -> None:
    monkeypatch.setattr(upgrade, "LOCK_WAIT_SECOND", 0.05)
    with closing(sqlite3.connect(old_book, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")

        with pytest.raises(BookBusy):
            upgrade_book(old_book)

    assert names_beside(old_book) == ["book.db"]


def test_nobody_can_write_while_a_book_is_upgraded(old_book, last_migration, monkeypatch) -> None:
    seen = []

    def look(draft: Path, path: Path) -> None:
        with closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as other:
            with pytest.raises(sqlite3.OperationalError, match="database is locked"):
                other.execute("BEGIN IMMEDIATE")
            seen.append(draft)

    monkeypatch.setattr(upgrade, "_refuse_unsound", look)
    upgrade_book(old_book)

    assert len(seen) == 1


def test_what_cannot_be_upgraded_is_refused_and_left_as_it_was(old_book, last_migration) -> None:
    with pytest.raises(BookMissing):
        upgrade_book(old_book.with_name("other.db"))
    with closing(sqlite3.connect(old_book)) as connection:
        connection.execute(f"PRAGMA user_version = {NEXT + 1}")
    before = old_book.read_bytes()
    with pytest.raises(BookFromNewer):
        upgrade_book(old_book)
    assert old_book.read_bytes() == before


def test_a_book_cut_in_half_is_not_upgraded(old_book, last_migration) -> None:
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
