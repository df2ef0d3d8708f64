"""What crimps read when they were new: the first readings of each terminal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection

from lugbook.jobs.directory import Directory, Row
from lugbook.jobs.evidence import gather_evidence
from lugbook.records.questions import readings_of_spans
from lugbook.records.tables import Build, CableEnd, Span, Terminal

FOREVER = "~"
"""Sorts after every time."""


@dataclass(frozen=True)
class FirstReading:
    """One span read for the first time after its terminal was made."""

    microohm: float  # at 20 degC; the mean of the readings of that day, both ways where it was read so
    u_microohm: float  # standard uncertainty of that mean
    taken_at: str


class AsMade:
    """First readings of the terminals of one build, weighed once."""

    def __init__(self, connection: Connection, directory: Directory, build_id: int, on: date) -> None:
        self._directory = directory
        self._crimps: dict[int, Row] = {}
        for span in directory.rows(Span).values():
            if span["kind"] == "crimp" and span["cable_end_id"] is not None:
                self._crimps.setdefault(directory.history.current(span["cable_end_id"]), span)
        self._made: dict[int, list[str]] = {}
        for terminal in directory.rows(Terminal).values():
            end = directory.history.current(terminal["cable_end_id"])
            self._made.setdefault(end, []).append(terminal["made_at"])
        own = {
            span["id"]
            for span in self._crimps.values()
            if directory.history.current(span["build_id"]) == build_id
        }
        self._worth = Worth(connection, on, directory.name(Build, build_id)) if own else None
        self._readings: dict[int, list[Row]] = {}
        self._told: dict[int, FirstReading | None] = {}
        same = [*own, *(old for old, heir in directory.history.heirs.items() if heir in own)]
        for row in readings_of_spans(connection, same) if self._worth else ():
            if self._worth and row["id"] in self._worth.place and row["stage"] != "as found":
                self._readings.setdefault(directory.history.current(row["span_id"]), []).append(row)

    def crimp_of(self, end: Row) -> Row | None:
        """The span that watches the crimp of an end."""
        return self._crimps.get(self._directory.history.current(end["id"]))

    def first(self, terminal: Row) -> FirstReading | None:
        """The first reading of a terminal's crimp; None where it has none. Each is held against all its siblings."""
        if terminal["id"] not in self._told:
            self._told[terminal["id"]] = self._first(terminal)
        return self._told[terminal["id"]]

    def _first(self, terminal: Row) -> FirstReading | None:
        end = self._directory.row(CableEnd, terminal["cable_end_id"])
        span = self.crimp_of(end)
        later = [moment for moment in self._made[end["id"]] if moment > terminal["made_at"]]
        until = min(later, default=FOREVER)
        found = [
            row
            for row in self._readings.get(span["id"] if span else 0, ())
            if terminal["made_at"] <= row["taken_at"] < until
        ]
        if not found or self._worth is None:
            return None
        taken_at = found[0]["taken_at"]
        same_day = [row["id"] for row in found if row["taken_at"][:10] == taken_at[:10]]
        return FirstReading(*self._worth.of(same_day), taken_at)


class Worth:
    """What the readings of a build are worth, by ledger line."""

    def __init__(self, connection: Connection, on: date, build: str) -> None:
        from lugbook.assessment.weighing import weigh_readings

        (evidence,) = gather_evidence(connection, on, build)
        self._readings = evidence.readings
        self._weighed = weigh_readings(evidence.readings)
        assert evidence.readings.entry is not None
        usable = self._weighed.usable.tolist()
        self.place = {  # of those that can be used
            entry: row for row, entry in enumerate(evidence.readings.entry.tolist()) if usable[row]
        }

    def of(self, entries: list[int]) -> tuple[float, float]:
        """Microohm at 20 degC and standard uncertainty of the mean of readings of one day."""
        import numpy as np

        from lugbook.assessment.together import value_of

        value = value_of(self._readings, self._weighed, np.array([self.place[entry] for entry in entries]))
        return value.microohm_20c, value.relative_sd * value.microohm_20c
