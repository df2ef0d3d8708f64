"""Making a book, saying what it holds, verifying and upgrading it."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from lugbook.errors import BookUnwritable
from lugbook.records.logbook import read_head
from lugbook.records.questions import counts
from lugbook.records.store import GENERATION, Book
from lugbook.records.upgrade import Upgraded, create_book, upgrade_book
from lugbook.records.verification import verify


@dataclass(frozen=True)
class Verified:
    """What verifying found; empty findings mean a sound book."""

    lines: int
    """How many lines hold, and the seal of the last; 0 and '' where anything was found."""
    head: str
    findings: tuple[str, ...]


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
    return Verified(head.seq, head.hash.hex(), findings)


def upgrade_to_newest(path: Path) -> Upgraded:
    """Upgrade a book. Raises what `records.upgrade.upgrade_book` raises."""
    return upgrade_book(path)
