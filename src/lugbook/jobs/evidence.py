"""The readings of each build as the columns the judge wants."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from lugbook.jobs.directory import Directory
from lugbook.records.questions import services
from lugbook.records.tables_build import Build, Span
from lugbook.records.tables_measuring import Round
from lugbook.units.instants import day_of

if TYPE_CHECKING:
    from lugbook.assessment.evidence import BuildEvidence


def gather_evidence(connection: Connection, on: date, build: str | None = None) -> list[BuildEvidence]:
    """What was known on a day of every build that has spans, or of the one named, in the order of the book.

    Raises NothingCalled.
    """
    until = end_of(on)
    directory = Directory(connection)
    only = directory.named_build(build)["id"] if build else None
    spans = [row for row in directory.rows(Span).values() if only in (None, directory.build_of(Span, row))]
    if not spans:
        return []
    from lugbook.assessment.evidence import BuildEvidence, WatchedSpan
    from lugbook.jobs.cables import cable_inside
    from lugbook.jobs.reading_columns import Columns

    worked = _service_times(connection, directory, until)
    columns = Columns(connection, directory, until)
    gathered = []
    for build_id in dict.fromkeys(directory.history.current(row["build_id"]) for row in spans):
        own = [row for row in spans if directory.history.current(row["build_id"]) == build_id]
        watched = tuple(
            WatchedSpan(
                row["tag"], row["kind"], row["place"], row["limit_microohm"],
                day_of(worked[row["id"]][-1]) if row["id"] in worked else None,
                1 + len(worked.get(row["id"], ())),
                row["duty"],
                cable_inside(directory, row),
            )
            for row in own
        )  # fmt: skip
        rounds = [row for row in directory.rows(Round).values() if directory.build_of(Round, row) == build_id]
        readings = columns.of_build(
            {row["id"]: place for place, row in enumerate(own)},
            {row["id"]: place for place, row in enumerate(rounds)},
            worked,
            watched,
        )
        name = directory.name(Build, build_id)
        gathered.append(BuildEvidence(name, watched, tuple(row["name"] for row in rounds), readings))
    return gathered


def end_of(on: date) -> str:
    """Sorts after every UTC time of a day, wherever on Earth the day is: a day's slack, since days end apart."""
    return (on + timedelta(days=1)).isoformat() + "~"


def _service_times(connection: Connection, directory: Directory, until: str) -> dict[int, list[str]]:
    times: dict[int, list[str]] = {}
    for row in services(connection):
        if row["serviced_at"] <= until:
            times.setdefault(directory.history.current(row["span_id"]), []).append(row["serviced_at"])
    return times
