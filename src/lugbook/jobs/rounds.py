"""Which rounds there are, which are open, and what was said when each was opened."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime

from sqlalchemy import Connection

from lugbook.errors import (
    LineRefused,
    NoRoundOpen,
    NothingCalled,
    RoundClosed,
    RoundNotOpened,
    SeveralRoundsOpen,
)
from lugbook.exchange.layouts import LAYOUTS
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.readings_in import CURRENT_KINDS, THERMOMETER_KINDS, VOLTAGE_KINDS
from lugbook.jobs.recording import fault_of, sentence_of
from lugbook.records.questions import JUDGED, judged_readings, rows_in_force
from lugbook.records.store import Book
from lugbook.records.tables import (
    Build,
    Instrument,
    Operator,
    Round,
    RoundClosing,
    RoundOpening,
    Service,
)  # fmt: skip
from lugbook.units.instants import read_zone

LONG_OPEN_DAYS = 365
"""A round open for longer is said: its readings are not of one outing."""
METERS = (
    ("voltage_instrument", VOLTAGE_KINDS, "--voltmeter"),
    ("current_instrument", CURRENT_KINDS, "--ammeter"),
    ("thermometer", THERMOMETER_KINDS, "--thermometer"),
)


@dataclass(frozen=True)
class RoundFacts:
    """One round: what was said when it was opened, and whether it was closed."""

    identity: int
    name: str
    build: str
    build_id: int
    zone: str
    opened_at: str | None = None
    """None for a round that came with its readings; all below is then None, or as a bare number is read."""
    closed_at: str | None = None
    voltage_instrument: str | None = None
    current_instrument: str | None = None
    thermometer: str | None = None
    operator: str | None = None
    drop_unit: str = "mV"
    current_unit: str = "A"
    temperature_unit: str = "degC"
    current_ampere: float | None = None
    """Of a steady load."""
    weather: str | None = None
    note: str | None = None

    @property
    def state(self) -> str:
        """open, closed, or '' for a round that was never opened."""
        if self.opened_at is None:
            return ""
        return "open" if self.closed_at is None else "closed"

    def opened_on(self) -> date | None:
        """The day it was opened, on the calendar of its build."""
        return None if self.opened_at is None else local_day(self.opened_at, self.zone)


def list_rounds(book: Book, *, build: str | None = None) -> list[tuple[RoundFacts, int, str | None]]:
    """Every round with how many readings it holds and the first of their times, the oldest first.

    Raises NothingCalled for a build that is not there.
    """
    with book.reading() as connection:
        directory = Directory(connection)
        only = directory.named_build(build)["id"] if build else None
        times: dict[int, list[str]] = {}
        round_id, taken_at = (JUDGED.index(name) for name in ("round_id", "taken_at"))
        for row in judged_readings(connection):
            times.setdefault(directory.history.current(row[round_id]), []).append(row[taken_at])
        rounds = [
            (
                facts_of_round(directory, row),
                len(times.get(row["id"], ())),
                min(times.get(row["id"], ()), default=None),
            )
            for row in directory.rows(Round).values()
            if only in (None, directory.build_of(Round, row))
        ]
    return sorted(rounds, key=lambda one: one[0].opened_at or one[2] or "")


def find_round(directory: Directory, name: str | None, build: str | None) -> RoundFacts:
    """The round of that name, or the one open round. Raises NoRoundOpen, SeveralRoundsOpen, NothingCalled."""
    build_id = directory.named_build(build)["id"] if build else None
    if name is not None:
        try:
            row = directory.find(Round, name, build_id)
        except Mismatch as wrong:
            raise LineRefused(sentence_of(fault_of(1, wrong), LAYOUTS["readings"])) from wrong
        if row is None:
            raise NothingCalled("round", name, "round", directory.names(Round, build_id))
        return facts_of_round(directory, row)
    found = open_rounds(directory, build_id)
    if not found:
        raise NoRoundOpen(build)
    if len(found) > 1:
        raise SeveralRoundsOpen([f"{one.name} of {one.build}" for one in found])
    return found[0]


def find_open_round(directory: Directory, name: str | None, build: str | None) -> RoundFacts:
    """The same, and it must be open. Raises RoundClosed, RoundNotOpened as well."""
    found = find_round(directory, name, build)
    if found.opened_at is None:
        raise RoundNotOpened(found.name)
    if found.closed_at is not None:
        raise RoundClosed(found.name, local_day(found.closed_at, found.zone).isoformat())
    return found


def open_rounds(directory: Directory, build_id: int | None = None) -> list[RoundFacts]:
    """The rounds that are open, of one build or of all."""
    opened = {directory.history.current(row["round_id"]) for row in directory.rows(RoundOpening).values()}
    closed = {directory.history.current(row["round_id"]) for row in directory.rows(RoundClosing).values()}
    rows = [directory.row(Round, identity) for identity in sorted(opened - closed)]
    return [
        facts_of_round(directory, row) for row in rows if build_id in (None, directory.build_of(Round, row))
    ]


def facts_of_round(directory: Directory, row: Row) -> RoundFacts:
    """What the book says of one round."""
    build = directory.row(Build, row["build_id"])
    base = RoundFacts(row["id"], row["name"], build["name"], build["id"], build["zone"])
    opening = of_round(directory, RoundOpening, row["id"])
    if opening is None:
        return base
    closing = of_round(directory, RoundClosing, row["id"])
    return replace(
        base,
        opened_at=opening["opened_at"],
        closed_at=None if closing is None else closing["closed_at"],
        voltage_instrument=directory.name(Instrument, opening["voltage_instrument_id"]),
        current_instrument=directory.name(Instrument, opening["current_instrument_id"]),
        thermometer=directory.name(Instrument, opening["thermometer_id"]) or None,
        operator=directory.name(Operator, opening["operator_id"]) or None,
        drop_unit=opening["drop_unit"],
        current_unit=opening["current_unit"],
        temperature_unit=opening["temperature_unit"],
        current_ampere=opening["current_ampere"],
        weather=opening["weather"],
        note=opening["note"],
    )


def words_of_open(facts: RoundFacts, now: datetime) -> list[str]:
    """What is to be said of a round that is open: that it is long open, or that the clock is behind it."""
    if facts.opened_at is None or facts.closed_at is not None:
        return []
    days = (now.astimezone(UTC) - datetime.fromisoformat(facts.opened_at)).days
    if days >= LONG_OPEN_DAYS:
        return [
            f"Round {facts.name} of {facts.build} has been open for {days} days: readings so far apart are not of one "
            "outing, and share no meter error. Close it and open another."
        ]
    return []


def words_of_clock(connection: Connection, now: datetime) -> list[str]:
    """What is to be said where this machine's clock is behind what the book already holds."""
    taken_at = JUDGED.index("taken_at")
    times = [str(row[taken_at]) for row in judged_readings(connection)]
    times += [str(row["serviced_at"]) for row in rows_in_force(connection, Service)]
    times += [str(row["opened_at"]) for row in rows_in_force(connection, RoundOpening)]
    newest = max(times, default="")
    if newest <= utc_text(now):
        return []
    return [
        f"This clock says {utc_text(now)[:16].replace('T', ' ')} UTC, and the book holds something of "
        f"{newest[:16].replace('T', ' ')} UTC: if the clock was set back, put it right before reading on."
    ]


def local_day(utc: str, zone: str) -> date:
    """The day of an instant on the calendar of a zone."""
    return datetime.fromisoformat(utc).astimezone(read_zone(zone)).date()


def utc_text(moment: datetime) -> str:
    """An instant as the book writes it."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def of_round(
    directory: Directory, table: type[RoundOpening] | type[RoundClosing], round_id: int
) -> Row | None:
    """The opening or the closing of a round; None where there is none."""
    current = directory.history.current
    return next((row for row in directory.rows(table).values() if current(row["round_id"]) == round_id), None)
