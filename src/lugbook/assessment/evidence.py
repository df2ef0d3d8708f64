"""What the judge is given: the readings in force of one build, as plain columns."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

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


@dataclass(frozen=True)
class WatchedSpan:
    """One span as far as judging needs it."""

    tag: str  # "C07B/crimp"
    kind: str  # crimp, landing, cable, joint, check standard
    place: str  # dry, engine, bilge, exposed
    limit_microohm: float | None  # at 20 degC; None: no limit was ever stated
    series_started_day: float | None  # day of the last service; None: never serviced
    series_count: int  # 1 + number of services


@dataclass(frozen=True)
class BuildEvidence:
    """All that is known of one build on one day."""

    build: str
    spans: tuple[WatchedSpan, ...]
    rounds: tuple[str, ...]
    readings: ReadingColumns
