"""The triggers, met in a bare SQLite connection as any other program would."""

import hashlib
import shutil
import sqlite3
from contextlib import closing

import pytest

from lugbook.records.tables import FACT_TABLES
from small_book import LINES, make_small_book

TABLES = [str(table.__tablename__) for table in FACT_TABLES]


@pytest.fixture(scope="module")
def whole_book(tmp_path_factory):
    path = tmp_path_factory.mktemp("guards") / "book.db"
    make_small_book(path).close()
    return path


@pytest.fixture
def bare(whole_book, tmp_path):
    """A connection with SQLite's own defaults to a copy of the small book."""
    with closing(
        sqlite3.connect(shutil.copy(whole_book, tmp_path / "book.db"), isolation_level=None)
    ) as connection:
        yield connection


def test_the_small_book_has_a_row_in_every_table(bare) -> None:
    empty = [name for name in TABLES if bare.execute(f"SELECT count(*) FROM {name}").fetchone() == (0,)]

    assert empty == []


@pytest.mark.parametrize("table", ["ledger", *TABLES])
def test_no_row_can_be_updated(bare, table) -> None:
    key = "seq" if table == "ledger" else "id"

    with pytest.raises(sqlite3.IntegrityError, match=f"^the {table} table is append-only$"):
        bare.execute(f"UPDATE {table} SET {key} = {key}")


@pytest.mark.parametrize("table", ["ledger", *TABLES])
def test_no_row_can_be_deleted(bare, table) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=f"^the {table} table is append-only$"):
        bare.execute(f"DELETE FROM {table}")


@pytest.mark.parametrize("table", TABLES)
def test_no_row_can_be_replaced(bare, table) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=f"^a {table} row must project its own ledger line$"):
        bare.execute(f"INSERT OR REPLACE INTO {table} SELECT * FROM {table}")


def test_no_ledger_line_can_be_replaced(bare) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=r"^a ledger line must extend the last one$"):
        bare.execute("INSERT OR REPLACE INTO ledger SELECT * FROM ledger WHERE seq = 5")


@pytest.mark.parametrize(
    ("table", "replaced"),
    [("correction", "replaced_id"), ("correction", "replacement_id"), ("withdrawal", "withdrawn_id")],
)
def test_no_row_can_be_replaced_through_its_other_unique_column(bare, table, replaced) -> None:
    extend_ledger(bare, table)
    columns = [name for _, name, *_ in bare.execute(f"PRAGMA table_info({table})")]
    cells = {name: name for name in columns} | {"id": str(LINES + 1)}
    for other in {"replaced_id", "replacement_id"} & set(columns) - {replaced}:
        cells[other] = "1"

    with pytest.raises(sqlite3.IntegrityError, match=f"^a {table} row must project its own ledger line$"):
        bare.execute(f"INSERT OR REPLACE INTO {table} SELECT {', '.join(cells.values())} FROM {table}")


@pytest.mark.parametrize("table", TABLES)
def test_a_row_without_a_ledger_line_is_refused(bare, table) -> None:
    columns = [name for _, name, *_ in bare.execute(f"PRAGMA table_info({table})")]
    chosen = ", ".join(str(LINES + 1) if name == "id" else name for name in columns)

    with pytest.raises(sqlite3.IntegrityError, match=f"^a {table} row must project its own ledger line$"):
        bare.execute(f"INSERT INTO {table} SELECT {chosen} FROM {table} LIMIT 1")


def test_a_row_on_a_line_of_another_kind_is_refused(bare) -> None:
    extend_ledger(bare, "tool")

    with pytest.raises(sqlite3.IntegrityError, match=r"^a lug row must project its own ledger line$"):
        bare.execute("INSERT INTO lug (id, name) VALUES (?, '2/0 M8')", [LINES + 1])


def test_a_row_that_gives_no_identity_is_refused(bare) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=r"^a lug row must project its own ledger line$"):
        bare.execute("INSERT INTO lug (name) VALUES ('2/0 M8')")


def test_a_line_and_its_row_are_taken(bare) -> None:
    extend_ledger(bare, "lug")

    bare.execute("INSERT INTO lug (id, name) VALUES (?, '2/0 M8')", [LINES + 1])

    assert bare.execute("SELECT name FROM lug WHERE id = ?", [LINES + 1]).fetchone() == ("2/0 M8",)


@pytest.mark.parametrize("seq", [LINES, LINES + 2, 0, 1, None])
def test_a_line_that_leaves_a_gap_or_takes_a_number_again_is_refused(bare, seq) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=r"^a ledger line must extend the last one$"):
        extend_ledger(bare, "lug", seq=seq)


@pytest.mark.parametrize("prev", [bytes(32), b"\x01" * 32], ids=["none", "another"])
def test_a_line_that_does_not_name_the_last_one_is_refused(bare, prev) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=r"^a ledger line must extend the last one$"):
        extend_ledger(bare, "lug", prev=prev)


def extend_ledger(bare, kind, *, seq=LINES + 1, prev=None) -> None:
    """Insert a ledger line by hand; by default one that follows."""
    (last,) = bare.execute("SELECT hash FROM ledger ORDER BY seq DESC LIMIT 1").fetchone()
    payload = b"{}"
    seal = hashlib.sha256(b"\x00" + payload).digest()
    line = [seq, kind, payload, last if prev is None else prev, seal]
    bare.execute("INSERT INTO ledger VALUES (?, ?, ?, ?, ?)", line)
