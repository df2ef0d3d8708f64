"""What happened to a build over the years: rounds, meters, corrections."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from lugbook.jobs.directory import Row
from lugbook.jobs.listing import text_of
from lugbook.jobs.meters import LAPSED, Meters
from lugbook.jobs.report_scope import LEFT_OUT, Scope
from lugbook.records.facts import Fact
from lugbook.records.questions import all_rows, ledger_notes, row_by_id
from lugbook.records.tables import (
    FACT_TABLES,
    Calibration,
    Correction,
    Instrument,
    InstrumentRange,
    Pull,
    Round,
    Span,
    Withdrawal,
)
from lugbook.reports.workmanship import InstrumentLine, RoundLine, SupersededLine
from lugbook.units.symbols import shown

if TYPE_CHECKING:
    from lugbook.assessment.judging import RoundShift
    from lugbook.assessment.story import BuildStory

TABLES = {str(table.__tablename__): table for table in FACT_TABLES}
METERS_OF_A_READING = ("voltage_instrument_id", "current_instrument_id", "thermometer_id")
PERSONS_WORDS = ("note", "description", "name", "file_name", "zone")
"""Columns that may hold names or places; left out of a private issue."""


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


def superseded_lines(scope: Scope) -> tuple[SupersededLine, ...]:
    """Every entry of this build, or shared by all builds, that was corrected or withdrawn by the day of the report."""
    fixed = [
        (row, row["replaced_id"], row["replacement_id"]) for row in all_rows(scope.connection, Correction)
    ]
    out = [(row, row["withdrawn_id"], None) for row in all_rows(scope.connection, Withdrawal)]
    changes = sorted((*fixed, *out), key=lambda change: change[0]["id"])
    numbers = [number for row, old, _ in changes for number in (row["id"], old)]
    notes = ledger_notes(scope.connection, numbers)
    lines = []
    for row, old, new in changes:
        kind, at = notes[old][0], notes[row["id"]][1]
        if at <= scope.until:
            lines.append(_superseded(scope, TABLES[kind], row, old, new, scope.day(at)))
    return tuple(line for line in lines if line is not None)


def _superseded(
    scope: Scope, table: type[Fact], change: Row, old: int, new: int | None, on: str
) -> SupersededLine | None:
    before = row_by_id(scope.connection, table, old)
    after = row_by_id(scope.connection, table, new) if new is not None else None
    if before is None or scope.build_of(table, before) not in (None, scope.build["id"]):
        return None
    if after is None:
        names = [
            name for name in before if name != "id" and not name.endswith("_id") and before[name] is not None
        ]
        now_says = "withdrawn: it no longer counts"
    else:
        names = [name for name in before if name != "id" and before[name] != after[name]]
        now_says = _words(scope, after, names)
    what = f"{str(table.__tablename__).replace('_', ' ')} {_called(scope, table, before)}".strip()
    why = LEFT_OUT if scope.is_private else str(change["reason"])
    who = scope.person(change["operator_id"])
    return SupersededLine(str(old), what, _words(scope, before, names), now_says, why, who, on)


def _words(scope: Scope, row: Row, names: list[str]) -> str:
    """Columns and what they say, one a line: "drop millivolt: 8.4"."""
    said = []
    for name in names:
        value: Any = row[name]
        if name.endswith("_id"):
            value = f"entry {value}" if value is not None else None
        elif scope.is_private and name in PERSONS_WORDS and value is not None:
            value = LEFT_OUT
        said.append(f"{name.removesuffix('_id').replace('_', ' ')}: {text_of(value) or 'nothing'}")
    return "\n".join(said)


def _called(scope: Scope, table: type[Fact], row: Row) -> str:
    if row.get("span_id") is not None:
        return scope.directory.name(Span, row["span_id"])
    if scope.is_private and "tag" not in row:
        return ""
    return str(row.get("tag") or row.get("name") or "")
