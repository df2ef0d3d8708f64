"""The photos of a build as a report shows them, each checked against its digest first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from lugbook.errors import PhotosAmiss, PhotoUnusable, quoted
from lugbook.jobs.directory import Row
from lugbook.jobs.photographs import find_original, is_changed
from lugbook.jobs.report_scope import Scope
from lugbook.records.tables import CableEnd, Terminal
from lugbook.reports.blocks import Print
from lugbook.reports.photographs import kept_print, print_photo


@dataclass(frozen=True)
class PendingPrints:
    """Prints that are being made side by side while the rest of a report is gathered."""

    rows: Sequence[Row]
    made: Iterator[Print | str]
    """For each row the print, or what is wrong with the photo."""


def begin_prints(
    side_by_side: Executor, scope: Scope, rows: Sequence[Row], book: Path, folders: Sequence[Path]
) -> PendingPrints:
    """Begin to check, read and shrink photos; that work leaves the interpreter free."""
    captions = [_caption(scope, row, rows) for row in rows]
    return PendingPrints(rows, side_by_side.map(partial(_print, book, folders), rows, captions))


def finished_prints(scope: Scope, pending: PendingPrints) -> dict[int, tuple[Print, ...]]:
    """The prints of each terminal, in the order of the book. Raises PhotosAmiss, which names all that are amiss."""
    found: dict[int, tuple[Print, ...]] = {}
    amiss = []
    for row, made in zip(pending.rows, pending.made, strict=True):
        if isinstance(made, str):
            amiss.append(f"{_called(scope, row)} (entry {row['id']}, SHA-256 {row['digest'][:16]}...) {made}")
            continue
        terminal = scope.directory.history.current(row["terminal_id"])
        found[terminal] = (*found.get(terminal, ()), made)
    if amiss:
        raise PhotosAmiss(amiss)
    return found


def _print(book: Path, folders: Sequence[Path], row: Row, caption: str) -> Print | str:
    """The print, or what is wrong with the photo."""
    content = find_original(book, row["digest"], row["byte_count"], folders)
    if content is None:
        return "has changed since it was noted." if is_changed(book, row["digest"]) else "is missing."
    kept = find_original(book, row["print_digest"], 0, ()) if row["print_digest"] else None
    if kept is not None:
        return kept_print(kept, caption)
    try:
        return print_photo(content, row["file_name"], caption)
    except PhotoUnusable as error:
        return f"cannot be shown: {error.why}."


def _caption(scope: Scope, row: Row, rows: Sequence[Row]) -> str:
    """Its note, the beginning of its digest, and whether the same picture stands elsewhere too."""
    twice = sum(1 for other in rows if other["digest"] == row["digest"]) > 1
    parts = (
        scope.free(row["note"]),
        row["digest"][:12],
        "the same picture stands at several entries" if twice else "",
    )
    return " · ".join(part for part in parts if part)


def _called(scope: Scope, row: Row) -> str:
    end = scope.directory.row(CableEnd, scope.directory.row(Terminal, row["terminal_id"])["cable_end_id"])
    return f"{end['tag']}: photo {quoted(row['file_name'])}"
