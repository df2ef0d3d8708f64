"""The CHECKs: whatever writes to the book, a cell of the wrong type, range, word or form does not get in."""

import shutil
import sqlite3
from contextlib import closing

import pytest

from small_book import LINES, make_small_book, reading_fact

READING = {
    **reading_fact(), "drop_millivolt": 1.84, "current_ampere": 102.0,
}  # fmt: skip
CONDUCTOR = {"name": "2/0 bare", "size": "2/0 AWG", "size_system": "AWG", "area_mm2": 67.4, "tinned": 0}
CALIBRATION = {"instrument_id": 15, "calibrated_on": "2031-01-07"}
CORRECTION = {"replaced_id": 19, "replacement_id": 20, "reason": "digits swapped"}
PHOTO = {"terminal_id": 13, "digest": "cd" * 32, "byte_count": 120345, "file_name": "C1A.jpg"}
ROWS = {
    "reading": READING, "conductor": CONDUCTOR, "calibration": CALIBRATION, "correction": CORRECTION, "photo": PHOTO,
}  # fmt: skip
LONE_BYTES = b"\x01\x02"


@pytest.fixture(scope="module")
def whole_book(tmp_path_factory):
    """The small book, with guards off: here only the CHECKs are asked."""
    path = tmp_path_factory.mktemp("checks") / "book.db"
    make_small_book(path).close()
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            connection.execute(f"DROP TRIGGER {name}")
    return path


@pytest.fixture
def bare(whole_book, tmp_path):
    """A bare connection to a copy of it."""
    with closing(
        sqlite3.connect(shutil.copy(whole_book, tmp_path / "book.db"), isolation_level=None)
    ) as connection:
        yield connection


@pytest.mark.parametrize("table", ROWS)
def test_a_sound_row_passes(bare, table) -> None:
    insert(bare, table, ROWS[table])

    assert bare.execute(f"SELECT count(*) FROM {table} WHERE id = ?", [LINES + 1]).fetchone() == (1,)


@pytest.mark.parametrize(
    ("table", "column", "value"),
    [
        pytest.param("reading", "drop_millivolt", "1.84 mV", id="text in a number"),
        pytest.param("reading", "drop_millivolt", LONE_BYTES, id="bytes in a number"),
        pytest.param("reading", "drop_millivolt", float("inf"), id="infinity"),
        pytest.param("reading", "drop_millivolt", 60_000.1, id="above the range"),
        pytest.param("reading", "drop_millivolt", -60_000.1, id="below the range"),
        pytest.param("reading", "current_ampere", -0.1, id="a negative current"),
        pytest.param("reading", "joint_celsius", 150.5, id="a joint that would burn"),
        pytest.param("reading", "polarity", "backward", id="an unknown word"),
        pytest.param("reading", "polarity", "Forward", id="a word in other letters"),
        pytest.param("reading", "stage", "", id="an empty word"),
        pytest.param("reading", "repeat", 0, id="a repeat before the first"),
        pytest.param("reading", "repeat", 1.5, id="half a repeat"),
        pytest.param("reading", "confirmed", 2, id="neither yes nor no"),
        pytest.param("reading", "taken_at", "2031-04-18 10:00", id="a time in another form"),
        pytest.param("reading", "taken_at", "2031-04-18T10:00:00Z", id="a time without its six digits"),
        pytest.param("reading", "taken_at", "2031-04-18T10:00:00.000000+01", id="a time with an offset"),
        pytest.param("reading", "taken_at", 1934000000, id="a time as a number"),
        pytest.param("reading", "note", LONE_BYTES, id="bytes in a note"),
        pytest.param("reading", "as_typed", LONE_BYTES, id="bytes in what was typed"),
        pytest.param("conductor", "area_mm2", 0.0, id="no copper"),
        pytest.param("conductor", "size_system", "SWG", id="an unknown size system"),
        pytest.param("conductor", "tinned", -1, id="a negative yes or no"),
        pytest.param("conductor", "name", LONE_BYTES, id="bytes in a name"),
        pytest.param("calibration", "calibrated_on", "07/01/2031", id="a day in another form"),
        pytest.param("calibration", "due_on", "2031-1-7", id="a day without its zeros"),
        pytest.param("correction", "reason", "  ", id="a blank reason"),
        pytest.param("photo", "byte_count", 0, id="a picture of nothing"),
    ],
)
def test_an_unsound_cell_is_refused(bare, table, column, value) -> None:
    with pytest.raises(
        sqlite3.IntegrityError, match=rf"^CHECK constraint failed: ck_{table}_{column}(_said)?$"
    ):
        insert(bare, table, ROWS[table] | {column: value})


@pytest.mark.parametrize("value", [None, float("nan")], ids=["null", "NaN, which SQLite stores as null"])
def test_a_number_that_must_be_there_cannot_be_null(bare, value) -> None:
    with pytest.raises(sqlite3.IntegrityError, match=r"^NOT NULL constraint failed: reading.drop_millivolt$"):
        insert(bare, "reading", READING | {"drop_millivolt": value})


@pytest.mark.parametrize(
    ("column", "value"),
    [("drop_millivolt", -60_000.0), ("drop_millivolt", 60_000.0), ("joint_celsius", -40.0), ("joint_celsius", None),
     ("repeat", 1000), ("stage", "as left"), ("stage", None)],
)  # fmt: skip
def test_the_ends_of_a_range_and_what_was_not_taken_pass(bare, column, value) -> None:
    insert(bare, "reading", READING | {column: value})

    assert bare.execute(f"SELECT {column} FROM reading WHERE id = ?", [LINES + 1]).fetchone() == (value,)


@pytest.mark.parametrize(
    "unsound", [{"hash": bytes(31)}, {"prev": "ab" * 16}, {"payload": "text"}, {"seq": 0}]
)
def test_an_unsound_ledger_line_is_refused(bare, unsound) -> None:
    line = {"seq": LINES + 1, "kind": "lug", "payload": b"{}", "prev": bytes(32), "hash": bytes(32)}
    (column,) = unsound

    with pytest.raises(sqlite3.IntegrityError, match=f"^CHECK constraint failed: ck_ledger_{column}$"):
        put(bare, "ledger", line | unsound)


def test_a_row_cannot_be_corrected_twice(bare) -> None:
    insert(bare, "correction", CORRECTION)

    with pytest.raises(sqlite3.IntegrityError, match=r"^UNIQUE constraint failed: correction.replaced_id$"):
        put(bare, "correction", CORRECTION | {"id": LINES + 2, "replacement_id": 21})


def insert(bare, table, cells) -> None:
    """A row with the next identity."""
    put(bare, table, {"id": LINES + 1, **cells})


def put(bare, table, cells) -> None:
    """A row as given."""
    marks = ", ".join("?" * len(cells))
    bare.execute(f"INSERT INTO {table} ({', '.join(cells)}) VALUES ({marks})", list(cells.values()))
