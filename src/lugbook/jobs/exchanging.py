"""Bringing files into the book and writing them out of it."""

from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any

from lugbook.errors import FileExists, FileMissing, FileUnwritable, UnknownKind
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.tables_out import write_table
from lugbook.jobs.listing import list_kind
from lugbook.jobs.recording import Recorded, record_file
from lugbook.records.logbook import Progress, no_progress
from lugbook.records.store import Book


def bring_in_file(
    book: Book,
    kind: str,
    path: Path,
    now: datetime,
    *,
    decimal: str | None,
    skip_unknown: bool,
    aside: Path | None,
    progress: Progress = no_progress,
) -> Recorded:
    """Import one file; where `aside` names a file, the refused lines go there and the others are taken.

    Raises UnknownKind, FileMissing, FileExists, FileUnwritable, FileRefused, ImportRefused.
    """
    _known(kind)
    raw = read_file(path)
    if aside is not None and aside.exists():
        raise FileExists(aside)
    if aside is not None and not aside.parent.is_dir():
        raise FileUnwritable(aside)
    recorded = record_file(
        book,
        kind,
        raw,
        path.name,
        now,
        decimal=decimal,
        ignore_unknown=skip_unknown,
        progress=progress,
        set_aside=aside is not None,
    )
    if aside is not None and recorded.aside:
        write_file(aside, recorded.aside)
    return recorded


def give_out_table(
    book: Book, kind: str, path: Path | None, *, build: str | None
) -> tuple[bytes, int, list[dict[str, Any]]]:
    """The table of one kind as bytes, written to a file where one is named; how many rows; the rows as facts.

    Raises UnknownKind, FileUnwritable.
    """
    _known(kind)
    listing = list_kind(book, kind, build=build)
    content = write_table(listing.headings, listing.rows)
    if path is not None:
        write_file(path, content)
    facts = [dict(zip(listing.headings, (cell or None for cell in row), strict=True)) for row in listing.rows]
    return content, len(listing.rows), facts


def word_count(count: int, kind: str) -> str:
    """How many of a kind: "1 build", "4 lugs"."""
    return f"{count} {kind.removesuffix('s') if count == 1 else kind}"


def headings_of(kind: str) -> list[tuple[str, str, str]]:
    """Each heading of a kind, whether it is needed, and what it is. Raises UnknownKind."""
    _known(kind)
    return [(c.heading, "needed" if c.needed else "", c.says) for c in LAYOUTS[kind].columns]


def read_file(path: Path) -> bytes:
    """The bytes of a file a person named. Raises FileMissing."""
    try:
        return path.read_bytes()
    except OSError as error:
        raise FileMissing(path) from error


def write_file(path: Path, content: bytes) -> None:
    """Write a whole file beside its place, then move it there. Raises FileUnwritable."""
    draft = path.with_name(f".{path.name}.part")
    try:
        draft.write_bytes(content)
        draft.replace(path)
    except OSError as error:
        with suppress(OSError):
            draft.unlink()
        raise FileUnwritable(path) from error


def _known(kind: str) -> None:
    if kind not in LAYOUTS:
        raise UnknownKind(kind, list(LAYOUTS))
