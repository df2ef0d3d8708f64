"""Adding one reading by hand, amending or withdrawing it, and looking at it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from lugbook.errors import LineRefused, NoReadingCalled, SayMore
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import LogTable, parse_log
from lugbook.jobs.directory import Directory, Mismatch
from lugbook.jobs.entries import Desk, Entry, operator_of
from lugbook.jobs.listing import KINDS, text_of
from lugbook.jobs.readings_in import CURRENT_KINDS, VOLTAGE_KINDS, corrected_fact, zones_of_lines
from lugbook.jobs.recording import open_desk, record_line, sentence_of
from lugbook.records.logbook import Logbook
from lugbook.records.questions import all_rows, last_row, row_by_id
from lugbook.records.store import Book
from lugbook.records.tables import Correction, Instrument, Reading, Round, Withdrawal

SAME_ROUND = timedelta(days=3)
"""A reading this soon after the last one belongs to the same round unless another is named."""


@dataclass(frozen=True)
class ReadingView:
    """One reading as entered, and what became of it."""

    identity: int
    cells: Mapping[str, str]
    as_typed: str | None
    replaces: int | None
    replaced_by: int | None
    withdrawn: bool
    reason: str | None


def add_reading(book: Book, cells: Mapping[str, str], now: datetime) -> tuple[int, Mapping[str, str]]:
    """Enter a reading; what is not said is as in the last reading. Returns how many were new, and all cells.

    Raises SayMore where there is nothing to take a default from, LineRefused.
    """
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        whole = with_defaults(desk, cells, now)
        entered = record_line(desk, "readings", whole)
    return entered.new, whole


def with_defaults(desk: Desk, cells: Mapping[str, str], now: datetime) -> dict[str, str]:
    """The cells of a reading with time, round and instruments filled in from the last reading."""
    directory = desk.directory
    last = last_row(desk.logbook.connection, Reading)
    whole = {"taken_at": now.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ"), **cells}
    if "round" not in whole:
        recent = last is not None and now - datetime.fromisoformat(last["taken_at"]) < SAME_ROUND
        whole["round"] = (
            directory.name(Round, last["round_id"]) if last is not None and recent and "taken_at" not in cells
            else whole["taken_at"].strip()[:10]
        )  # fmt: skip
    for column, kinds, option in (
        ("voltage_instrument", VOLTAGE_KINDS, "--voltmeter"),
        ("current_instrument", CURRENT_KINDS, "--ammeter"),
    ):
        if column in whole:
            continue
        known = [row["name"] for row in directory.rows(Instrument).values() if row["kind"] in kinds]
        if last is not None:
            whole[column] = directory.name(Instrument, last[f"{column}_id"])
        elif len(known) == 1:
            whole[column] = known[0]
        else:
            raise SayMore(option, f"which {' or '.join(kinds)} was used (`lugbook instrument add` enters one)")
    return whole


def amend_reading(
    book: Book, identity: int, changes: Mapping[str, str], reason: str, by: str | None, now: datetime
) -> int:
    """Replace a reading by a better one and return its number; the old one stays.

    Raises NoReadingCalled, AlreadySuperseded, LineRefused.
    """
    with book.writing() as connection:
        logbook = Logbook(connection, now)
        desk = open_desk(logbook, now)
        _refuse_blank(reason)
        old = _reading_cells(desk.directory, connection, identity)
        table = _table_of({**old, **changes}, untouched=set(old) - set(changes))
        zones = zones_of_lines(desk.directory, table.columns["span"], table.columns.get("build"))
        parsed = parse_log(table, LAYOUTS["readings"], zone=zones)
        if parsed.faults:
            raise LineRefused(sentence_of(parsed.faults[0]))
        typed = {0: {name: text for name, text in parsed.as_typed.get(0, {}).items() if name in changes}}
        try:
            fact = corrected_fact(desk, parsed.values, typed, identity)
        except Mismatch as wrong:
            raise LineRefused(f"{wrong.column}: {wrong.read} {wrong.expected}") from wrong
        operator = operator_of(desk, by, Entry({}))
        return logbook.correct(Reading, identity, fact, reason, operator)


def withdraw_reading(book: Book, identity: int, reason: str, by: str | None, now: datetime) -> None:
    """Say that a reading no longer counts; it stays. Raises NoReadingCalled, AlreadySuperseded, LineRefused."""
    with book.writing() as connection:
        logbook = Logbook(connection, now)
        desk = open_desk(logbook, now)
        _refuse_blank(reason)
        if row_by_id(connection, Reading, identity) is None:
            raise NoReadingCalled(identity)
        logbook.withdraw(identity, reason, operator_of(desk, by, Entry({})))


def view_reading(book: Book, identity: int) -> ReadingView:
    """One reading, in force or not. Raises NoReadingCalled."""
    with book.reading() as connection:
        cells = _reading_cells(Directory(connection), connection, identity)
        row = row_by_id(connection, Reading, identity)
        corrections = all_rows(connection, Correction)
        withdrawals = [w for w in all_rows(connection, Withdrawal) if w["withdrawn_id"] == identity]
    before = [c for c in corrections if c["replacement_id"] == identity]
    after = [c for c in corrections if c["replaced_id"] == identity]
    said = [*after, *withdrawals, *before]
    return ReadingView(
        identity, cells, row["as_typed"] if row else None,
        before[0]["replaced_id"] if before else None, after[0]["replacement_id"] if after else None,
        bool(withdrawals), said[0]["reason"] if said else None,
    )  # fmt: skip


def _reading_cells(directory: Directory, connection, identity: int) -> dict[str, str]:  # type: ignore[no-untyped-def]
    row = row_by_id(connection, Reading, identity)
    if row is None:
        raise NoReadingCalled(identity)
    cells = KINDS["readings"][1](directory, row)
    return {name: text_of(value) for name, value in cells.items() if value not in (None, "")}


def _table_of(cells: Mapping[str, str], untouched: set[str]) -> LogTable:
    """One line: what was typed carries its units, what the book held is in the unit of its column."""
    units = {
        column.heading: column.field.unit if column.field and column.heading in untouched else None
        for column in LAYOUTS["readings"].columns
    }
    columns = {name: [text.strip()] for name, text in cells.items()}
    return LogTable("readings", tuple(cells), columns, [1], units, None, (), ())


def _refuse_blank(reason: str) -> None:
    if not reason.strip():
        raise LineRefused("the reason is blank; say why with --reason.")
