"""Where a terminal is bolted."""

from __future__ import annotations

from lugbook.jobs.directory import Directory, Row
from lugbook.records.tables_build import Landing, Span


def landing_of(directory: Directory, terminal: Row) -> Row | None:
    """The landing a terminal names, else that of the landing span at its end; None where neither says."""
    if terminal["landing_id"] is not None:
        return directory.row(Landing, terminal["landing_id"])
    current = directory.history.current
    end = current(terminal["cable_end_id"])
    watched = [
        span["landing_id"]
        for span in directory.rows(Span).values()
        if span["kind"] == "landing" and span["landing_id"] and current(span["cable_end_id"] or 0) == end
    ]
    return directory.row(Landing, watched[-1]) if watched else None
