"""Adding one reading by hand, amending or withdrawing it, and looking at it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from lugbook.errors import AlreadySuperseded, LineRefused, NoReadingCalled, NothingCalled
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import LogTable, parse_log
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.entering import operator_of
from lugbook.jobs.listing import KINDS, text_of
from lugbook.jobs.meters import LAPSED, Meters
from lugbook.jobs.reading_defaults import refuse_after_closing, with_defaults
from lugbook.jobs.reading_doubts import refuse_unexpected
from lugbook.jobs.readings_in import corrected_fact, zones_of_lines
from lugbook.jobs.recording import fault_of, open_desk, record_line, sentence_of
from lugbook.records.logbook import Logbook
from lugbook.records.questions import all_rows, days_of_use, row_by_id
from lugbook.records.store import Book
from lugbook.records.tables import Correction, Instrument, Reading, Withdrawal


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


@dataclass(frozen=True)
class CalibrationView:
    """How an instrument stands on a day."""

    instrument: str
    kind: str
    calibrated_on: str | None
    due_on: str | None
    state: str
    """One of lugbook.jobs.meters.CALIBRATION_STATES."""
    readings: int
    """In force, taken with it."""
    lapsed_readings: int
    """Of them taken after the day its calibration was due."""


def view_calibrations(book: Book, day: str) -> list[CalibrationView]:
    """Every instrument with its last calibration and what was read past its day; `day` like "2031-04-18"."""
    with book.reading() as connection:
        directory = Directory(connection)
        meters, taken = Meters(directory), days_of_use(connection)
        views = []
        for row in directory.rows(Instrument).values():
            used = [d for of, d in taken if directory.history.current(of) == row["id"]]
            state, due = meters.calibration(row["id"], day)
            past = sum(meters.calibration(row["id"], used_on)[0] == LAPSED for used_on in used)
            made_on = meters.calibrated_on(row["id"], day)
            views.append(CalibrationView(row["name"], row["kind"], made_on, due, state, len(used), past))
        return views


def unit_of_instrument(book: Book, name: str) -> str:
    """The unit an instrument reads in. Raises NothingCalled."""
    with book.reading() as connection:
        directory = Directory(connection)
        row = directory.find(Instrument, name)
        if row is None:
            raise NothingCalled("instrument", name, "instrument", directory.names(Instrument))
        return str(row["unit"])


@dataclass(frozen=True)
class Added:
    """What adding a reading did."""

    entry: int | None
    """Its entry number; None where the book had it."""
    cells: Mapping[str, str]
    """With what was filled in from the last reading."""
    lapsed: tuple[tuple[str, str], ...]
    """Meters whose calibration was past its day, each with that day."""


def add_reading(book: Book, cells: Mapping[str, str], now: datetime) -> Added:
    """Enter a reading; what is not said is as in the last reading.

    Raises SayMore where there is nothing to take a default from, LineRefused, TakenAfterClosing.
    """
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        whole = with_defaults(desk, cells, now)
        entered = record_line(desk, "readings", whole)
        row = row_by_id(connection, Reading, desk.logbook.last) if entered.new else None
        if row and not row["confirmed"]:
            words = f"{row['drop_millivolt']:g} mV at {row['current_ampere']:g} A"
            refuse_unexpected(connection, desk.directory, row, words)
        return Added(row["id"] if row else None, whole, _lapsed(desk.directory, row) if row else ())


def _lapsed(directory: Directory, reading: Row) -> tuple[tuple[str, str], ...]:
    meters, day = Meters(directory), str(reading["taken_at"])[:10]
    used = (reading[name] for name in ("voltage_instrument_id", "current_instrument_id", "thermometer_id"))
    found = [(meters.row(one)["name"], *meters.calibration(one, day)) for one in used if one is not None]
    return tuple((str(name), str(due)) for name, state, due in found if state == LAPSED)


def amend_reading(
    book: Book, identity: int, changes: Mapping[str, str], reason: str, by: str | None, now: datetime
) -> int:
    """Replace a reading by a better one and return its number; the old one stays.

    Raises NoReadingCalled, AlreadySuperseded, LineRefused, TakenAfterClosing.
    """
    with book.writing() as connection:
        logbook = Logbook(connection, now)
        desk = open_desk(logbook, now)
        _refuse_blank(reason)
        if not changes:
            raise LineRefused(f'nothing of entry {identity} was to change; say what, like --drop "1.48 mV".')
        _refuse_superseded(desk, identity)
        old = row_by_id(connection, Reading, identity)
        if old is None:
            raise NoReadingCalled(identity)
        cells = _cells_of(desk.directory, old)
        if changes.keys() & {"round", "taken_at"}:
            refuse_after_closing(desk.directory, {**cells, **changes})
        table = _table_of({**cells, **changes}, untouched=set(cells) - set(changes))
        zones = zones_of_lines(desk.directory, table.columns["span"], table.columns.get("build"))
        parsed = parse_log(table, LAYOUTS["readings"], zone=zones)
        if parsed.faults:
            raise LineRefused(sentence_of(parsed.faults[0], LAYOUTS["readings"]))
        try:
            fact = corrected_fact(desk, parsed.values, parsed.as_typed.get(0, {}), old)
        except Mismatch as wrong:
            raise LineRefused(sentence_of(fault_of(1, wrong), LAYOUTS["readings"])) from wrong
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
        _refuse_superseded(desk, identity)
        logbook.withdraw(identity, reason, operator_of(desk, by, Entry({})))


def view_reading(book: Book, identity: int) -> ReadingView:
    """One reading, in force or not. Raises NoReadingCalled."""
    with book.reading() as connection:
        row = row_by_id(connection, Reading, identity)
        if row is None:
            raise NoReadingCalled(identity)
        cells = _cells_of(Directory(connection), row)
        corrections = all_rows(connection, Correction)
        withdrawals = [w for w in all_rows(connection, Withdrawal) if w["withdrawn_id"] == identity]
    before = [c for c in corrections if c["replacement_id"] == identity]
    after = [c for c in corrections if c["replaced_id"] == identity]
    said = [*after, *withdrawals, *before]
    return ReadingView(
        identity, cells, row["as_typed"],
        before[0]["replaced_id"] if before else None, after[0]["replacement_id"] if after else None,
        bool(withdrawals), said[0]["reason"] if said else None,
    )  # fmt: skip


def _cells_of(directory: Directory, row: Row) -> dict[str, str]:
    cells = KINDS["readings"][1](directory, row)
    return {name: text_of(value) for name, value in cells.items() if value not in (None, "")}


def _table_of(cells: Mapping[str, str], untouched: set[str]) -> LogTable:
    """One line: what was typed carries its units, what the book held is in the unit of its column."""
    units = {
        column.heading: column.field.unit if column.field and column.heading in untouched else None
        for column in LAYOUTS["readings"].columns
    }
    columns = {name: [text.strip()] for name, text in cells.items()}
    return LogTable("readings", tuple(cells), columns, [1], units, None)


def _refuse_superseded(desk: Desk, identity: int) -> None:
    history = desk.directory.history
    if identity in history.gone:
        raise AlreadySuperseded(identity, history.heirs.get(identity))


def _refuse_blank(reason: str) -> None:
    if not reason.strip():
        raise LineRefused("the reason is blank; say why with --reason.")
