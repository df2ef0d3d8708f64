"""What the next reading of each span should come to, from its own history."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from lugbook.assessment.evidence import BuildEvidence, Flags
from lugbook.assessment.findings import Findings, examine
from lugbook.assessment.standing import surely_creeps
from lugbook.assessment.weighing import weigh_readings
from lugbook.inference.creep import FEWEST_READINGS, NORMAL_95
from lugbook.inference.rounds import DAYS_PER_YEAR

# A sound reading falls outside about once in a hundred (tests/assessment/test_expecting.py), so that of 40 spans less
# than one a round is looked at again for nothing. Our assumption.
REACH_SDS = 3.0
# A joint may begin to creep the day after it was read; faster than this it is worth a second look anyway. Our
# assumption.
PLAUSIBLE_CREEP_PER_YEAR = 0.30


@dataclass(frozen=True)
class Expected:
    """Where the next reading should lie; resistances in microohm at 20 degC."""

    low_microohm: float
    high_microohm: float

    def holds(self, microohm_20c: float) -> bool:
        """Whether a reading is as expected."""
        return self.low_microohm <= microohm_20c <= self.high_microohm


def before_round(evidence: BuildEvidence, name: str) -> BuildEvidence:
    """The same build without the readings of one round."""
    if name not in evidence.rounds:
        return evidence
    return _only(evidence, evidence.readings.round != evidence.rounds.index(name))


def _only(evidence: BuildEvidence, kept: Flags) -> BuildEvidence:
    columns = {
        field.name: column[kept]
        for field in fields(evidence.readings)
        if (column := getattr(evidence.readings, field.name)) is not None
    }
    return replace(evidence, readings=replace(evidence.readings, **columns))


def expect_readings(today: float, evidence: BuildEvidence) -> tuple[Expected | None, ...]:
    """One per span; None where its current series has no reading. `today` in days since 1970-01-01.

    The level as it stands, carried on at its rate where it surely creeps; the spread is what is left unknown of
    level and rate, the noise of one reading, and what meters may differ by from one outing to the next.
    """
    found = examine(evidence)
    if found is None:
        return (None,) * len(evidence.spans)
    log_level, sd = _level_today(today, found)
    low, high = np.exp(log_level - REACH_SDS * sd), np.exp(log_level + REACH_SDS * sd)
    return tuple(
        Expected(one_low, one_high) if count else None
        for one_low, one_high, count in zip(low.tolist(), high.tolist(), found.count.tolist(), strict=True)
    )


def believed_reading(evidence: BuildEvidence, row: int) -> tuple[float, Expected] | None:
    """What one reading of the evidence comes to [microohm at 20 degC], and where the others before it would believe it.

    As expected, but wider: about the level as it stands and about the middle of its readings, the last of which may
    have been the bad one; by what its own meters and its round may be out as well as the last; and upwards by a creep
    of PLAUSIBLE_CREEP_PER_YEAR since the last reading. None where it is no resistance, or where its series has
    no other reading yet.
    """
    readings = evidence.readings
    worth = weigh_readings(readings)
    span, day = int(readings.span[row]), float(readings.day[row])
    earlier = readings.day <= day
    earlier[row] = False
    found = examine(_only(evidence, earlier))
    if found is None or not worth.usable[row]:
        return None
    if not found.count[span] or readings.series[row] != evidence.spans[span].series_count - 1:
        return None
    log_level, sd = (float(part[span]) for part in _level_today(day, found))
    own = float(worth.own_sd[row]) * max(found.creep.own_scale, 1.0)
    reach = REACH_SDS * float(np.sqrt(sd**2 + own**2 + worth.gain_sd[row] ** 2))
    years = max(day - float(found.layout.day[found.last_column[span]]), 0.0) / DAYS_PER_YEAR
    creep = float(np.log1p(PLAUSIBLE_CREEP_PER_YEAR)) * years
    levels = [log_level, *_middle_readings(found, span)]
    believed = Expected(float(np.exp(min(levels) - reach)), float(np.exp(max(levels) + reach + creep)))
    return float(worth.microohm_20c[row]), believed


def _middle_readings(found: Findings, span: int) -> tuple[float, float]:
    """The middle reading of a span's series, or the two, ln microohm, shifts of the rounds taken out."""
    read = found.creep.corrected[found.row[span]]
    read = np.sort(read[~np.isnan(read)])
    return float(read[(len(read) - 1) // 2]), float(read[len(read) // 2])


def _level_today(today: float, found: Findings):  # type: ignore[no-untyped-def]
    creep, layout, row, last = found.creep, found.layout, found.row, found.last_column
    own = layout.own_sd[row, last] * max(creep.own_scale, 1.0)
    enough = found.count >= FEWEST_READINGS
    level = np.where(enough, creep.level_now[row], creep.corrected[row, last])
    level_sd = np.where(enough, creep.level_sd[row], own)
    years = np.maximum(today - layout.day[last], 0.0) / DAYS_PER_YEAR * surely_creeps(found)
    rate_sd = (creep.rate_high[row] - creep.rate_low[row]) / (2 * NORMAL_95)
    moved = np.nan_to_num(creep.rate_per_year[row]) * years
    sd = np.sqrt(level_sd**2 + own**2 + layout.gain_sd[last] ** 2 + np.square(np.nan_to_num(rate_sd) * years))
    return level + moved, sd
