"""Every reading of the book in force, as the columns the judge wants, with what its instruments make of it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection

from lugbook.assessment.lug import placement_sd
from lugbook.jobs.directory import Directory
from lugbook.jobs.meters import LAPSED, Meters
from lugbook.physics.instruments import gain_sd, own_sd
from lugbook.records.questions import JUDGED, judged_readings

if TYPE_CHECKING:
    import numpy as np

    from lugbook.assessment.evidence import ReadingColumns, WatchedSpan

AFTER_ALL = "~"
"""Sorts after every time of a day."""


class Columns:
    """Every reading of the book in force, as one array per column; builds are cut out of them."""

    def __init__(self, connection: Connection, directory: Directory, until: str) -> None:
        taken_at = JUDGED.index("taken_at")
        rows = [row for row in judged_readings(connection) if row[taken_at] <= until]
        columns = list(zip(*rows, strict=True)) or [()] * len(JUDGED)
        self._column: dict[str, Any] = dict(zip(JUDGED, columns, strict=True))
        self._current = directory.history.current
        self._heirs = directory.history.heirs
        self._meters = Meters(directory)

    def of_build(
        self,
        spans: dict[int, int],
        rounds: dict[int, int],
        worked: dict[int, list[str]],
        watched: Sequence[WatchedSpan],
    ) -> ReadingColumns:
        """The readings of the spans given (identity -> place), with the series each belongs to."""
        import numpy as np

        from lugbook.assessment.evidence import ReadingColumns

        identity = self._whole("span_id")
        for old, new in self._heirs.items():
            identity[identity == old] = new
        place = _lookup(identity, spans)
        mine = place >= 0
        voltage, current = (
            self._whole("voltage_instrument_id")[mine],
            self._whole("current_instrument_id")[mine],
        )
        taken_at = np.array(self._column["taken_at"], dtype="U27")[mine]
        drop, ampere = self._real("drop_millivolt")[mine], self._real("current_ampere")[mine]
        volt_gain, volt_own, volt_offset = self._accuracy(voltage, drop)
        ampere_gain, ampere_own, ampere_offset = self._accuracy(current, ampere)
        placement = np.array([placement_sd(span.cable) for span in watched], float)
        return ReadingColumns(
            span=place[mine],
            series=self._series(identity[mine], np.flatnonzero(mine), worked),
            round=_lookup(self._whole("round_id")[mine], rounds),
            day=_days(taken_at),
            drop_millivolt=drop,
            current_ampere=ampere,
            joint_celsius=self._real("joint_celsius")[mine],
            zero_millivolt=self._real("zero_millivolt")[mine],
            polarity=np.where(np.array(self._column["polarity"], dtype="U7")[mine] == "reverse", -1, 1),
            voltage_gain_sd=volt_gain,
            voltage_own_millivolt=volt_own,
            current_gain_sd=ampere_gain,
            current_own_ampere=ampere_own,
            instrument_set=voltage * (1 + int(current.max(initial=0))) + current,
            entry=self._whole("id")[mine],
            voltage_offset_millivolt=volt_offset,
            current_offset_ampere=ampere_offset,
            thermometer_sd_kelvin=self._thermometer_sd(mine),
            placement_microohm=placement[place[mine]],
            calibration_lapsed=self._lapsed((voltage, current), taken_at),
            at_service=np.array([stage is not None for stage in self._column["stage"]], bool)[mine],
        )

    def _whole(self, name: str) -> np.ndarray[Any, np.dtype[np.int64]]:
        import numpy as np

        return np.array(self._column[name], dtype=np.int64)

    def _real(self, name: str) -> np.ndarray[Any, np.dtype[np.float64]]:
        import numpy as np

        return np.array(self._column[name], dtype=np.float64)  # None becomes NaN

    def _accuracy(self, identities: Any, shown: Any) -> tuple[Any, Any, Any]:
        """Relative gain, own part and zero offset of each instrument on the range that holds what it showed."""
        import numpy as np

        gain, own, offset = np.zeros(len(shown)), np.zeros(len(shown)), np.zeros(len(shown))
        for identity in np.unique(identities).tolist():
            meter, mine = self._meters.meter(identity), identities == identity
            tops = [one.greatest for one in meter.ranges]
            which = np.minimum(np.searchsorted(tops, np.abs(shown[mine])), len(tops) - 1)
            gain[mine] = np.array([gain_sd(one.accuracy) for one in meter.ranges])[which]
            own[mine] = np.array([own_sd(one.accuracy) for one in meter.ranges])[which]
            offset[mine] = meter.zero_offset
        return gain, own, offset

    def _thermometer_sd(self, mine: Any) -> Any:
        """Standard uncertainty [K] of each temperature; NaN where no thermometer is named."""
        import numpy as np

        named = self._column["thermometer_id"]
        if not any(named):
            return None
        celsius = self._real("joint_celsius")[mine]
        sd = np.full(len(celsius), np.nan)
        for place, row in enumerate(np.flatnonzero(mine).tolist()):
            if named[row] is not None and not np.isnan(celsius[place]):
                accuracy = self._meters.meter(named[row]).accuracy_at(celsius[place])
                sd[place] = np.hypot(gain_sd(accuracy) * celsius[place], own_sd(accuracy))
        return sd

    def _lapsed(self, pair: tuple[Any, Any], taken_at: Any) -> Any:
        """Whether a meter of the pair was past the due day of its calibration; None where none ever was."""
        import numpy as np

        day = taken_at.astype("U10")
        lapsed = np.zeros(len(day), bool)
        for identities in pair:
            for identity, on in {*zip(identities.tolist(), day.tolist(), strict=True)}:
                if self._meters.calibration(identity, on)[0] == LAPSED:
                    lapsed |= (identities == identity) & (day == on)
        return lapsed if lapsed.any() else None

    def _series(
        self, identity: Any, rows: Any, worked: dict[int, list[str]]
    ) -> np.ndarray[Any, np.dtype[np.int64]]:
        """How many services came before each reading; what was read as found belongs to the old series."""
        import numpy as np

        series = np.zeros(len(identity), dtype=np.int64)
        stages, times = self._column["stage"], self._column["taken_at"]
        for span, moments in worked.items():
            for place in np.flatnonzero(identity == span):
                row = int(rows[place])
                series[place] = _services_before(times[row], stages[row], moments)
        return series


def _services_before(taken_at: str, stage: str | None, moments: list[str]) -> int:
    """Services of the same day are before a reading as left, after one as found; else the clock decides."""
    if stage == "as found":
        return bisect_right(moments, taken_at[:10])
    if stage == "as left":
        return bisect_right(moments, taken_at[:10] + AFTER_ALL)
    return bisect_right(moments, taken_at)


def _lookup(identities: Any, places: dict[int, int]) -> Any:
    """The place of each identity; -1 where it is not among them."""
    import numpy as np

    table = np.full(int(max([identities.max(initial=0), *places], default=0)) + 1, -1, dtype=np.int64)
    table[list(places)] = list(places.values())
    return table[identities]


def _days(utc_texts: Any) -> Any:
    """Days since 1970-01-01 UTC of canonical times."""
    import numpy as np

    seconds = np.char.rstrip(utc_texts, "Z").astype("datetime64[us]").astype(np.int64)
    return seconds / 86_400e6
