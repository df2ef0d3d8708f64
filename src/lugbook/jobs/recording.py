"""Putting lines into the book: a whole file of one kind, or one line typed by hand."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256

from lugbook.errors import ImportRefused, LineRefused, Refusal
from lugbook.exchange.faults import Fault, word_fault
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import LogTable, ParsedLog, parse_log, read_log
from lugbook.exchange.tables_out import write_table
from lugbook.jobs.directory import Directory, Mismatch
from lugbook.jobs.entries import WRITERS, Desk, Entry
from lugbook.jobs.readings_in import Entered, enter_readings, zones_of_lines
from lugbook.records.logbook import Logbook
from lugbook.records.store import Book
from lugbook.records.tables import Build, ImportFile

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
    aside: bytes
    """The refused lines as a table to correct and import again; empty when there are none."""


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
) -> Recorded:
    """Import a file: all of it, or none where a line is refused; or all but the refused, if set aside.

    Raises ImportRefused with every fault, and what `exchange.logs_in.read_log` raises.
    """
    table = read_log(raw, LAYOUTS[kind], decimal=decimal, ignore_unknown=ignore_unknown)
    with book.writing() as connection:
        desk = _desk(Logbook(connection, now), now)
        parsed = parse_log(table, LAYOUTS[kind], zone=_zones(desk.directory, table))
        if parsed.faults and not set_aside:
            faults = parsed.faults if kind == "readings" else (*parsed.faults, *_mismatches(desk, parsed))
            raise ImportRefused(file_name, _sentences(faults))
        fact = {"kind": kind, "file_name": file_name, "digest": sha256(raw).hexdigest(),
                "line_count": table.row_count, "left_out_count": len(parsed.faulty_rows)}  # fmt: skip
        import_id = desk.logbook.record(ImportFile, fact)
        entered = _enter(desk, parsed, import_id)
        faults = (*parsed.faults, *entered.faults)
        if faults and not set_aside:
            raise ImportRefused(file_name, _sentences(faults))
    return Recorded(kind, entered.new, entered.present, _sentences(faults), _aside(table, faults))


def record_by_hand(
    book: Book, kind: str, cells: Mapping[str, str], now: datetime
) -> Recorded:
    """Enter one line as typed, numbers with their units. Raises LineRefused."""
    with book.writing() as connection:
        entered = record_line(_desk(Logbook(connection, now), now), kind, cells)
    return Recorded(kind, entered.new, entered.present, (), b"")


def record_line(desk: Desk, kind: str, cells: Mapping[str, str]) -> Entered:
    """Enter one line within a transaction that goes on. Raises LineRefused."""
    layout = LAYOUTS[kind]
    table = LogTable(
        kind, tuple(cells), {name: [text.strip()] for name, text in cells.items()}, [1],
        dict.fromkeys(cells, None), None, (), (),
    )  # fmt: skip
    parsed = parse_log(table, layout, zone=_zones(desk.directory, table))
    faults = parsed.faults
    entered = Entered(0, 0, ()) if faults else _enter(desk, parsed, None)
    if faults or entered.faults:
        raise LineRefused(sentence_of((*faults, *entered.faults)[0]))
    return entered


def open_desk(logbook: Logbook, now: datetime) -> Desk:
    """The desk for a job that enters several things in one transaction."""
    return _desk(logbook, now)


def _desk(logbook: Logbook, now: datetime) -> Desk:
    latest = (now.astimezone(UTC) + CLOCK_SLACK).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
    return Desk(logbook, Directory(logbook.connection), latest)


def _enter(desk: Desk, parsed: ParsedLog, import_id: int | None) -> Entered:
    if parsed.kind == "readings":
        return enter_readings(
            desk, parsed.values, parsed.as_typed, parsed.line_numbers,
            refused_rows=parsed.faulty_rows, import_id=import_id,
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
            faults.append(_fault(line, wrong))
    return Entered(new, present, tuple(faults))


def _mismatches(desk: Desk, parsed: ParsedLog) -> tuple[Fault, ...]:
    """What else is wrong with the lines whose cells could be read; nothing of it is kept."""
    return _enter(desk, parsed, None).faults


def _entries(parsed: ParsedLog, import_id: int | None) -> list[tuple[Entry, int]]:
    names, columns = list(parsed.values), list(parsed.values.values())
    faulty = parsed.faulty_rows
    return [
        (Entry(dict(zip(names, cells, strict=True)), parsed.as_typed.get(row, {}), import_id), line)
        for row, (line, *cells) in enumerate(zip(parsed.line_numbers, *columns, strict=True))
        if row not in faulty
    ]


def _zones(directory: Directory, table: LogTable) -> str | list[str]:
    """The time zone of each line: that of its build."""
    builds = table.columns.get("build")
    if "span" in table.columns and table.kind in ("readings", "services"):
        return zones_of_lines(directory, table.columns["span"], builds)
    known = {row["name"]: row["zone"] for row in directory.rows(Build).values()}
    only = next(iter(known.values())) if len(known) == 1 else "UTC"
    return [known.get(name, only) for name in builds] if builds else only


def _fault(line: int, wrong: Mismatch | Refusal) -> Fault:
    if isinstance(wrong, Mismatch):
        return Fault(line, wrong.column, wrong.read, wrong.expected)
    return Fault(line, "", "", "", str(wrong))


def _sentences(faults: tuple[Fault, ...]) -> tuple[str, ...]:
    return tuple(word_fault(fault) for fault in sorted(faults, key=lambda fault: fault.line))


def sentence_of(fault: Fault) -> str:
    """The sentence of a fault in a line that has no file: without its line number."""
    return word_fault(fault).split(", ", 1)[1]


def _aside(table: LogTable, faults: tuple[Fault, ...]) -> bytes:
    refused = {fault.line for fault in faults}
    if not refused:
        return b""
    names = list(table.columns)
    rows = [
        [table.columns[name][row] for name in names]
        for row, line in enumerate(table.line_numbers) if line in refused
    ]  # fmt: skip
    return write_table(names, rows)
