"""Making a book, saying what it holds, verifying and upgrading it."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from lugbook.errors import BookUnwritable, quoted
from lugbook.jobs.photographs import find_original, is_changed
from lugbook.records.logbook import read_head
from lugbook.records.questions import Row, all_rows, counts
from lugbook.records.store import GENERATION, Book
from lugbook.records.tables import Photo
from lugbook.records.upgrade import Upgraded, create_book, upgrade_book
from lugbook.records.verification import verify


@dataclass(frozen=True)
class Verified:
    """What verifying found; empty findings mean a sound book."""

    lines: int
    """How many lines hold, and the seal of the last; 0 and '' where anything was found."""
    head: str
    findings: tuple[str, ...]
    photos_changed: tuple[str, ...] = ()
    photos_missing: tuple[str, ...] = ()
    """Originals that are not beside the book: it was moved without them, or was made before they were kept."""


def new_book(path: Path, at: datetime, *, make_folder: bool = False) -> None:
    """Make a new book; its folder too where asked. Raises BookExists, BookUnwritable."""
    if make_folder:
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise BookUnwritable(path) from error
    create_book(path, at)


def book_info(book: Book) -> dict[str, Any]:
    """Where the book is, its name, its chain's head, and how many rows of each kind it holds."""
    with book.reading() as connection:
        head = read_head(connection)
        return {
            "book": str(book.path), "name": head.book, "generation": GENERATION, "lines": head.seq,
            "head": head.hash.hex(), "rows": dict(counts(connection)),
        }  # fmt: skip


def verify_book(book: Book) -> Verified:
    """Check everything; changes nothing."""
    with book.reading() as connection:
        findings = tuple(finding.what for finding in verify(connection))
        if findings:
            return Verified(0, "", findings)
        head = read_head(connection)
        photos = all_rows(connection, Photo)
    missing = [row for row in photos if find_original(book.path, row["digest"], row["byte_count"], ()) is None]
    changed = [row for row in missing if is_changed(book.path, row["digest"])]
    return Verified(
        head.seq,
        head.hash.hex(),
        findings,
        tuple(f"{_original(row)} has changed since it was noted." for row in changed),
        tuple(f"{_original(row)} is not beside the book." for row in missing if row not in changed),
    )


def _original(row: Row) -> str:
    return f"The original of photo {quoted(row['file_name'])} (entry {row['id']}, SHA-256 {row['digest'][:16]}...)"


def upgrade_to_newest(path: Path) -> Upgraded:
    """Upgrade a book. Raises what `records.upgrade.upgrade_book` raises."""
    return upgrade_book(path)
