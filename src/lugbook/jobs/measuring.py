"""Adding one reading by hand, amending or withdrawing it, and looking at it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import chain, count

from lugbook.errors import AlreadySuperseded, LineRefused, NoReadingCalled, NothingCalled, Refusal
from lugbook.exchange.layouts import LAYOUTS
from lugbook.exchange.logs_in import LogTable, parse_log
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.entering import operator_of
from lugbook.jobs.listing import KINDS, text_of
from lugbook.jobs.meters import LAPSED, Meters, usual_meter
from lugbook.jobs.reading_doubts import refuse_unexpected
from lugbook.jobs.readings_in import CURRENT_KINDS, VOLTAGE_KINDS, corrected_fact, zones_of_lines
from lugbook.jobs.recording import fault_of, open_desk, record_line, sentence_of
from lugbook.jobs.rounds import RoundFacts, facts_of_round, open_rounds
from lugbook.records.logbook import Logbook
from lugbook.records.questions import all_rows, days_of_use, last_row, row_by_id
from lugbook.records.store import Book
from lugbook.records.tables import Correction, Instrument, Reading, Round, RoundClosing, Span, Withdrawal
from lugbook.units.instants import read_instant, read_zone

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

    Raises SayMore where there is nothing to take a default from, LineRefused.
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


def with_defaults(desk: Desk, cells: Mapping[str, str], now: datetime) -> dict[str, str]:
    """The cells of a reading with time, round and instruments filled in: from the round that is open, where the
    reading is of now, else from the last reading."""
    directory = desk.directory
    last = last_row(desk.logbook.connection, Reading)
    whole = {"taken_at": now.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ"), **cells}
    opened = None if "round" in whole or "taken_at" in cells else _open_round_of(directory, cells)
    if opened is not None:
        whole = {**_as_opened(opened, with_temperature="joint_celsius" in cells), **whole}
    elif "round" not in whole:
        whole["round"] = _round_of(directory, whole, last)
    for column, kinds, option in (
        ("voltage_instrument", VOLTAGE_KINDS, "--voltmeter"),
        ("current_instrument", CURRENT_KINDS, "--ammeter"),
    ):
        if column not in whole:
            whole[column] = usual_meter(directory, last, f"{column}_id", kinds, option)["name"]
    return whole


def _open_round_of(directory: Directory, cells: Mapping[str, str]) -> RoundFacts | None:
    """The open round of the build of a span; None where there is none, or no such span."""
    try:
        build_id = directory.build(cells["build"])["id"] if "build" in cells else None
        span = directory.need(Span, "span", cells["span"], build_id)
    except Mismatch:
        return None  # the line will be refused for its span
    return next(iter(open_rounds(directory, directory.build_of(Span, span))), None)


def _as_opened(opened: RoundFacts, *, with_temperature: bool) -> dict[str, str]:
    """What was said when a round was opened, as cells of a reading."""
    thermometer = ("thermometer",) if with_temperature else ()
    names = ("voltage_instrument", "current_instrument", "operator", *thermometer)
    said = {name: getattr(opened, name) for name in names}
    return {"round": opened.name, **{name: text for name, text in said.items() if text}}


def _round_of(directory: Directory, cells: Mapping[str, str], last: Row | None) -> str:
    """The round of the last reading where this one was taken within days of it, else its own local day; not one that
    is closed."""
    builds = [cells["build"]] if "build" in cells else None
    (zone,) = zones_of_lines(directory, [cells["span"]], builds)
    try:
        taken_at = datetime.fromisoformat(read_instant(cells["taken_at"].strip(), zone).utc_text)
    except Refusal:
        return "?"  # the line will be refused for its time
    if (
        last is not None
        and abs(taken_at - datetime.fromisoformat(last["taken_at"])) < SAME_ROUND
        and facts_of_round(directory, directory.row(Round, last["round_id"])).closed_at is None
    ):
        return directory.name(Round, last["round_id"])
    return _not_closed(directory, taken_at.astimezone(read_zone(zone)).date().isoformat())


def _not_closed(directory: Directory, day: str) -> str:
    """The name of a round of that day: "2031-04-18", or "2031-04-18 (2)" where the one so called is closed."""
    closed = {directory.name(Round, row["round_id"]) for row in directory.rows(RoundClosing).values()}
    return next(name for name in chain([day], (f"{day} ({n})" for n in count(2))) if name not in closed)


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
        if not changes:
            raise LineRefused(f'nothing of entry {identity} was to change; say what, like --drop "1.48 mV".')
        _refuse_superseded(desk, identity)
        old = row_by_id(connection, Reading, identity)
        if old is None:
            raise NoReadingCalled(identity)
        cells = _cells_of(desk.directory, old)
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
