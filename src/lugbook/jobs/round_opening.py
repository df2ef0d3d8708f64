"""Opening a round: with what it is read, by whom, and how its numbers are written down."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime

from lugbook.errors import (
    LineRefused,
    NothingCalled,
    RoundNameTaken,
    RoundStillOpen,
    UnitUnknown,
)
from lugbook.exchange.layouts import LAYOUTS
from lugbook.jobs.coarse_currents import words_of_current
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.entering import operator_of
from lugbook.jobs.meters import usual_meter
from lugbook.jobs.recording import fault_of, open_desk, sentence_of
from lugbook.jobs.rounds import (
    METERS,
    RoundFacts,
    facts_of_round,
    local_day,
    of_round,
    open_rounds,
    utc_text,
    words_of_clock,
)
from lugbook.records.logbook import Logbook
from lugbook.records.questions import last_row, rows_in_force
from lugbook.records.store import Book
from lugbook.records.tables import Instrument, Reading, Round, RoundOpening
from lugbook.units.fields import CURRENT_AMPERE, DROP_MILLIVOLT, JOINT_CELSIUS, Field
from lugbook.units.instants import read_instant
from lugbook.units.parsing import read_measured
from lugbook.units.symbols import meaning_of, shown, symbol_of

UNITS = (
    ("drop_unit", DROP_MILLIVOLT),
    ("current_unit", CURRENT_AMPERE),
    ("temperature_unit", JOINT_CELSIUS),
)
ADOPTED_WITHIN_DAYS = 3
"""A round that so far has only readings is opened under its name where its last reading is no older."""


def open_round(book: Book, cells: Mapping[str, str], now: datetime) -> tuple[RoundFacts, list[str]]:
    """Open a round. Meters and units are as in the build's last round unless said; the meters, failing that, as in
    the last reading. Without a name it is called by its day. Returns it, and what is to be said of clock and current.

    Raises RoundStillOpen, RoundNameTaken, SayMore, LineRefused, and what units.parsing refuses.
    """
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        build = _build(desk.directory, cells.get("build"))
        _refuse_second(desk.directory, build, now)
        words = words_of_clock(connection, now)
        opened_at = _opened_at(desk, cells.get("opened_at"), build, now)
        name = cells.get("round") or _free_name(desk, build, local_day(opened_at, build["zone"]).isoformat())
        last = _last_opening(desk.directory, build["id"])
        load = cells.get("current_ampere")
        steady = None if load is None else read_measured(load, CURRENT_AMPERE)
        meters = _meters(desk, cells, last)
        if steady is not None and meters["current_instrument_id"] is not None:
            words += words_of_current(desk.directory, meters["current_instrument_id"], steady.value)
        round_id = _round_called(desk, build, name)
        fact = {
            "round_id": round_id, "opened_at": opened_at,
            **meters, **_units(cells, last),
            "current_ampere": None if steady is None else steady.decimal_text,
            "operator_id": operator_of(desk, cells.get("operator"), Entry({})),
            "weather": cells.get("weather"), "note": cells.get("note"),
        }  # fmt: skip
        typed = {"current_ampere": steady.as_typed} if steady and steady.as_typed else {}
        desk.enter(RoundOpening, fact, Entry({}, typed))
        return facts_of_round(desk.directory, desk.directory.row(Round, round_id)), words


def _build(directory: Directory, name: str | None) -> Row:
    try:
        return directory.build(name)
    except Mismatch as wrong:
        raise LineRefused(sentence_of(fault_of(1, wrong), LAYOUTS["readings"])) from wrong


def _refuse_second(directory: Directory, build: Row, now: datetime) -> None:
    for other in open_rounds(directory, build["id"]):
        assert other.opened_at is not None
        days = max((now.astimezone(UTC) - datetime.fromisoformat(other.opened_at)).days, 0)
        since = local_day(other.opened_at, other.zone).isoformat()
        raise RoundStillOpen(other.name, other.build, since, f"{days} day{'' if days == 1 else 's'}")


def _opened_at(desk: Desk, text: str | None, build: Row, now: datetime) -> str:
    if text is None:
        return utc_text(now)
    moment = read_instant(text, build["zone"]).utc_text
    if moment > desk.latest_utc:
        if moment[:10] == now.astimezone(UTC).date().isoformat():
            return utc_text(now)  # today, said as a day: its noon may be yet to come
        raise LineRefused(
            f'a round opened at "{text}": that is in the future; leave --when out, or say the day it was opened.'
        )
    return moment


def _round_called(desk: Desk, build: Row, name: str) -> int:
    """The round of that name: a new one, or one that so far has only readings. Raises RoundNameTaken."""
    old = desk.directory.round_named(build["id"], name)
    if old is None:
        return desk.enter(Round, {"build_id": build["id"], "name": name}, Entry({}))
    if of_round(desk.directory, RoundOpening, old["id"]) is not None or not _is_recent(desk, old["id"]):
        raise RoundNameTaken(name, build["name"])
    return int(old["id"])


def _free_name(desk: Desk, build: Row, day: str) -> str:
    """The day, or the day with a number: two rounds of one day, or one day lived twice at the date line."""
    name, number = day, 1
    while (old := desk.directory.round_named(build["id"], name)) is not None:
        if of_round(desk.directory, RoundOpening, old["id"]) is None and _is_recent(desk, old["id"]):
            break
        number += 1
        name = f"{day} {number}"
    return name


def _is_recent(desk: Desk, round_id: int) -> bool:
    """Whether a round without an opening is today's: its last reading is of these days."""
    every = rows_in_force(desk.logbook.connection, Reading)
    times = [row["taken_at"] for row in every if row["round_id"] == round_id]
    latest = datetime.fromisoformat(desk.latest_utc)
    return bool(times) and (latest - datetime.fromisoformat(max(times))).days < ADOPTED_WITHIN_DAYS


