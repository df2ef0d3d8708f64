"""Recording work on a span, measured as found and as left."""

from collections.abc import Mapping
from datetime import UTC, datetime

from lugbook.jobs.measuring import with_defaults
from lugbook.jobs.recording import open_desk, record_line
from lugbook.records.logbook import Logbook
from lugbook.records.store import Book


def record_service(
    book: Book,
    cells: Mapping[str, str],
    now: datetime,
    *,
    found: str | None = None,
    left: str | None = None,
    reading: Mapping[str, str],
) -> int:
    """Enter a service and its readings as found and as left; the service starts a new series.

    `found` and `left` are drops as typed; `reading` holds what both share (current, temperature, instruments).
    Returns how many readings were new. Raises LineRefused, SayMore.
    """
    moment = cells.get("serviced_at", now.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ"))
    shared = {key: value for key, value in cells.items() if key in ("span", "build", "operator")} | dict(
        reading
    )
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        record_line(desk, "services", {**cells, "serviced_at": moment})
        new = 0
        for stage, drop in (("as found", found), ("as left", left)):
            if drop is not None:
                line = {**shared, "taken_at": moment, "drop_millivolt": drop, "stage": stage}
                new += record_line(desk, "readings", with_defaults(desk, line, now)).new
    return new
