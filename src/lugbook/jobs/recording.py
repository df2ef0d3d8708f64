"""Putting lines into the book: a whole file of one kind, or one line typed by hand."""

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from hashlib import sha256

from lugbook.errors import FileRefused, ImportRefused, LineRefused, Refusal, quoted
from lugbook.exchange.faults import Fault, word_fault
from lugbook.exchange.layout import Layout
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import LogTable, ParsedLog, parse_log, read_log
from lugbook.exchange.tables_out import write_as_read
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Directory, Mismatch
from lugbook.jobs.entries import WRITERS
from lugbook.jobs.readings_in import Entered, enter_readings, words_of_retired, zones_of_lines
from lugbook.records.logbook import Logbook, Progress, no_progress
from lugbook.records.store import Book
from lugbook.records.tables import Build, ImportFile
from lugbook.units.fields import METER_FIELDS
from lugbook.units.parsing import read_measured

CLOCK_SLACK = timedelta(minutes=5)
"""A reading may be this far ahead of our clock: meters' clocks differ."""


@dataclass(frozen=True)
class Recorded:
    """What recording did."""

    kind: str
    new: int
    present: int
    refused: tuple[str, ...]
    """One sentence a refused cell; empty unless refused lines were to be set aside."""
    said: tuple[str, ...]
    """What else is to be said of it."""
    aside: bytes
    """The refused lines as a table to correct and import again; empty when there are none."""


class _NothingNew(Exception):
    """The book holds all of the file: the transaction is given up, and with it the mention of the file."""


def record_file(
    book: Book,
    kind: str,
    raw: bytes,
    file_name: str,
    now: datetime,
    *,
    decimal: str | None = None,
    ignore_unknown: bool = False,
    set_aside: bool = False,
    progress: Progress = no_progress,
) -> Recorded:
    """Import a file: all of it, or none where a line is refused; or all but the refused, if set aside.

    A file that holds nothing new leaves no trace.
    Raises ImportRefused with every fault; FileRefused where it cannot be read as a table.
    """
    try:
        table = read_log(raw, LAYOUTS[kind], decimal=decimal, ignore_unknown=ignore_unknown)
    except Refusal as refusal:
        raise FileRefused(file_name, refusal) from refusal
    with suppress(_NothingNew), book.writing() as connection:
        desk = _desk(Logbook(connection, now), now)
        parsed = _as_said(parse_log(table, LAYOUTS[kind], zone=_zones(desk.directory, table)), table)
        fact = {"kind": kind, "file_name": file_name, "digest": sha256(raw).hexdigest()}
        import_id = desk.logbook.record(ImportFile, {**fact, "line_count": table.row_count})
        entered = _enter(desk, parsed, import_id, progress)
        faults = (*parsed.faults, *entered.faults)
        if faults and not set_aside:
            raise ImportRefused(file_name, _sentences(faults))
        if not entered.new:
            raise _NothingNew
    said = words_of_retired(entered.retired)
    return Recorded(kind, entered.new, entered.present, _sentences(faults), said, _aside(table, faults))


def record_by_hand(book: Book, kind: str, cells: Mapping[str, str], now: datetime) -> Recorded:
    """Enter one line as typed, numbers with their units. Raises LineRefused."""
    with book.writing() as connection:
        entered = record_line(_desk(Logbook(connection, now), now), kind, cells)
    return Recorded(kind, entered.new, entered.present, (), (), b"")


def record_line(
    desk: Desk, kind: str, cells: Mapping[str, str], *, held: frozenset[str] = frozenset()
) -> Entered:
    """Enter one line within a transaction that goes on. Raises LineRefused.

    Cells under the headings in `held` are the book's own: bare numbers in the unit of their column.
    """
    layout = LAYOUTS[kind]
    for heading, by_unit in METER_FIELDS.items():
        if cells.get("unit") in by_unit and heading in cells and heading not in held:
            read_measured(cells[heading], by_unit[cells["unit"]])  # refuses a number without its unit
    table = LogTable(
        kind, tuple(cells), {name: [text.strip()] for name, text in cells.items()}, [1],
        _units_of_names(layout) | {c.heading: c.field.unit for c in layout.columns if c.field and c.heading in held},
        None,
    )  # fmt: skip
    parsed = _as_said(parse_log(table, layout, zone=_zones(desk.directory, table)), table)
    faults = parsed.faults
    entered = Entered(0, 0, ()) if faults else _enter(desk, parsed, None)
    if faults or entered.faults:
        raise LineRefused(sentence_of((*faults, *entered.faults)[0], layout))
    return entered