def _last_opening(directory: Directory, build_id: int) -> Row | None:
    rows = [
        row for row in directory.rows(RoundOpening).values()
        if directory.build_of(Round, directory.row(Round, row["round_id"])) == build_id
    ]  # fmt: skip
    return max(rows, key=lambda row: (row["opened_at"], row["id"]), default=None)


def _meters(desk: Desk, cells: Mapping[str, str], last: Row | None) -> dict[str, int | None]:
    """The identity of each meter. Raises SayMore, LineRefused."""
    found: dict[str, int | None] = {}
    for name, kinds, option in METERS:
        if name in cells:
            found[f"{name}_id"] = _meter_called(desk.directory, name, cells[name], kinds)
        elif last is not None:
            found[f"{name}_id"] = last[f"{name}_id"]
        elif name == "thermometer":
            found["thermometer_id"] = None
        else:
            reading = last_row(desk.logbook.connection, Reading)
            found[f"{name}_id"] = int(usual_meter(desk.directory, reading, f"{name}_id", kinds, option)["id"])
    return found


def _meter_called(directory: Directory, column: str, name: str, kinds: tuple[str, ...]) -> int:
    row = directory.find(Instrument, name)
    if row is None:
        raise NothingCalled("instrument", name, "instrument", directory.names(Instrument))
    if row["kind"] not in kinds:
        raise LineRefused(
            f"{column.replace('_', ' ')} {name} is a {row['kind']}, not a {' or a '.join(kinds)}; "
            "`lugbook instrument list` shows which there are."
        )
    return int(row["id"])


def _units(cells: Mapping[str, str], last: Row | None) -> dict[str, str]:
    return {
        name: _unit_called(cells[name], field) if name in cells else (last[name] if last else field.unit)
        for name, field in UNITS
    }


def _unit_called(text: str, field: Field) -> str:
    symbol = symbol_of(text)
    if symbol is None or symbol not in field.accepts:
        raise UnitUnknown(text, field.word, [shown(unit) for unit in field.accepts], meaning_of(text))
    return symbol
