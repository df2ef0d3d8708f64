"""What verifying finds after somebody with another program was at the book."""

import sqlite3
from contextlib import closing

import pytest

from lugbook.errors import LastLineUnreadable
from lugbook.jobs.keeping import verify_book
from lugbook.records.logbook import Logbook, read_head
from lugbook.records.store import GENERATION, open_book
from lugbook.records.tables import Tool
from small_book import LINES, RECORDED, make_small_book


@pytest.fixture
def path(tmp_path):
    """A small book that nobody has open."""
    make_small_book(tmp_path / "book.db").close()
    return tmp_path / "book.db"


def test_an_untouched_book_is_sound(path) -> None:
    book = open_book(path)
    found = verify_book(book)
    with book.reading() as connection:
        head = read_head(connection)
    book.close()

    assert (found.lines, found.head, found.findings) == (LINES, head.hash.hex(), ())


def test_an_edited_row_is_found_though_the_guards_were_put_back(path) -> None:
    tamper(path, "UPDATE reading SET drop_millivolt = 1.48 WHERE id = 19")

    assert findings_of(path) == ["Row 19 of reading does not say what ledger line 19 says."]


@pytest.mark.parametrize(
    "edit",
    [
        "UPDATE reading SET note = 'sound' WHERE id = 20",
        "UPDATE reading SET joint_celsius = NULL WHERE id = 20",
        "UPDATE reading SET as_typed = NULL WHERE id = 20",
        "UPDATE reading SET taken_at = '2031-04-19T10:00:00.000001Z' WHERE id = 20",
        "UPDATE reading SET span_id = 14, import_id = 2 WHERE id = 20",
    ],
)
def test_any_cell_of_a_row_counts(path, edit) -> None:
    tamper(path, edit)

    assert findings_of(path) == ["Row 20 of reading does not say what ledger line 20 says."]


def test_a_removed_row_is_found(path) -> None:
    tamper(path, f"DELETE FROM withdrawal WHERE id = {LINES}")

    assert findings_of(path) == [f"Ledger line {LINES} has lost its row in withdrawal."]


def test_a_removed_last_line_is_found_by_the_row_it_leaves(path) -> None:
    tamper(path, f"DELETE FROM ledger WHERE seq = {LINES}")

    assert findings_of(path) == [
        f"Row {LINES} of withdrawal refers to a ledger that is not there.",
        f"Row {LINES} of withdrawal has no line in the ledger.",
    ]


def test_a_neatly_trimmed_end_shows_in_the_count_and_the_head_alone(path) -> None:
    """The chain cannot tell a shorter book from a younger one; the head noted elsewhere can."""
    book = open_book(path)
    before = verify_book(book)
    book.close()
    tamper(path, f"DELETE FROM withdrawal WHERE id = {LINES}", f"DELETE FROM ledger WHERE seq = {LINES}")

    book = open_book(path)
    after = verify_book(book)
    book.close()

    assert (after.lines, after.findings) == (LINES - 1, ())
    assert after.head != before.head


def test_a_removed_line_in_the_middle_is_found(path) -> None:
    tamper(path, "DELETE FROM photo WHERE id = 25", "DELETE FROM ledger WHERE seq = 25")

    assert findings_of(path) == ["The ledger does not hold at line 25: the line is missing."]


def test_a_line_with_one_blank_more_is_found(path) -> None:
    tamper(path, "UPDATE ledger SET payload = CAST(payload || ' ' AS BLOB) WHERE seq = 7")

    assert findings_of(path) == ["The ledger does not hold at line 7: its seal does not fit its text."]


def test_an_edited_line_and_row_that_agree_are_found(path) -> None:
    tamper(
        path,
        "UPDATE ledger SET payload = CAST(replace(CAST(payload AS TEXT), '1.84', '1.48') AS BLOB) WHERE seq = 19",
        "UPDATE reading SET drop_millivolt = 1.48 WHERE id = 19",
    )

    assert findings_of(path) == ["The ledger does not hold at line 19: its seal does not fit its text."]


