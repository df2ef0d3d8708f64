"""What crimps read when they were new: the first readings of each terminal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from statistics import fmean

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
    u_microohm: float
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
        worth = dict(_weighed(connection, on, directory.name(Build, build_id))) if own else {}
        self._readings: dict[int, list[tuple[Row, float, float]]] = {}
        same = [*own, *(old for old, heir in directory.history.heirs.items() if heir in own)]
        for row in readings_of_spans(connection, same) if worth else ():
            if row["id"] in worth and row["stage"] != "as found":
                span_id = directory.history.current(row["span_id"])
                self._readings.setdefault(span_id, []).append((row, *worth[row["id"]]))

    def crimp_of(self, end: Row) -> Row | None:
        """The span that watches the crimp of an end."""
        return self._crimps.get(self._directory.history.current(end["id"]))

    def first(self, terminal: Row) -> FirstReading | None:
        """The first reading of a terminal's crimp; None where it has none."""
        end = self._directory.row(CableEnd, terminal["cable_end_id"])
        span = self.crimp_of(end)
        later = [moment for moment in self._made[end["id"]] if moment > terminal["made_at"]]
        until = min(later, default=FOREVER)
        found = [
            one
            for one in self._readings.get(span["id"] if span else 0, ())
            if terminal["made_at"] <= one[0]["taken_at"] < until
        ]
        if not found:
            return None
        taken_at = found[0][0]["taken_at"]
        same_day = [one for one in found if one[0]["taken_at"][:10] == taken_at[:10]]
        ways = {row["polarity"] for row, *_ in same_day}
        by_way = [fmean(ohm for row, ohm, _ in same_day if row["polarity"] == way) for way in ways]
        return FirstReading(fmean(by_way), max(u for *_, u in same_day), taken_at)


def _weighed(connection: Connection, on: date, build: str) -> Iterator[tuple[int, tuple[float, float]]]:
    """By ledger line of a reading: microohm at 20 degC and its standard uncertainty."""
    from lugbook.assessment.weighing import weigh_readings

    for evidence in gather_evidence(connection, on, build):
        worth = weigh_readings(evidence.readings)
        assert evidence.readings.entry is not None
        entries = evidence.readings.entry.tolist()
        numbers = zip(worth.microohm_20c.tolist(), worth.u_microohm.tolist(), strict=True)
        for entry, number, usable in zip(entries, numbers, worth.usable.tolist(), strict=True):
            if usable:
                yield entry, number
