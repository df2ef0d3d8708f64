"""Opening a book: which file is one, how it is connected to, and what can go wrong with it."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import StaticPool

from lugbook.errors import (
    BookBusy,
    BookFromNewer,
    BookFromOlder,
    BookMissing,
    BookUnwritable,
    NoSpaceLeft,
    NotABook,
    OutcomeUnknown,
    Refusal,
)

APPLICATION_ID = 0x4C756742
"""Marks the file as a book ("LugB")."""
GENERATION = 1
"""Of the schema; the number of the newest migration."""
LOCK_WAIT_SECOND = 30.0

_SQLITE_HEADER = b"SQLite format 3\x00"


@dataclass(frozen=True)
class Book:
    """One open book."""

    path: Path
    engine: Engine

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one state of the book."""
        with self._worded(), self.engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One transaction: all of it is kept, or none. Raises BookBusy, BookUnwritable, NoSpaceLeft, OutcomeUnknown."""
        with self._worded(), self.engine.connect() as connection:
            connection = connection.execution_options(writes=True)
            with connection.begin() as deed:
                yield connection
                try:
                    deed.commit()
                except DBAPIError as error:
                    raise OutcomeUnknown(self.path) from error

    @contextmanager
    def _worded(self) -> Iterator[None]:
        try:
            yield
        except DBAPIError as error:
            refusal = _in_words(self.path, error)
            if refusal is None:
                raise
            raise refusal from error

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()


def open_book(path: Path) -> Book:
    """An existing book, checked to be ours and of this generation; never creates one.

    Raises: BookMissing, NotABook, BookFromNewer, BookFromOlder.
    """
    generation = generation_of(path)
    if generation > GENERATION:
        raise BookFromNewer(path)
    if generation < GENERATION:
        raise BookFromOlder(path)
    return Book(path, engine_on(path))


def generation_of(path: Path) -> int:
    """Schema generation of a book, read without changing a byte. Raises BookMissing, NotABook."""
    if not path.exists():
        raise BookMissing(path)
    if not path.is_file():
        raise NotABook(path)
    with path.open("rb") as file:
        if file.read(len(_SQLITE_HEADER)) != _SQLITE_HEADER:
            raise NotABook(path)
    try:
        connection = sqlite3.connect(f"file:{quote(str(path))}?mode=ro", uri=True)
        try:
            (application_id,) = connection.execute("PRAGMA application_id").fetchone()
            (generation,) = connection.execute("PRAGMA user_version").fetchone()
        finally:
            connection.close()
    except sqlite3.DatabaseError as error:
        raise NotABook(path) from error
    if application_id != APPLICATION_ID:
        raise NotABook(path)
    return int(generation)


def engine_on(path: Path, *, foreign_keys: bool = True) -> Engine:
    """An engine on one file, opened `mode=rw` so that it is never created by opening.

    Every transaction on a connection with the execution option `writes` begins IMMEDIATE: reading the ledger's head
    and extending it must be one exclusive step.
    """

    def connect() -> sqlite3.Connection:
        address = f"file:{quote(str(path))}?mode=rw"
        connection = sqlite3.connect(
            address, uri=True, timeout=LOCK_WAIT_SECOND, isolation_level=None, check_same_thread=False
        )
        for pragma in (
            f"foreign_keys={'ON' if foreign_keys else 'OFF'}",
            "synchronous=EXTRA",
            "fullfsync=ON",
            "trusted_schema=OFF",
            "recursive_triggers=ON",
        ):
            connection.execute(f"PRAGMA {pragma}")
        return connection

    engine = create_engine("sqlite://", creator=connect, poolclass=StaticPool)

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def _in_words(path: Path, error: DBAPIError) -> Refusal | None:
    """The refusal for what SQLite reported, or None where it is a bug of ours and should show its trace."""
    code = getattr(error.orig, "sqlite_errorcode", 0) & 0xFF
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return BookBusy(path)
    if code in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR):
        return NoSpaceLeft(path)
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return BookUnwritable(path)
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return NotABook(path)
    return None