def open_desk(logbook: Logbook, now: datetime) -> Desk:
    """The desk for a job that enters several things in one transaction."""
    return _desk(logbook, now)


def _desk(logbook: Logbook, now: datetime) -> Desk:
    latest = (now.astimezone(UTC) + CLOCK_SLACK).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    return Desk(logbook, Directory(logbook.connection), latest)


def _enter(desk: Desk, parsed: ParsedLog, import_id: int | None, progress: Progress = no_progress) -> Entered:
    if parsed.kind == "readings":
        return enter_readings(
            desk, parsed.values, parsed.as_typed, parsed.line_numbers,
            refused_rows=parsed.faulty_rows, import_id=import_id, progress=progress,
        )  # fmt: skip
    new = present = 0
    faults = []
    for entry, line in _entries(parsed, import_id):
        try:
            if WRITERS[parsed.kind](desk, entry):
                new += 1
            else:
                present += 1
        except (Mismatch, Refusal) as wrong:
            faults.append(fault_of(line, wrong))
    return Entered(new, present, tuple(faults))


def _entries(parsed: ParsedLog, import_id: int | None) -> list[tuple[Entry, int]]:
    names, columns = list(parsed.values), list(parsed.values.values())
    faulty = parsed.faulty_rows
    return [
        (Entry(dict(zip(names, cells, strict=True)), parsed.as_typed.get(row, {}), import_id), line)
        for row, (line, *cells) in enumerate(zip(parsed.line_numbers, *columns, strict=True))
        if row not in faulty
    ]


def _as_said(parsed: ParsedLog, table: LogTable) -> ParsedLog:
    """Without the columns that the table lacks: a default must not contradict what the book knows."""
    return replace(parsed, values={name: parsed.values[name] for name in table.columns})


def _zones(directory: Directory, table: LogTable) -> str | list[str]:
    """The time zone of each line, that of its build; one for all where there is only one."""
    known = {row["name"]: row["zone"] for row in directory.rows(Build).values()}
    if len(set(known.values())) < 2:
        return next(iter(known.values()), "UTC")
    builds = table.columns.get("build")
    if "span" in table.columns and table.kind in ("readings", "services"):
        return zones_of_lines(directory, table.columns["span"], builds)
    return [known.get(name, "UTC") for name in builds] if builds else "UTC"


def _units_of_names(layout: Layout) -> dict[str, str | None]:
    """Units that need not be typed, since the name of the column is the unit: counts, percent."""
    return {c.heading: c.field.suffixes.get("") if c.field else None for c in layout.columns}


def fault_of(line: int, wrong: Mismatch | Refusal) -> Fault:
    """What the book found wrong with a line, as a value."""
    if isinstance(wrong, Mismatch):
        return Fault(line, wrong.column, wrong.read, wrong.expected, wrong.why)
    return Fault(line, "row", "", "", str(wrong))


def _sentences(faults: tuple[Fault, ...]) -> tuple[str, ...]:
    return tuple(word_fault(fault) for fault in sorted(faults, key=lambda fault: fault.line))


def sentence_of(fault: Fault, layout: Layout) -> str:
    """The sentence of a fault in what was typed by hand, where no line or heading is to be named."""
    if fault.why:
        return fault.why
    column = next((column for column in layout.columns if column.heading == fault.column), None)
    what = column.field.word if column and column.field else fault.column.replace("_", " ")
    read = f" {quoted(fault.read)}" if fault.read else ""
    return f"{what}{read}: expected {fault.expected}."


def _aside(table: LogTable, faults: tuple[Fault, ...]) -> bytes:
    refused = {fault.line for fault in faults}
    rows = [row for row, line in enumerate(table.line_numbers) if line in refused]
    return write_as_read(table, LAYOUTS[table.kind], rows) if rows else b""
