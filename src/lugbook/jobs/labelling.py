"""Printing labels for the ends of cables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from lugbook.errors import NothingCalled, NothingToShow
from lugbook.jobs.cables import word_circuit
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.exchanging import write_file
from lugbook.jobs.report_terminals import tag_order
from lugbook.records.logbook import read_head
from lugbook.records.store import Book
from lugbook.records.tables import Cable, CableEnd, Conductor
from lugbook.reports.labels import Label, Sheet, check_sheet, print_labels
from lugbook.units.fields import Field
from lugbook.units.parsing import read_measured

ON_A_SHEET = Field(
    "label_millimetre", "length on a sheet of labels", "mm", ("mm", "cm", "in"), 0, 400, "38.1 mm", "label",
    {"millimetre": "mm"},
)  # fmt: skip


@dataclass(frozen=True)
class Labelled:
    """How many labels were printed, and what has to be said of the file."""

    count: int
    remark: str


def read_sheet(lengths: Mapping[str, str], columns: int, rows: int, paper: str) -> Sheet:
    """A sheet from its lengths as typed ("63.5 mm"), by field of Sheet. Raises what `read_measured` raises."""
    read = {name: read_measured(text, ON_A_SHEET).value for name, text in lengths.items()}
    return Sheet(columns=columns, rows=rows, paper=paper, **read)


def write_labels(
    book: Book,
    on: date,
    path: Path,
    sheet: Sheet,
    *,
    build: str | None = None,
    cables: Sequence[str] = (),
    copies: int = 1,
    start: int = 1,
) -> Labelled:
    """Write a PDF with a label for each end of each cable, or of those named, in the order of their tags.

    Raises PaperUnknown, LabelsDoNotFit, NothingCalled, NothingToShow, FileUnwritable.
    """
    check_sheet(sheet, start)
    with book.reading() as connection:
        name = read_head(connection).book
        directory = Directory(connection)
        try:
            row = directory.named_build(build) if build else directory.build(None)
        except Mismatch as wrong:
            raise NothingToShow(f"say {wrong.expected}") from wrong
        labels = _labels(directory, row, name, cables)
    if not labels:
        raise NothingToShow(f"{row['name']} has no cable yet; add one with `lugbook cable add`")
    whole = tuple(label for label in labels for _ in range(copies))
    paper = print_labels(whole, sheet, title=f"{row['name']}: labels", day=on.isoformat(), start=start)
    write_file(path, paper.content)
    return Labelled(len(whole), paper.remark)


def _labels(directory: Directory, build: Row, book: str, wanted: Sequence[str]) -> tuple[Label, ...]:
    known = {
        cable["tag"]: cable
        for cable in directory.rows(Cable).values()
        if directory.build_of(Cable, cable) == build["id"]
    }
    for tag in wanted:
        if tag not in known:
            raise NothingCalled("cable", tag, "cable", list(known))
    tags = wanted or sorted(known, key=tag_order)
    ends: dict[int, list[Row]] = {}
    for end in sorted(directory.rows(CableEnd).values(), key=lambda end: str(end["side"])):
        ends.setdefault(directory.history.current(end["cable_id"]), []).append(end)
    return tuple(
        Label(
            end["tag"],
            _size(directory, known[tag]),
            ", ".join(filter(None, (end["place"], word_circuit(known[tag])))) or known[tag]["note"] or "",
            f"{end['tag']} {book}",
        )
        for tag in tags
        for end in ends.get(known[tag]["id"], ())
    )


def _size(directory: Directory, cable: Row) -> str:
    size = str(directory.row(Conductor, cable["conductor_id"])["size"]).replace("mm2", "mm²")
    return f"{size}, {cable['length_metre']:g} m"
