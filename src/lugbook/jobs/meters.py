"""The instruments of the book as the physics wants them, and whether their calibration had lapsed on a day."""

from functools import cache
from typing import Any

from lugbook.errors import SayMore
from lugbook.jobs.directory import Directory, Row
from lugbook.physics.instruments import Accuracy, Meter, MeterRange, meter
from lugbook.records.tables_measuring import Calibration, Instrument, InstrumentRange

IN_DATE, LAPSED, NO_DUE_DAY, NONE_ON_RECORD = CALIBRATION_STATES = (
    "in date", "lapsed", "no due day", "none on record",
)  # fmt: skip


def last_calibration(directory: Directory, instrument: Row) -> Row | None:
    """The last calibration of an instrument in force; None where none is on record."""
    made = [
        row for row in directory.rows(Calibration).values()
        if directory.history.current(row["instrument_id"]) == instrument["id"]
    ]  # fmt: skip
    return max(made, key=lambda row: str(row["calibrated_on"]), default=None)


def usual_meter(
    directory: Directory, last: Row | None, column: str, kinds: tuple[str, ...], option: str
) -> Row:
    """The meter of the last reading, or the only one of its kinds; `column` is that of its identity.

    Raises SayMore, which asks for `option`.
    """
    if last is not None:
        return directory.row(Instrument, last[column])
    known = [row for row in directory.rows(Instrument).values() if row["kind"] in kinds]
    if len(known) == 1:
        return known[0]
    raise SayMore(option, f"which {' or '.join(kinds)} is used (`lugbook instrument add` enters one)")


class Meters:
    """Looked up once per instrument while one transaction runs; a corrected instrument counts as corrected."""

    def __init__(self, directory: Directory) -> None:
        self._directory = directory
        self._ranges = _by_instrument(directory, InstrumentRange)
        self._calibrations = _by_instrument(directory, Calibration)
        self.meter = cache(self._meter)

    def row(self, identity: int) -> Row:
        """The instrument in force that stands for an identity."""
        return self._directory.row(Instrument, identity)

    def _meter(self, identity: int) -> Meter:
        """The instrument with all its ranges."""
        row = self.row(identity)
        ranges = [_range_of(one) for one in (row, *self._ranges.get(row["id"], ()))]
        return meter(ranges, row["least"] or 0.0, row["zero_offset"] or 0.0)

    def calibration(self, identity: int, day: str) -> tuple[str, str | None]:
        """One of CALIBRATION_STATES on a day ("2031-04-18"), and the day it was or is due.

        What counts is the last calibration made by that day.
        """
        last = self._last(identity, day)
        if last is None:
            return NONE_ON_RECORD, None
        due = last["due_on"]
        if due is None:
            return NO_DUE_DAY, None
        return (LAPSED if due < day else IN_DATE), str(due)

    def calibrated_on(self, identity: int, day: str) -> str | None:
        """Day of the last calibration made by a day; None where there is none."""
        last = self._last(identity, day)
        return None if last is None else str(last["calibrated_on"])

    def _last(self, identity: int, day: str) -> Row | None:
        made = [c for c in self._calibrations.get(self.row(identity)["id"], ()) if c["calibrated_on"] <= day]
        return max(made, key=lambda c: str(c["calibrated_on"]), default=None)


def _by_instrument(directory: Directory, table: Any) -> dict[int, list[Row]]:
    found: dict[int, list[Row]] = {}
    for row in directory.rows(table).values():
        found.setdefault(directory.history.current(row["instrument_id"]), []).append(row)
    return found


def _range_of(row: Row) -> MeterRange:
    greatest = row["greatest"] if row["greatest"] is not None else float("inf")
    return MeterRange(Accuracy(row["percent_of_reading"], row["counts"], row["resolution"]), greatest)
