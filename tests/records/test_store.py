"""What opens as a book, what is refused and left as it was, and how a book is connected to."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing

import pytest
from sqlalchemy.exc import IntegrityError

from lugbook.errors import (
    BookBusy,
    BookExists,
    BookFromNewer,
    BookFromOlder,
    BookMissing,
    BookUnwritable,
    NoSpaceLeft,
    NotABook,
    OutcomeUnknown,
)
from lugbook.jobs.keeping import verify_book
from lugbook.records import store
from lugbook.records.store import APPLICATION_ID, GENERATION, open_book
from lugbook.records.upgrade import create_book
from small_book import LINES, RECORDED, make_small_book

AS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0
KILLED_IN_MID_WRITING = """
import os, signal, sys
from pathlib import Path
from lugbook.records.logbook import Logbook
from lugbook.records.store import open_book
from lugbook.records.tables import Tool
from small_book import RECORDED
with open_book(Path(sys.argv[1])).writing() as connection:
    connection.exec_driver_sql("PRAGMA cache_size = 2")  # so that pages reach the file before the commit
    logbook = Logbook(connection, RECORDED)
    for number in range(200):
        logbook.record(Tool, {"name": f"press {number}"})
    os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.fixture(scope="module")
def whole_book(tmp_path_factory):
    path = tmp_path_factory.mktemp("store") / "book.db"
    make_small_book(path).close()
    return path


@pytest.fixture
def path(whole_book, tmp_path):
    """A copy of the small book."""
    return shutil.copy(whole_book, tmp_path / "book.db")


def test_a_book_is_marked_as_one(path) -> None:
    with closing(sqlite3.connect(path)) as bare:
        assert bare.execute("PRAGMA application_id").fetchone() == (APPLICATION_ID,)
        assert bare.execute("PRAGMA user_version").fetchone() == (GENERATION,)
    assert APPLICATION_ID.to_bytes(4, "big") == b"LugB"


@pytest.mark.parametrize(
    ("pragma", "value"),
    [("foreign_keys", 1), ("synchronous", 3), ("journal_mode", "delete"), ("trusted_schema", 0),
     ("recursive_triggers", 1), ("fullfsync", 1)],
)  # fmt: skip
def test_a_book_is_connected_to_as_documented(path, pragma, value) -> None:
    # https://www.sqlite.org/pragma.html: synchronous 3 is EXTRA.
    book = open_book(path)
    with book.reading() as connection:
        assert connection.exec_driver_sql(f"PRAGMA {pragma}").scalar() == value
    book.close()


def test_a_writing_transaction_holds_the_book_from_its_first_moment(path) -> None:
    book = open_book(path)
    with book.writing(), closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as other:
        with pytest.raises(sqlite3.OperationalError, match="database is locked"):
            other.execute("BEGIN IMMEDIATE")
        assert other.execute("SELECT count(*) FROM ledger").fetchone() == (LINES,)
    book.close()


def test_a_book_that_another_program_holds_is_busy(path, monkeypatch) -> None:
    monkeypatch.setattr(store, "LOCK_WAIT_SECOND", 0.05)
    book = open_book(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")

        with pytest.raises(BookBusy) as refused, book.writing():
            pass
    book.close()

    assert str(refused.value) == (
        f"Another program is writing in {path}; nothing was written. Try again when it has finished."
    )


def test_an_error_inside_a_writing_transaction_leaves_nothing(path) -> None:
    before = path.read_bytes()
    book = open_book(path)
    with pytest.raises(IntegrityError):
        write(book, "CREATE TABLE extra (name)", "INSERT INTO extra VALUES ('press')", "DELETE FROM ledger")
    book.close()

    assert path.read_bytes() == before


def test_opening_never_makes_a_book(tmp_path) -> None:
    missing = tmp_path / "book.db"

    with pytest.raises(BookMissing) as refused:
        open_book(missing)

    assert list(tmp_path.iterdir()) == []
    assert str(refused.value) == (
        f"There is no book at {missing}; make one with `lugbook book new {missing}`, or name another with --book."
    )


def test_a_book_that_goes_away_after_opening_is_not_made_again(path) -> None:
    book = open_book(path)
    path.unlink()

    with pytest.raises(BookUnwritable), book.reading():
        pass

    assert not path.exists()


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(b"", id="an empty file"),
        pytest.param(b"span,drop_millivolt\nC1A/crimp,1.84\n", id="a text file"),
        pytest.param(b"SQLite format 3\x00", id="a header that was cut"),
        pytest.param(bytes(4096), id="zeros"),
    ],
)
def test_another_file_is_refused_and_left_as_it_was(tmp_path, content) -> None:
    path = tmp_path / "book.db"
    path.write_bytes(content)

    with pytest.raises(NotABook) as refused:
        open_book(path)

    assert str(refused.value) == (
        f"{path} is not a Lugbook book, or is damaged; nothing was changed. "
        "Name the right file with --book, or put back a copy."
    )
    assert path.read_bytes() == content
    assert [file.name for file in tmp_path.iterdir()] == ["book.db"]


