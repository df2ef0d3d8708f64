"""What one reading is worth: its uncertainty budget, and what the lug adds to its cable."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from lugbook.errors import AlreadySuperseded, NoReadingCalled
from lugbook.jobs.directory import Directory
from lugbook.jobs.evidence import gather_evidence
from lugbook.jobs.meters import Meters
from lugbook.records.questions import row_by_id
from lugbook.records.store import Book
from lugbook.records.tables import Build, Reading, Span

if TYPE_CHECKING:
    from lugbook.assessment.budget import Budget
    from lugbook.assessment.lug import LugShare


@dataclass(frozen=True)
class MeterUsed:
    """A meter that a reading was taken with, and how its calibration stood on the day."""

    name: str
    kind: str
    calibration: str  # one of lugbook.jobs.meters.CALIBRATION_STATES
    due_on: str | None


@dataclass(frozen=True)
class Valued:
    """One reading, weighed; with those of the other way, where there are such."""

    identity: int
    together: tuple[int, ...]  # ledger lines of the readings whose value it is: this one, or both ways
    span: str
    kind: str
    budget: Budget
    lug_share: LugShare | None  # None: no cable between the probes, or their distance is not known
    cable_known: bool  # there is cable between the probes and its resistance a millimetre is known
    temperature_read: bool
    emf_cancelled: bool
    meters: tuple[MeterUsed, ...]


def value_reading(book: Book, identity: int) -> Valued:
    """The budget of a reading in force, or of the mean of both ways. Raises NoReadingCalled, AlreadySuperseded."""
    with book.reading() as connection:
        directory = Directory(connection)
        row = row_by_id(connection, Reading, identity)
        if row is None:
            raise NoReadingCalled(identity)
        if identity in directory.history.gone:
            raise AlreadySuperseded(identity, directory.history.heirs.get(identity))
        span = directory.row(Span, row["span_id"])
        on = date.fromisoformat(row["taken_at"][:10]) + timedelta(
            days=3
        )  # repeats and the reversed one with it
        (evidence,) = gather_evidence(connection, on, directory.name(Build, span["build_id"]))
        meters = _meters_used(Meters(directory), row)
    from lugbook.assessment.budget import budget_of
    from lugbook.assessment.lug import lug_share
    from lugbook.assessment.weighing import weigh_readings

    readings = evidence.readings
    assert readings.entry is not None
    place = readings.entry.tolist().index(identity)
    worth = weigh_readings(readings)
    budget = budget_of(readings, worth, place)
    cable = evidence.spans[int(readings.span[place])].cable
    return Valued(
        identity,
        tuple(int(readings.entry[row]) for row in budget.rows),
        span["tag"],
        span["kind"],
        budget,
        lug_share(budget.microohm_20c, budget.u_microohm, cable) if cable else None,
        cable is not None,
        bool(worth.temperature_read[place]),
        bool(worth.emf_cancelled[place]),
        meters,
    )


def _meters_used(meters: Meters, row) -> tuple[MeterUsed, ...]:  # type: ignore[no-untyped-def]
    used = []
    for column in ("voltage_instrument_id", "current_instrument_id", "thermometer_id"):
        if row[column] is not None:
            meter = meters.row(row[column])
            state, due = meters.calibration(row[column], row["taken_at"][:10])
            used.append(MeterUsed(meter["name"], meter["kind"], state, due))
    return tuple(used)
