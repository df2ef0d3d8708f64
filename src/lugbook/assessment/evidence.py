"""What the judge is given: the readings in force of one build, as plain columns."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lugbook.assessment.lug import CableInside

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

CHECK_STANDARD = "check standard"  # the kind of a span that should not change and tells us what the round did


@dataclass(frozen=True)
class ReadingColumns:
    """One row per reading in force; every array has the same length N."""

    span: Whole  # index into BuildEvidence.spans
    series: Whole  # 0 = as made, one more after each service
    round: Whole  # index into BuildEvidence.rounds
    day: Floats  # days since 1970-01-01 UTC
    drop_millivolt: Floats  # as read; a reversed reading may be typed with or without its minus sign
    current_ampere: Floats  # > 0
    joint_celsius: Floats  # NaN where not read
    zero_millivolt: Floats  # drop at zero current; NaN where not read
    polarity: Whole  # +1 forward, -1 reversed
    voltage_gain_sd: Floats  # relative standard uncertainty, shared by all readings with this instrument
    voltage_own_millivolt: Floats  # standard uncertainty of one reading alone
    current_gain_sd: Floats  # relative
    current_own_ampere: Floats
    # Which voltage and current instrument pair was used, any numbering. None: readings of one round whose
    # gain uncertainties are equal count as one pair.
    instrument_set: Whole | None = None
    entry: Whole | None = None  # number of the ledger line of each reading
    # What the instruments, the probes and the certificates add. None: nothing is said of it for any reading.
    voltage_offset_millivolt: Floats | None = None  # +/-, what the voltmeter may show of nothing
    current_offset_ampere: Floats | None = None  # +/-, what the clamp may show of nothing after it was zeroed
    thermometer_sd_kelvin: Floats | None = None  # NaN where no thermometer is named
    placement_microohm: Floats | None = None  # standard uncertainty, by where on the cable the probes stood
    calibration_lapsed: Flags | None = None  # a meter whose calibration was past its due day, on the day
    at_service: Flags | None = None  # as found or as left: the joint was changed, and says nothing of the meters


@dataclass(frozen=True)
class WatchedSpan:
    """One span as far as judging needs it."""

    tag: str  # "C07B/crimp"
    kind: str  # crimp, landing, cable, joint, check standard
    place: str  # dry, engine, bilge, exposed
    limit_microohm: float | None  # at 20 degC; None: no limit was ever stated
    series_started_day: float | None  # day of the last service; None: never serviced
    series_count: int  # 1 + number of services
    duty: str | None = (
        None  # what hangs on it: starting, steering, bilge pump, grounding; None: nothing of these
    )
    cable: CableInside | None = None  # None: no cable between the probes, or nothing known of it


@dataclass(frozen=True)
class BuildEvidence:
    """All that is known of one build on one day."""

    build: str
    spans: tuple[WatchedSpan, ...]
    rounds: tuple[str, ...]
    readings: ReadingColumns
