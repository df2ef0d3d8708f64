"""What a terminal made on an end takes over from the one before it: where it is bolted."""

from collections.abc import Mapping

from lugbook.jobs.desk import Desk
from lugbook.jobs.directory import Row
from lugbook.jobs.entries_proving import terminals_on
from lugbook.jobs.recording import record_line
from lugbook.records.tables import Build, CableEnd, Landing

REMADE = "remade"


def build_of_end(desk: Desk, end: Row) -> str:
    """The name of the build that a cable end belongs to: tags of ends and spans may be the same in several."""
    return desk.directory.name(Build, desk.directory.build_of(CableEnd, end))


def record_terminal(desk: Desk, end: Row, cells: Mapping[str, str]) -> bool:
    """Enter a terminal on an end, bolted where the one before it was unless said otherwise; True if it is new.

    Raises LineRefused.
    """
    before = terminals_on(desk, end)
    landing_id = before[-1]["landing_id"] if before else None
    landing = {} if landing_id is None else {"landing": desk.directory.name(Landing, landing_id)}
    line = {**landing, **cells, "cable_end": end["tag"], "build": build_of_end(desk, end)}
    return record_line(desk, "terminals", line).new > 0
