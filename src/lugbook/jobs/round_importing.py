"""Taking a filled sheet, or a logger's file, into the open round, and what is wrong with its readings."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from hashlib import sha256
from pathlib import Path

from lugbook.errors import (
    FileRefused,
    Refusal,
    SheetOfAnotherBuild,
    SheetOfAnotherRound,
    SheetRefused,
)
from lugbook.exchange.faults import word_fault
from lugbook.exchange.layouts_rounds import ROUND_SHEET
from lugbook.exchange.logs_in import LogTable, parse_log, read_log
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.entering import operator_of
from lugbook.jobs.exchanging import read_file
from lugbook.jobs.readings_in import Entered, enter_readings, words_of_retired
from lugbook.jobs.recording import open_desk
from lugbook.jobs.round_checks import doubts_of, is_expected, swapped_pairs, taken
from lugbook.jobs.round_rows import SheetRow, match_rows, sheet_rows
from lugbook.jobs.round_stops import Stop, stops_of
from lugbook.jobs.round_words import current_in, drop_in, plain, word_expected
from lugbook.jobs.rounds import RoundFacts, find_open_round, utc_text
from lugbook.records.logbook import Logbook
from lugbook.records.store import Book
from lugbook.records.tables import ImportFile, RoundSkip
from lugbook.units.instants import read_instant


@dataclass(frozen=True)
class SheetTaken:
    """What importing a sheet did."""

    facts: RoundFacts
    new: int
    present: int
    """Rows that the round had already."""
    skipped: tuple[str, ...]
    """Spans newly skipped, with a reason."""
    blank: tuple[str, ...]
    """Spans on the sheet that are neither read nor skipped."""
    odd: tuple[str, ...]
    """One sentence for each reading that is not as expected; they were taken."""
    said: tuple[str, ...]
    """What else is to be said: how rows were matched."""


@dataclass(frozen=True)
class _Matched:
    row: SheetRow
    stop: Stop
    microohm: float
    microohm_20c: float


class _NothingNew(Exception):
    """The round has all of the sheet: the transaction is given up, and with it the mention of the file."""


def import_sheet(
    book: Book, path: Path, now: datetime, *, name: str | None = None, build: str | None = None,
    when: str | None = None, decimal: str | None = None, skip_unknown: bool = False,
) -> SheetTaken:  # fmt: skip
    """Take all of a sheet's filled rows, or nothing. Without times they are dated `when`, or the round's opening,
    a second apart.

    Raises FileMissing, FileRefused, SheetOfAnotherBuild, SheetOfAnotherRound, MoreRowsThanStops, SheetRefused, and
    what `find_open_round` raises.
    """
    raw = read_file(path)
    try:
        table = read_log(raw, ROUND_SHEET, decimal=decimal, ignore_unknown=skip_unknown)
    except Refusal as refusal:
        raise FileRefused(path.name, refusal) from refusal
    with suppress(_NothingNew), book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        facts = find_open_round(desk.directory, name, build)
        stops = stops_of(connection, desk.directory, facts, now)
        rows = _rows(path.name, table, facts)
        matched, said = match_rows(path.name, rows, stops, by_span="span" in table.columns)
        fresh, faults = _fresh(facts, matched)
        found = [
            _Matched(row, stop, *_resistance(facts, row)) for row, stop in fresh if _has_current(facts, row)
        ]
        faults += [f"Line {row.line}, {stop.span}: no current; write it, or open the round with --at."
                   for row, stop in fresh if not _has_current(facts, row)]  # fmt: skip
        faults += _looks_wrong(desk, facts, found)
        if faults:
            raise SheetRefused(path.name, faults)
        skips = [(row, stop) for row, stop in matched if row.skipped and not stop.is_done]
        done = {stop.number for row, stop in matched if row.drop_millivolt is not None}
        blank = [
            stop.span for row, stop in matched
            if row.drop_millivolt is None and not row.skipped and not stop.is_done and stop.number not in done
        ]  # fmt: skip
        filled = sum(row.drop_millivolt is not None for row, _ in matched)
        taken_in = SheetTaken(
            facts, len(found), filled - len(found), tuple(dict.fromkeys(stop.span for _, stop in skips)),
            tuple(dict.fromkeys(blank)), tuple(_odd(facts, found)), tuple(said),
        )  # fmt: skip
        if not found and not skips:
            raise _NothingNew
        file = {"kind": "round sheet", "file_name": path.name, "digest": sha256(raw).hexdigest()}
        import_id = desk.logbook.record(ImportFile, {**file, "line_count": table.row_count})
        entered = _enter(desk, facts, found, _start(facts, when, now, len(stops)), import_id, path.name)
        taken_in = replace(
            taken_in, new=entered.new, present=filled - entered.new,
            said=(*taken_in.said, *words_of_retired(entered.retired)),
        )  # fmt: skip
        if not entered.new and not skips:
            raise _NothingNew
        _enter_skips(desk, facts, skips, now, import_id)
    return taken_in


def _rows(file_name: str, table: LogTable, facts: RoundFacts) -> list[SheetRow]:
    """The rows as values: bare numbers under a heading without a unit are in the round's."""
    own = {
        "drop_millivolt": facts.drop_unit, "current_ampere": facts.current_unit,
        "joint_celsius": facts.temperature_unit,
    }  # fmt: skip
    units = {heading: unit or own.get(heading) for heading, unit in table.units.items()}
    parsed = parse_log(replace(table, units=units), ROUND_SHEET, zone=facts.zone)
    if parsed.faults:
        raise SheetRefused(file_name, [word_fault(fault) for fault in parsed.faults])
    for build in filter(None, parsed.values["build"]):
        if build != facts.build:
            raise SheetOfAnotherBuild(str(build), facts.build, facts.name)
    for name in filter(None, parsed.values["round"]):
        if name != facts.name:
            raise SheetOfAnotherRound(str(name), facts.name)
    return sheet_rows(parsed)