def test_another_programs_database_is_refused_and_left_as_it_was(tmp_path) -> None:
    path = tmp_path / "book.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE ledger (seq INTEGER)")
        other.execute(f"PRAGMA user_version = {GENERATION}")
    before = path.read_bytes()

    with pytest.raises(NotABook):
        open_book(path)

    assert path.read_bytes() == before


def test_a_folder_is_not_a_book(tmp_path) -> None:
    with pytest.raises(NotABook):
        open_book(tmp_path)


def test_a_newer_book_is_refused_and_left_as_it_was(path) -> None:
    with closing(sqlite3.connect(path)) as bare:
        bare.execute(f"PRAGMA user_version = {GENERATION + 1}")
    before = path.read_bytes()

    with pytest.raises(BookFromNewer) as refused:
        open_book(path)

    assert path.read_bytes() == before
    assert str(refused.value) == (
        f"{path} was made by a newer Lugbook and was not changed; install that version to open it."
    )


def test_an_older_book_is_sent_to_be_upgraded(path, monkeypatch) -> None:
    monkeypatch.setattr(store, "GENERATION", GENERATION + 1)

    with pytest.raises(BookFromOlder) as refused:
        open_book(path)

    assert str(refused.value) == (
        f"{path} was made by an older Lugbook; bring it up to date with `lugbook --book {path} book upgrade`."
    )


def test_a_new_book_never_takes_the_place_of_a_file(tmp_path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("keep me")

    with pytest.raises(BookExists) as refused:
        create_book(path, RECORDED)

    assert path.read_text() == "keep me"
    assert [file.name for file in tmp_path.iterdir()] == ["notes.txt"]
    assert str(refused.value) == (
        f"There is already something at {path}, and it was left as it is; choose another name."
    )


def test_a_new_book_in_a_missing_folder_is_refused(tmp_path) -> None:
    path = tmp_path / "nowhere" / "book.db"

    with pytest.raises(BookUnwritable) as refused:
        create_book(path, RECORDED)

    assert str(refused.value) == (
        f"{path} or its folder cannot be written; nothing was changed. Give yourself the right to write there."
    )


def test_a_full_disk_is_told_of_and_nothing_is_written(path) -> None:
    book = open_book(path)
    with pytest.raises(NoSpaceLeft) as refused:  # no page more: SQLITE_FULL, as a full disk gives it
        write(book, "PRAGMA max_page_count = 1", "CREATE TABLE big AS SELECT randomblob(1000000) AS filler")
    assert str(refused.value) == (
        f"The disk that holds {path} is full or failed; nothing was written. Make room, then try again."
    )

    found = verify_book(book)
    book.close()
    assert (found.lines, found.findings) == (LINES, ())


def test_an_error_of_the_commit_itself_leaves_the_outcome_open(path) -> None:
    book = open_book(path)
    with pytest.raises(OutcomeUnknown) as refused:
        write(
            book,
            "PRAGMA defer_foreign_keys = ON",
            "CREATE TABLE loose (seq INTEGER REFERENCES ledger (seq))",
            "INSERT INTO loose VALUES (999)",
        )
    book.close()

    assert str(refused.value) == (
        f"Writing to {path} ended in an error at the last step; "
        "look with `lugbook book verify` whether the entry is there before you repeat it."
    )


@pytest.mark.skipif(AS_ROOT, reason="root may write a read-only file")
def test_a_read_only_book_is_read_but_not_written(path) -> None:
    path.chmod(0o444)
    book = open_book(path)

    assert verify_book(book).findings == ()
    with pytest.raises(BookUnwritable), book.writing() as connection:
        connection.exec_driver_sql("CREATE TABLE x (y)")
    book.close()


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs a system that can kill a process outright")
def test_a_book_left_half_written_by_a_killed_program_opens_as_it_was_before(path) -> None:
    killed = subprocess.run(
        [sys.executable, "-c", KILLED_IN_MID_WRITING, path], env=with_tests_on_path(), check=False
    )
    assert killed.returncode == -signal.SIGKILL
    assert path.with_name("book.db-journal").exists()

    book = open_book(path)
    found = verify_book(book)
    book.close()

    assert (found.lines, found.findings) == (LINES, ())
    assert not path.with_name("book.db-journal").exists()


def write(book, *statements: str) -> None:
    """Statements in one writing transaction."""
    with book.writing() as connection:
        for statement in statements:
            connection.exec_driver_sql(statement)


def with_tests_on_path() -> dict[str, str]:
    """This environment, for a program that imports small_book."""
    return os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