@pytest.mark.parametrize(
    "payload", ["not JSON", "[]", "{}", '{"fact":[]}', '{"fact":{"drop_millivolt":"much"}}']
)
def test_a_line_of_nonsense_is_found_with_its_row(path, payload) -> None:
    tamper(path, f"UPDATE ledger SET payload = CAST('{payload}' AS BLOB) WHERE seq = 19")

    assert findings_of(path) == [
        "The ledger does not hold at line 19: its seal does not fit its text.",
        "Row 19 of reading does not say what ledger line 19 says.",
    ]


def test_a_line_of_an_unknown_kind_is_found(path) -> None:
    tamper(path, "DELETE FROM photo WHERE id = 25", "UPDATE ledger SET kind = 'wish' WHERE seq = 25")

    assert findings_of(path) == [
        "The ledger does not hold at line 25: its text says another number, kind or line before.",
        "The ledger holds lines of an unknown kind, wish.",
    ]


def test_a_dropped_guard_is_found(path) -> None:
    bare(path, "DROP TRIGGER guard_reading_update")

    assert findings_of(path) == ["The guard guard_reading_update is missing or changed."]


def test_a_weakened_guard_is_found(path) -> None:
    bare(
        path,
        "DROP TRIGGER guard_reading_update",
        "CREATE TRIGGER guard_reading_update BEFORE UPDATE ON reading BEGIN SELECT 1; END",
    )

    assert findings_of(path) == ["The guard guard_reading_update is missing or changed."]


def test_a_missing_table_is_found(path) -> None:
    tamper(path, "DROP TABLE photo", guards_back=False)

    findings = findings_of(path)

    assert "The table photo is missing." in findings
    assert findings[-1] == "The file is damaged and cannot be read further."


def test_a_column_too_many_is_found(path) -> None:
    bare(path, "ALTER TABLE photo ADD COLUMN liked INTEGER")

    assert findings_of(path) == ["The table photo has other columns than it should."]


def test_a_lost_check_is_found(path) -> None:
    (made,) = bare(path, "SELECT sql FROM sqlite_master WHERE name = 'photo'")
    check = "CONSTRAINT ck_photo_digest CHECK (digest IS NULL OR typeof(digest) = 'text'), "
    weaker = made.replace(check, "")
    tamper(path, "CREATE TABLE former AS SELECT * FROM photo", "DROP TABLE photo", weaker)
    tamper(path, "INSERT INTO photo SELECT * FROM former", "DROP TABLE former")

    assert findings_of(path) == ["The table photo has lost its check ck_photo_digest."]


def test_a_book_whose_migration_and_generation_disagree_is_found(path) -> None:
    bare(path, "UPDATE alembic_version SET version_num = '0000'")

    assert findings_of(path) == [
        f"The book says it is of generation {GENERATION}, its last migration says otherwise."
    ]


def test_a_row_that_refers_to_nothing_is_found(path) -> None:
    tamper(path, "DELETE FROM photo WHERE id = 25", "UPDATE service SET span_id = 999 WHERE id = 24")

    assert findings_of(path)[0] == "Row 24 of service refers to a span that is not there."


@pytest.mark.parametrize(
    "damage",
    ["DELETE FROM ledger", f"UPDATE ledger SET payload = x'ff' WHERE seq = {LINES}"],
    ids=["no line", "bytes that are no text"],
)
def test_nothing_is_written_after_a_last_line_that_cannot_be_read(path, damage) -> None:
    tamper(path, damage)

    book = open_book(path)
    with pytest.raises(LastLineUnreadable) as refused, book.writing() as connection:
        Logbook(connection, RECORDED).record(Tool, {"name": "press"})
    book.close()

    assert str(refused.value) == (
        "The last line of the book's ledger cannot be read; look with `lugbook book verify`, and put back a copy."
    )
    assert findings_of(path) != []


def findings_of(path) -> list[str]:
    """What verifying the book finds."""
    book = open_book(path)
    try:
        return list(verify_book(book).findings)
    finally:
        book.close()


def bare(path, *statements) -> list:
    """Statements run by another program; the first row of the last."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for statement in statements:
            row = connection.execute(statement).fetchone()
    return list(row or ())


def tamper(path, *statements, guards_back: bool = True) -> None:
    """Statements run with all guards off, which are then put back as they were."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        guards = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            connection.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            connection.execute(statement)
        for _, made in guards if guards_back else ():
            connection.execute(made)
