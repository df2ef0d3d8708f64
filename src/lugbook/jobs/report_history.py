"""What happened to a build over the years: its rounds and its meters."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from lugbook.jobs.directory import Row
from lugbook.jobs.meters import LAPSED, Meters
from lugbook.jobs.report_scope import Scope
from lugbook.records.tables import (
    Calibration,
    Instrument,
    InstrumentRange,
    Pull,
    Round,
)
from lugbook.reports.workmanship import InstrumentLine, RoundLine
from lugbook.units.symbols import shown

if TYPE_CHECKING:
    from lugbook.assessment.judging import RoundShift
    from lugbook.assessment.story import BuildStory

METERS_OF_A_READING = ("voltage_instrument_id", "current_instrument_id", "thermometer_id")


def instrument_lines(scope: Scope) -> tuple[InstrumentLine, ...]:
    """Every meter used on this build, with its accuracy, calibrations, and readings past their day."""
    directory, meters = scope.directory, Meters(scope.directory)
    days: dict[int, list[str]] = {}
    for reading in scope.readings():
        for column in METERS_OF_A_READING:
            if reading[column] is not None:
                days.setdefault(directory.history.current(reading[column]), []).append(
                    reading["taken_at"][:10]
                )
    pulls = Counter(
        directory.history.current(pull["instrument_id"])
        for pull in scope.rows(Pull, "pulled_at") if pull["instrument_id"] is not None
    )  # fmt: skip
    rows = directory.rows(Instrument)
    lines = []
    for identity in sorted({*days, *pulls}):
        row, used = rows[identity], days.get(identity, [])
        lapsed = sum(
            count for day, count in Counter(used).items() if meters.calibration(identity, day)[0] == LAPSED
        )
        lines.append(
            InstrumentLine(row["name"], row["kind"], _accuracy(scope, row), _calibrations(scope, identity),
                           _used(used, pulls[identity]), lapsed)
        )  # fmt: skip
    return tuple(lines)


def _accuracy(scope: Scope, row: Row) -> str:
    """What its data sheet states, on each of its ranges."""
    current = scope.directory.history.current
    further = sorted(
        (
            one
            for one in scope.directory.rows(InstrumentRange).values()
            if current(one["instrument_id"]) == row["id"]
        ),
        key=lambda one: one["greatest"],
    )
    return "; ".join(_one_range(one, shown(row["unit"])) for one in (row, *further))


def _one_range(row: Row, unit: str) -> str:
    to = f"to {row['greatest']:g} {unit}: " if row["greatest"] is not None else ""
    return f"{to}± ({row['percent_of_reading']:g} % + {row['counts']:g} × {row['resolution']:g} {unit})"


def _calibrations(scope: Scope, identity: int) -> str:
    current = scope.directory.history.current
    made = sorted(
        (row["calibrated_on"], row["due_on"] or "no day named")
        for row in scope.directory.rows(Calibration).values()
        if current(row["instrument_id"]) == identity and row["calibrated_on"] <= scope.on.isoformat()
    )
    return "; ".join(f"{on}, due {due}" for on, due in made) or "none on record"


def _used(days: list[str], pulls: int) -> str:
    said = []
    if days:
        months = " to ".join(dict.fromkeys((min(days)[:7], max(days)[:7])))
        said.append(f"{len(days)} {'reading' if len(days) == 1 else 'readings'}, {months}")
    if pulls:
        said.append(f"{pulls} pulls")
    return "; ".join(said)


def round_lines(scope: Scope, told: BuildStory | None) -> tuple[RoundLine, ...]:
    """Each round with its days, spans, people, shift and check standard, by time.

    Readings as found and as left alone, of work on a joint, are no round.
    """
    shifts: dict[str, RoundShift] = {}
    for shift in told.judgement.round_shifts if told is not None else ():
        shifts.setdefault(shift.round, shift)
    by_round: dict[int, list[Row]] = {}
    for reading in scope.readings():
        by_round.setdefault(scope.directory.history.current(reading["round_id"]), []).append(reading)
    return tuple(
        _round(scope, scope.directory.name(Round, one), rows, shifts)
        for one, rows in by_round.items()
        if not all(row["stage"] for row in rows)
    )


def _round(scope: Scope, name: str, rows: list[Row], shifts: dict[str, RoundShift]) -> RoundLine:
    days = sorted({scope.day(row["taken_at"]) for row in rows})
    spans = {scope.directory.history.current(row["span_id"]) for row in rows}
    people = dict.fromkeys(scope.person(row["operator_id"]) for row in rows)
    shift = shifts.get(name)
    return RoundLine(
        name,
        days[0] if len(days) == 1 else f"{days[0]} to {days[-1]}",
        len(spans),
        ", ".join(person for person in people if person),
        "" if shift is None else _shift(shift),
        "" if shift is None else _check(shift),
    )


def _shift(shift: RoundShift) -> str:
    way = "high" if shift.percent > 0 else "low"
    return f"{abs(shift.percent):.1f} % {way} (± {shift.u_percent:.1f})"


def _check(shift: RoundShift) -> str:
    if not shift.check_standards_read or shift.bracket is None:
        return "none read"
    ends = {(True, True): "first and last", (True, False): "at the beginning", (False, True): "at the end"}
    said = f"read {ends.get((shift.bracket.begun, shift.bracket.ended), 'on the way')}"
    drift, u = shift.bracket.drift_percent, shift.bracket.u_percent
    return said if drift is None or u is None else f"{said}; drift {drift:+.1f} % (± {u:.1f})"