def _fresh(
    facts: RoundFacts, matched: Sequence[tuple[SheetRow, Stop]]
) -> tuple[list[tuple[SheetRow, Stop]], list[str]]:
    """The filled rows that the round does not have, and what contradicts what it has."""
    fresh, faults = [], []
    for row, stop in matched:
        if row.drop_millivolt is None:
            continue
        held = [seen for seen in stop.readings if seen.polarity == row.polarity]
        if not held:
            fresh.append((row, stop))
        elif not any(seen.drop_millivolt == float(row.drop_millivolt) for seen in held):
            faults.append(
                f"Line {row.line}, {stop.span}: {_drop(facts, row)}, but this round read it already as "
                f"{drop_in(facts, held[0].drop_millivolt)}, entry {held[0].identity}; a span is read once in a round. "
                "Amend that entry, or empty this row."
            )
    return fresh, faults


def _has_current(facts: RoundFacts, row: SheetRow) -> bool:
    return row.current_ampere is not None or facts.current_ampere is not None


def _ampere(facts: RoundFacts, row: SheetRow) -> float:
    if row.current_ampere is not None:
        return float(row.current_ampere)
    assert facts.current_ampere is not None
    return facts.current_ampere


def _resistance(facts: RoundFacts, row: SheetRow) -> tuple[float, float]:
    assert row.drop_millivolt is not None
    celsius = None if row.joint_celsius is None else float(row.joint_celsius)
    comes_to = taken(float(row.drop_millivolt), _ampere(facts, row), celsius)
    return comes_to.microohm, comes_to.microohm_20c


