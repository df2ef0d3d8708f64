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
GENERATION = 5
"""Of the schema; the number of the newest migration."""
LOCK_WAIT_SECOND = 30.0

# The database header: https://www.sqlite.org/fileformat2.html, 1.3.
_SQLITE_HEADER = b"SQLite format 3\x00"
_HEADER_LENGTH = 100
_USER_VERSION_AT = 60
_APPLICATION_ID_AT = 68

_DAMAGED_SCHEMA_OR_TEXT = (
    "no such ", "malformed ", "unknown function", "foreign key mismatch", "Could not decode ",
)  # fmt: skip
"""How SQLite's messages begin where it has only its general code: our statements are fixed, the schema is not."""


@dataclass(frozen=True)
class Book:
    """One open book."""

    path: Path
    engine: Engine

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one state of the book."""
        with in_words(self.path), self.engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One transaction: all of it is kept, or none. Raises BookBusy, BookUnwritable, NoSpaceLeft, OutcomeUnknown."""
        with in_words(self.path), self.engine.connect() as connection:
            connection = connection.execution_options(writes=True)
            with connection.begin() as deed:
                yield connection
                try:
                    deed.commit()
                except DBAPIError as error:
                    raise OutcomeUnknown(self.path) from error

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
    """Schema generation of a book, read without changing a byte. Raises BookMissing, NotABook, BookUnwritable."""
    if not path.exists():
        raise BookMissing(path)
    if not path.is_file():
        raise NotABook(path)
    try:
        with path.open(
            "rb"
        ) as file:  # SQLite itself may not: it would want to roll back what a killed program left
            header = file.read(_HEADER_LENGTH)
    except OSError as error:
        raise BookUnwritable(path) from error
    whole = len(header) == _HEADER_LENGTH and header.startswith(_SQLITE_HEADER)
    if not whole or _number_at(_APPLICATION_ID_AT, header) != APPLICATION_ID:
        raise NotABook(path)
    return _number_at(_USER_VERSION_AT, header)


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


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """Turns what SQLite reports of the book at `path` into a refusal; what is a bug of ours keeps its trace."""
    try:
        yield
    except (DBAPIError, sqlite3.Error, UnicodeDecodeError) as error:
        refusal = _refusal_for(path, error)
        if refusal is None:
            raise
        raise refusal from error


def is_damage(error: DBAPIError | sqlite3.Error | UnicodeDecodeError) -> bool:
    """Whether SQLite says that the file, its schema or a text in it is not what it was.

    Where its own message quotes bytes that are no text, the driver raises UnicodeDecodeError.
    """
    if isinstance(error, UnicodeDecodeError):
        return True
    code, message = _reported(error)
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_FORMAT):
        return True
    return message.startswith(_DAMAGED_SCHEMA_OR_TEXT)


def _refusal_for(path: Path, error: DBAPIError | sqlite3.Error | UnicodeDecodeError) -> Refusal | None:
    if is_damage(error):
        return NotABook(path)
    code, _ = _reported(error)
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return BookBusy(path)
    if code in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR):
        return NoSpaceLeft(path)
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
        return BookUnwritable(path)
    return None


def _reported(error: Exception) -> tuple[int, str]:
    """SQLite's primary result code, 0 where the driver itself failed, and its message."""
    reported = error.orig if isinstance(error, DBAPIError) else error
    return getattr(reported, "sqlite_errorcode", 0) & 0xFF, str(reported)


def _number_at(place: int, header: bytes) -> int:
    return int.from_bytes(header[place : place + 4], "big")
