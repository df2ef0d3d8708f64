"""Which series creep, which jumped, which reading is bad: the verdict of the numbers, with its probability.

The door of this room. The shifts of the rounds come from rounds.py, the weighing of the causes from
causes.py. What no method can tell from these numbers: a creep shared by all series looks like a drifting
meter, unless a check standard was read in the same rounds; a jump seen only in the last reading looks like
one bad reading.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lugbook.inference.causes import Causes, weigh_causes
from lugbook.inference.rounds import DAYS_PER_YEAR, RoundShifts, estimate_rounds
from lugbook.inference.scatter import BAD_WIDTH
from lugbook.inference.series import Flags, Floats, PackedSeries, Whole, pack_series

STEADY, CREEPING, STEPPED, TOO_FEW = VERDICTS = ("steady", "creeping", "stepped", "too few readings")
FEWEST_READINGS = 3
# The documented false-alarm rate: fewer than FALSE_ALARM_RATE of steady spans are ever called creeping over ten
# yearly looks. CREEPING_FROM holds it by simulation (tests/inference/test_false_alarms.py, tests/benchmarks):
# 6, 12 and 40 spans, shared gain 3 %, own noise about 2 % and unequal, with 3 % bad readings or without, stated
# right or 30 % too small or too large. Stated right in a large build, it is a fraction of it.
FALSE_ALARM_RATE = 0.02
CREEPING_FROM = 0.88
CHANGED_FROM = 0.9  # creep or step together, where creep is below CREEPING_FROM: our assumption
LAST_ALONE_FROM = 0.5  # from here on nothing is claimed before the last reading has been repeated
LAST_COUNTS_FROM = (
    0.05  # chance of the last reading alone from which it may be what leaves a change undecided
)
# Chance that the check standards sink against the spans, above which they alone set the shifts: our
# assumption.
TOGETHER_FROM = 0.5
NORMAL_95 = 1.6449  # 95 % point of the standard normal
LEAST_GAIN_SD = 1e-6  # a shift needs some room, or its weight is infinite


@dataclass(frozen=True)
class CreepAssessment:
    """One row per series (J), one column per round (T). Resistances are natural logarithms."""

    score: Floats  # (J,) ln odds of creep against every other cause
    creep_probability: Floats  # (J,)
    step_probability: Floats  # (J,) of a jump before the last reading
    # (J,) that only the last reading is out of line: bad, or the first of something; in a series not called
    # creeping or stepped also that the last reading is bad on top, or leaves open which of all these it is
    last_alone_probability: Floats
    bad_reading_probability: Floats  # (J, T) NaN where not read
    rate_per_year: Floats  # (J,) mean of d ln R / dt if it creeps
    rate_low: Floats  # (J,) 5 % point
    rate_high: Floats  # (J,) 95 % point
    onset_day: Floats  # (J,) likeliest last look before the creep; NaN with fewer than 2 readings
    step_day: Floats  # (J,) likeliest first look after the jump; NaN with fewer than 2 readings
    verdict: tuple[str, ...]  # (J,) one of VERDICTS
    level_start: (
        Floats  # (J,) level before any creep (steady, creeping) or after the jump (stepped); NaN unread
    )
    level_now: Floats  # (J,) level at the last reading of the series; NaN unread
    level_sd: Floats  # (J,) standard uncertainty of level_start
    corrected: Floats  # (J, T) readings with the shift of their round taken out, as the other series show it
    corrected_sd: Floats  # (J, T) own noise and what is left of the shift
    round_shift: Floats  # (T,) + reads high
    round_shift_sd: Floats  # (T,)
    round_trend_per_year: float  # slope of the shifts
    round_trend_sds: (
        float  # the same in units of the slope that unrelated shifts would have; 0 with < 3 rounds
    )
    own_scale: float  # stated own noise times this is the noise seen
    crept_together: bool  # the check standards sank against the spans: they alone set the shifts


def assess_creep(
    day: Floats,
    log_resistance: Floats,
    own_sd: Floats,
    gain_sd: Floats | float,
    *,
    check_standard: Flags | None = None,
    votes: Flags | None = None,
) -> CreepAssessment:
    """Assess every series of a table.

    day (T,) [days, any origin], T >= 1; log_resistance (J, T) ln of the resistance at 20 degC, NaN where
    not read; own_sd (J, T) relative standard uncertainty of each reading alone; gain_sd scalar or (T,)
    relative standard uncertainty shared by all readings of a round; check_standard (J,) marks rows that
    should not change; votes (J, T) the readings that may say what their round did, None: all. All series of one call
    were read with the same instruments in the same round.
    """
    read = np.isfinite(log_resistance) & np.isfinite(own_sd) & (own_sd > 0)
    y = np.where(read, log_resistance, np.nan)
    gain = np.maximum(np.broadcast_to(np.asarray(gain_sd, float), day.shape), LEAST_GAIN_SD)
    checks = np.zeros(len(y), bool) if check_standard is None else np.asarray(check_standard, bool)

    voting = y if votes is None else np.where(votes, y, np.nan)
    shifts = estimate_rounds(day, voting, own_sd, gain)
    own_scale = float(shifts.own_scale)
    together = bool(checks.any()) and _checks_sink(day, voting, own_sd, gain, checks)
    if together:
        shifts = estimate_rounds(day, voting, own_sd, gain, voters=checks)
    corrected = y - shifts.others_shift
    variance = np.square(own_sd * own_scale) + shifts.others_variance
    packed, causes = weigh_table(day, corrected, variance, shifts.bad_share)
    return _conclude(day, gain, packed, causes, shifts, corrected, variance, own_scale, together)


def _checks_sink(day: Floats, y: Floats, own_sd: Floats, gain: Floats, checks: Flags) -> bool:
    """Whether the check standards, taken as one, sink against the spans: then it is the spans that rise."""
    if checks.all():
        return False
    by_spans = estimate_rounds(day, y, own_sd, gain, voters=~checks)
    z = (y - by_spans.others_shift)[checks]
    weight = np.where(np.isnan(z), 0.0, 1.0 / np.square(own_sd[checks] * by_spans.own_scale))
    z = z - (np.nansum(weight * z, axis=1) / weight.sum(axis=1).clip(1e-300))[:, None]
    total = weight.sum(axis=0)
    pooled = np.where(total > 0, np.nansum(weight * z, axis=0) / total.clip(1e-300), np.nan)[None, :]
    variance = (1.0 / total.clip(1e-300) + by_spans.others_variance[checks][0])[None, :]
    packed, causes = weigh_table(day, -pooled, variance, by_spans.bad_share)
    return bool(packed.count[0] >= FEWEST_READINGS and causes.creep[0] > TOGETHER_FROM)


def weigh_table(
    day: Floats, corrected: Floats, variance: Floats, bad_share: Floats
) -> tuple[PackedSeries, Causes]:
    """Weigh the causes of readings (J, T) whose shifts are taken out, NaN where not read.

    bad_share, scalar or (J,): share of bad readings to be expected.
    """
    packed = pack_series(day, ~np.isnan(corrected))
    year = packed.take_columns((day - day.min()) / DAYS_PER_YEAR)
    expected = np.broadcast_to(bad_share, packed.count.shape)
    causes = weigh_causes(
        year, packed.take(corrected, 0.0), packed.take(variance, 1.0), packed.count, expected
    )
    return packed, causes


def score_of(causes: Causes) -> Floats:
    """Evidence for creep, (J,): its ln odds against every other cause."""
    return np.asarray(
        np.log(causes.creep.clip(1e-300))
        - np.log((causes.steady + causes.step_onset.sum(axis=1)).clip(1e-300))
    )


def call_creeping(packed: PackedSeries, causes: Causes) -> Flags:
    """Which series (J,) the verdict calls `creeping`."""
    return np.asarray(_verdict_codes(packed, causes, _early_step(packed, causes)) == 1)


def _early_step(packed: PackedSeries, causes: Causes) -> Floats:
    """Chance of a jump before the last reading: one of the last reading alone may be a bad reading."""
    last = np.maximum(packed.count - 1, 0)
    return np.asarray(causes.step_onset.sum(axis=1) - causes.step_onset[np.arange(len(last)), last])


def _conclude(
    day: Floats,
    gain: Floats,
    packed: PackedSeries,
    causes: Causes,
    shifts: RoundShifts,
    corrected: Floats,
    variance: Floats,
    own_scale: float,
    together: bool,
) -> CreepAssessment:
    rows, few = np.arange(len(packed.count)), packed.count < 2
    days = packed.take_columns(day)
    last = np.maximum(packed.count - 1, 0)
    early_step = _early_step(packed, causes)
    code = _verdict_codes(packed, causes, early_step)
    onset_day = days[rows, np.argmax(causes.creep_onset, axis=1)]
    step_day = days[rows, np.argmax(causes.step_onset, axis=1)]

    weight = (1.0 - causes.bad * (1 - BAD_WIDTH**-2)) / packed.take(variance, 1.0)
    if not packed.as_is:
        weight *= packed.present
    stepped, creeping = np.flatnonzero(code == 2), np.flatnonzero(code == 1)
    weight[stepped] *= days[stepped] >= step_day[stepped, None]
    flat = packed.take(corrected, 0.0)
    rise_now = np.zeros(len(rows))
    if len(creeping):
        since = np.maximum(days[creeping] - onset_day[creeping, None], 0.0) / DAYS_PER_YEAR
        rise = causes.rate[creeping, None] * since
        flat = flat.copy()
        flat[creeping] -= rise
        rise_now[creeping] = rise[np.arange(len(creeping)), last[creeping]]
    total = weight.sum(axis=1)
    level = np.where(total > 0, np.einsum("jm,jm->j", weight, flat) / total.clip(1e-300), np.nan)
    trend, trend_sds = _trend_of_rounds(day, gain, shifts)
    return CreepAssessment(
        score=score_of(causes),
        creep_probability=causes.creep,
        step_probability=early_step,
        last_alone_probability=_told_by_the_next(packed, causes, early_step, code),
        bad_reading_probability=packed.spread(causes.bad, len(day), np.nan),
        rate_per_year=causes.rate,
        rate_low=causes.rate_low,
        rate_high=causes.rate_high,
        onset_day=np.where(few, np.nan, onset_day),
        step_day=np.where(few, np.nan, step_day),
        verdict=tuple(np.array(VERDICTS)[code].tolist()),
        level_start=level,
        level_now=level + rise_now,
        level_sd=1.0 / np.sqrt(np.where(total > 0, total, np.nan)),
        corrected=corrected,
        corrected_sd=np.sqrt(variance),
        round_shift=shifts.shift,
        round_shift_sd=shifts.shift_sd,
        round_trend_per_year=trend,
        round_trend_sds=trend_sds,
        own_scale=own_scale,
        crept_together=together,
    )


def _verdict_codes(packed: PackedSeries, causes: Causes, early_step: Floats) -> Whole:
    """Index into VERDICTS. A series that surely changed is called by the likelier of creep and step.

    Nothing is claimed where most of the evidence rests on the last reading alone.
    """
    likelier = np.where(causes.creep >= early_step, 1, 2)
    code = np.where(causes.creep + early_step >= CHANGED_FROM, likelier, 0)
    code = np.where(causes.creep >= CREEPING_FROM, 1, code)
    code = np.where(causes.last_alone >= LAST_ALONE_FROM, 0, code)
    return np.where(packed.count < FEWEST_READINGS, 3, code)


def _told_by_the_next(packed: PackedSeries, causes: Causes, early_step: Floats, code: Whole) -> Floats:
    """Chance (J,) that the next reading has to tell what the last one was."""
    last_bad = causes.bad[np.arange(len(code)), np.maximum(packed.count - 1, 0)]
    something = causes.creep + early_step + causes.last_alone
    undecided = np.where(
        (something >= CHANGED_FROM) & (causes.last_alone >= LAST_COUNTS_FROM), np.minimum(something, 1.0), 0.0
    )
    called = (code == 1) | (code == 2)
    return np.asarray(
        np.where(called, causes.last_alone, np.fmax(causes.last_alone, np.fmax(last_bad, undecided)))
    )


def _trend_of_rounds(day: Floats, gain: Floats, shifts: RoundShifts) -> tuple[float, float]:
    """Slope of the shifts per year, and the same in its own standard deviations: large when rounds rise."""
    estimated = (
        gain**2 - shifts.shift_sd**2
    )  # variance the estimate has under the prior; 0 where nothing was read
    used = estimated > 1e-3 * gain**2
    if np.count_nonzero(used) < FEWEST_READINGS or np.ptp(day[used]) == 0:
        return 0.0, 0.0
    weight, year = 1.0 / estimated[used], day[used] / DAYS_PER_YEAR
    from_mean = year - (weight * year).sum() / weight.sum()
    spread = (weight * from_mean**2).sum()
    slope = float((weight * from_mean * shifts.shift[used]).sum() / spread)
    residual = shifts.shift[used] - (weight * shifts.shift[used]).sum() / weight.sum() - slope * from_mean
    # Shifts that scatter more than stated make a larger trend by chance.
    excess = max(1.0, float((weight * residual**2).sum() / (np.count_nonzero(used) - 2)))
    return slope, slope * float(np.sqrt(spread / excess))
