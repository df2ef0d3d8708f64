"""Bringing a book's schema up to date: migrate a copy, check the copy, then swap it in."""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError

from lugbook.errors import BookExists, BookFromNewer, BookUnwritable, UpgradeFailed
from lugbook.records.guards import install_guards
from lugbook.records.logbook import begin_book
from lugbook.records.store import (
    APPLICATION_ID,
    GENERATION,
    LOCK_WAIT_SECOND,
    engine_on,
    generation_of,
    in_words,
)  # fmt: skip
from lugbook.records.verification import verify


@dataclass(frozen=True)
class Upgraded:
    """What an upgrade did; `kept` is the untouched old book, None when there was nothing to do."""

    before: int
    after: int
    kept: Path | None


def create_book(path: Path, at: datetime) -> None:
    """Make a new book. Raises BookExists, BookUnwritable; an existing file is never touched."""
    if path.exists():
        raise BookExists(path)
    with in_words(path), _beside(path, "new") as draft:
        _migrate(draft)
        with _writing(draft) as connection:
            begin_book(connection, at)
        try:
            os.link(draft, path)  # unlike a rename, refuses if somebody made the book meanwhile
        except FileExistsError as error:
            raise BookExists(path) from error
        except OSError:  # a file system without links
            os.replace(draft, path)


def upgrade_book(path: Path) -> Upgraded:
    """Upgrade a book of an older generation; the old file is kept beside it.

    Raises: BookMissing, NotABook, BookFromNewer, BookUnwritable, UpgradeFailed (the book is then unchanged).
    """
    before = generation_of(path)
    if before > GENERATION:
        raise BookFromNewer(path)
    if before == GENERATION:
        return Upgraded(before, before, None)
    if not os.access(path, os.W_OK):  # on a read-only file BEGIN IMMEDIATE holds nobody off
        raise BookUnwritable(path)
    kept = path.with_name(f"{path.name}.generation-{before}")
    if kept.exists():
        raise BookExists(kept)
    with in_words(path), _beside(path, "upgrade") as draft, _locked(path):
        with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(draft)) as copy:
            source.backup(copy)
        try:
            _migrate(draft)
        except Exception as error:  # a migration can fail in any way; the book is as it was
            raise UpgradeFailed(path, _reason(error)) from error
        _refuse_unsound(draft, path)
        _swap(draft, path, kept)
    return Upgraded(before, GENERATION, kept)


def migrations_folder() -> Path:
    """Where the migrations are: inside the installed package, else beside the source tree."""
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "migrations", package.parents[1] / "migrations"):
        if (folder / "env.py").is_file():
            return folder
    raise FileNotFoundError("the migrations are missing from this installation")


def _migrate(path: Path) -> None:
    """Run every outstanding migration in one transaction, foreign keys off, then put the guards back."""
    from alembic import command
    from alembic.config import Config

    with _writing(path, foreign_keys=False) as connection:
        config = Config()
        config.set_main_option("script_location", str(migrations_folder()).replace("%", "%%"))
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
        install_guards(connection)
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.exec_driver_sql(f"PRAGMA user_version = {GENERATION}")


def _refuse_unsound(draft: Path, path: Path) -> None:
    engine = engine_on(draft)
    try:
        with engine.connect() as connection:
            findings = verify(connection)
    finally:
        engine.dispose()
    if findings:
        raise UpgradeFailed(path, findings[0].what.rstrip("."))


def _swap(draft: Path, path: Path, kept: Path) -> None:
    """Keep the old file under another name and put the draft in its place: a whole book is at `path` throughout."""
    try:
        shutil.copymode(path, draft)
        try:
            os.link(path, kept)
        except OSError:  # a file system without links
            shutil.copy2(path, kept)
        os.replace(draft, path)
    except OSError as error:
        kept.unlink(missing_ok=True)
        raise BookUnwritable(path) from error


def _reason(error: Exception) -> str:
    """The first line of what went wrong; SQLAlchemy adds the statement and a link below it."""
    said = str(error.orig if isinstance(error, DBAPIError) else error) or type(error).__name__
    return said.splitlines()[0].rstrip(".")


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    """Nobody else can write, from before the copy until after the swap."""
    with closing(sqlite3.connect(path, timeout=LOCK_WAIT_SECOND, isolation_level=None)) as connection:
        connection.execute("BEGIN IMMEDIATE")
        yield


@contextmanager
def _writing(path: Path, *, foreign_keys: bool = True) -> Iterator[Connection]:
    engine = engine_on(path, foreign_keys=foreign_keys)
    try:
        with engine.connect() as connection:
            connection = connection.execution_options(writes=True)
            with connection.begin():
                yield connection
    finally:
        engine.dispose()


@contextmanager
def _beside(path: Path, purpose: str) -> Iterator[Path]:
    """An empty file in the same folder, removed afterwards unless it was moved into place."""
    draft = path.with_name(f".{path.name}.{purpose}-{os.getpid()}")
    try:
        draft.touch(exist_ok=False)
    except OSError as error:
        raise BookUnwritable(path) from error
    try:
        yield draft
    finally:
        draft.unlink(missing_ok=True)