def _looks_wrong(desk: Desk, facts: RoundFacts, found: Sequence[_Matched]) -> list[str]:
    """Rows that would be right if they were swapped, then rows that are not believable; not those confirmed."""
    own: dict[int, dict[int, float]] = {}
    for place, one in enumerate(found):
        if not one.row.confirmed:
            own.setdefault(one.stop.span_id, {})[place] = one.microohm
    doubts = doubts_of(desk.logbook.connection, desk.directory, own)
    wrong = [
        one for place, one in enumerate(found)
        if not one.row.confirmed and (place in doubts or not is_expected(one.stop, one.microohm_20c))
    ]  # fmt: skip
    by_stop = {one.stop.number: one for one in wrong}
    pairs = swapped_pairs([(one.stop, one.microohm_20c) for one in wrong])
    said = [
        f"{_called(facts, by_stop[one.number])} and {_called(facts, by_stop[other.number], 'line')} both look wrong, "
        "and both would be as expected if they were swapped. Put them right, or write yes under confirmed in both."
        for one, other in pairs
    ]
    told = {stop.number for pair in pairs for stop in pair}
    return said + [
        f"{_called(facts, found[place])}: {why} Look again, and if it is right write yes under confirmed."
        for place, why in doubts.items()
        if found[place].stop.number not in told
    ]


def _odd(facts: RoundFacts, found: Sequence[_Matched]) -> list[str]:
    said = []
    for one in found:
        if one.stop.expected is not None and not is_expected(one.stop, one.microohm_20c):
            celsius = None if one.row.joint_celsius is None else float(one.row.joint_celsius)
            expected = word_expected(facts, one.stop.expected, _ampere(facts, one.row), celsius)
            said.append(
                f"{one.stop.span}: {_drop(facts, one.row)} was taken; {expected} is expected. Read it again."
            )
    return said


def _called(facts: RoundFacts, one: _Matched, line: str = "Line") -> str:
    amp = current_in(facts, _ampere(facts, one.row))
    return f"{line} {one.row.line}, {one.stop.span}, {_drop(facts, one.row)} at {amp}"


def _drop(facts: RoundFacts, row: SheetRow) -> str:
    assert row.drop_millivolt is not None
    return drop_in(facts, float(row.drop_millivolt))


def _start(facts: RoundFacts, when: str | None, now: datetime, stops: int) -> datetime:
    """When the first stop of a sheet without times is dated; none of its stops may be in the future."""
    assert facts.opened_at is not None
    moment = facts.opened_at if when is None else read_instant(when, facts.zone).utc_text
    latest = now - timedelta(seconds=stops + 1)
    return min(datetime.fromisoformat(moment), latest)


def _enter(
    desk: Desk, facts: RoundFacts, found: Sequence[_Matched], start: datetime, import_id: int, file_name: str
) -> Entered:
    """Write what was matched. Raises SheetRefused."""
    rows = [one.row for one in found]
    many = len(rows)
    times = [one.row.taken_at or utc_text(start + timedelta(seconds=one.stop.number)) for one in found]
    cells: dict[str, Sequence[object]] = {
        "span": [one.stop.span for one in found], "build": [facts.build] * many, "round": [facts.name] * many,
        "taken_at": times, "drop_millivolt": [row.drop_millivolt for row in rows],
        "current_ampere": [row.current_ampere or plain(_ampere(facts, row)) for row in rows],
        "joint_celsius": [row.joint_celsius for row in rows],
        "voltage_instrument": [facts.voltage_instrument] * many,
        "current_instrument": [facts.current_instrument] * many,
        "thermometer": [None if row.joint_celsius is None else facts.thermometer for row in rows],
        "operator": [facts.operator] * many, "polarity": [row.polarity for row in rows],
        "confirmed": [row.confirmed for row in rows], "note": [row.note for row in rows],
    }  # fmt: skip
    as_typed = {place: row.as_typed for place, row in enumerate(rows) if row.as_typed}
    entered = enter_readings(desk, cells, as_typed, [row.line for row in rows], import_id=import_id)
    if entered.faults:
        raise SheetRefused(file_name, [word_fault(fault) for fault in entered.faults])
    return entered


def _enter_skips(
    desk: Desk, facts: RoundFacts, skips: Sequence[tuple[SheetRow, Stop]], now: datetime, import_id: int
) -> None:
    operator = operator_of(desk, facts.operator, Entry({}))
    for span_id, reason in {stop.span_id: row.skipped for row, stop in skips}.items():
        fact = {"round_id": facts.identity, "span_id": span_id, "skipped_at": utc_text(now), "reason": reason,
                "operator_id": operator}  # fmt: skip
        desk.enter(RoundSkip, fact, Entry({}, {}, import_id))
