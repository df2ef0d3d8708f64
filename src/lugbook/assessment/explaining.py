"""The facts that carry the verdict on one span, weightiest first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import numpy as np

from lugbook.assessment.findings import Findings, percent
from lugbook.assessment.reasons import (
    FROM_INSTRUMENTS,
    FROM_LIMIT,
    FROM_READINGS,
    MAYBE_FROM,
    OUR_ASSUMPTION,
    Reason,
)
from lugbook.assessment.standing import (
    CREEPING,
    NOT_JUDGED,
    OVER_LIMIT,
    STEADY,
    STEPPED,
    TOO_FEW,
    Standing,
    surely_creeps,
)
from lugbook.assessment.weighing import THERMAL_EMF_MILLIVOLT, UNREAD_CELSIUS, UNREAD_SD_KELVIN
from lugbook.inference.rounds import DAYS_PER_YEAR

WORTH_SAYING_PERCENT = 1.0  # a shift of a round below this is not named
NOISY_FROM = 1.5  # own_scale from which the scatter is named
FAR_YEARS = 30.0  # beyond these nothing is said of the day on which a limit is reached
MOVED_FROM_SDS = 3.0  # shift of a round, in units of the instruments' shared uncertainty


def explain_unread() -> tuple[Reason, ...]:
    """For a span without any usable reading."""
    return (Reason("not read", {}, FROM_READINGS),)


def explain_span(found: Findings, standing: Standing, span: int) -> tuple[Reason, ...]:
    """All reasons of one span (index into the evidence)."""
    if standing.verdict[span] == NOT_JUDGED:
        return (*explain_unread(), *_about_readings(found, span))
    if found.count[span] == 0:
        return (Reason("unread series", {}, FROM_READINGS), *_about_readings(found, span))
    return (
        *_about_check_standard(found, span),
        *_about_verdict(found, standing, span),
        *_about_single_readings(found, standing, span),
        *_about_rounds(found, standing, span),
        *_about_readings(found, span),
    )


def _about_verdict(found: Findings, standing: Standing, span: int) -> Iterator[Reason]:
    verdict, row = int(standing.verdict[span]), int(found.row[span])
    if verdict == OVER_LIMIT:
        yield _limit_reason("over limit", found, standing, span)
    if verdict == TOO_FEW or (verdict == OVER_LIMIT and found.count[span] < 3):
        yield Reason("too few", {"readings": float(found.count[span])}, OUR_ASSUMPTION)
        return
    if surely_creeps(found)[span] or verdict == CREEPING:
        reached = _limit_reached(found, standing, span)
        yield Reason("creeping", {**_creep_numbers(found, row), **reached}, FROM_READINGS)
    elif verdict == STEPPED or (verdict == OVER_LIMIT and found.creep.verdict[row] == "stepped"):
        yield Reason("stepped", _step_numbers(found, span), FROM_READINGS)
    elif found.creep.creep_probability[row] >= MAYBE_FROM and not standing.look_again[span]:
        yield Reason("maybe creeping", _creep_numbers(found, row), FROM_READINGS)
    if verdict == STEADY:
        yield Reason("steady", _level_numbers(found, standing, span), FROM_READINGS)
    if verdict != OVER_LIMIT and standing.over_chance[span] >= 0.05:
        yield _limit_reason("near limit", found, standing, span)
    if verdict == CREEPING and np.isnan(found.limit_microohm[span]):
        yield Reason("no limit", {"ratio": standing.working_limit_ratio}, "IEEE 837, older editions (memory)")


def _about_check_standard(found: Findings, span: int) -> Iterator[Reason]:
    """How a resistor that should not change has read over the rounds."""
    if not found.is_check[span] or found.count[span] < 2:
        return
    read = found.layout.microohm_20c[found.row[span]]
    values = read[~np.isnan(read)]
    mean = float(values.mean())
    numbers: dict[str, float | str] = {
        "rounds": float(len(values)),
        "microohm": mean,
        "spread_percent": 100 * float(values.std(ddof=1)) / mean,
        "last_percent": 100 * (float(values[-1]) / mean - 1),
    }
    yield Reason("check history", numbers, FROM_READINGS)


def _creep_numbers(found: Findings, row: int) -> dict[str, float | str]:
    creep = found.creep
    return {
        "rate_percent": float(percent(creep.rate_per_year[row])),
        "low_percent": float(percent(creep.rate_low[row])),
        "high_percent": float(percent(creep.rate_high[row])),
        "probability": float(creep.creep_probability[row]),
        "since": iso_day(creep.onset_day[row]),
    }


def _limit_reached(found: Findings, standing: Standing, span: int) -> dict[str, float | str]:
    """Between which years a creeping span is over its limit, by both ends of its rate; nothing without a limit."""
    row, last = int(found.row[span]), float(found.layout.day[found.last_column[span]])
    margin = float(np.log(found.limit_microohm[span] / standing.limit_side_microohm[span]))
    if not margin > 0:  # no limit, or over it
        return {}
    years = [margin / max(float(rate[row]), 1e-9) for rate in (found.creep.rate_high, found.creep.rate_low)]
    soonest, latest = (iso_day(last + min(wait, FAR_YEARS) * DAYS_PER_YEAR)[:4] for wait in years)
    return {"over_from": soonest, "over_to": "" if years[1] > FAR_YEARS else latest}


def _step_numbers(found: Findings, span: int) -> dict[str, float | str]:
    creep, row = found.creep, int(found.row[span])
    z, day = creep.corrected[row], found.layout.day
    read, after = ~np.isnan(z), day >= creep.step_day[row]
    return {
        "step_percent": float(percent(np.median(z[read & after]) - np.median(z[read & ~after]))),
        "before": iso_day(day[read & ~after][-1]),
        "after": iso_day(creep.step_day[row]),
        "probability": float(creep.step_probability[row] + creep.creep_probability[row]),
    }


def _level_numbers(found: Findings, standing: Standing, span: int) -> dict[str, float | str]:
    row, level = int(found.row[span]), float(standing.level_microohm[span])
    sd = float(np.hypot(found.creep.level_sd[row], found.layout.gain_sd[found.last_column[span]]))
    return {
        "microohm": level,
        "u_microohm": level * sd,
        "readings": float(found.count[span]),
        "since": iso_day(found.layout.day[found.first_column[span]]),
        "probability": float(found.creep.creep_probability[row]),
    }


def _limit_reason(code: str, found: Findings, standing: Standing, span: int) -> Reason:
    numbers = {
        "microohm": float(standing.limit_side_microohm[span]),
        "u_microohm": float(standing.limit_side_microohm[span] * standing.level_sd[span]),
        "limit_microohm": float(found.limit_microohm[span]),
        "probability": float(standing.over_chance[span]),
    }
    return Reason(code, numbers, FROM_LIMIT)


def _about_single_readings(found: Findings, standing: Standing, span: int) -> Iterator[Reason]:
    """Readings that stand off the others."""
    creep, row, last = found.creep, int(found.row[span]), int(found.last_column[span])
    if found.count[span] < 3:
        return
    off = percent(creep.corrected[row] - creep.level_start[row])
    if standing.look_again[span]:
        yield Reason("last alone", {"off_percent": float(off[last])}, FROM_READINGS)
    for column in np.nonzero(np.nan_to_num(creep.bad_reading_probability[row]) > 0.5)[0].tolist():
        if column == last and standing.look_again[span]:
            continue
        numbers: dict[str, float | str] = {
            "round": _round_name(found, column),
            "off_percent": float(off[column]),
            "probability": float(creep.bad_reading_probability[row, column]),
        }
        yield Reason("bad reading", numbers, FROM_READINGS)


def _about_rounds(found: Findings, standing: Standing, span: int) -> Iterator[Reason]:
    """What the others read in the same rounds tells of this span."""
    creep, row = found.creep, int(found.row[span])
    columns = np.nonzero(~np.isnan(creep.corrected[row]))[0]
    others = int(np.median(found.read_count[columns] - found.layout.votes[row, columns]))
    gain = 100 * found.layout.gain_sd
    if others == 0:
        yield Reason("alone", {"gain_percent": float(gain[columns].max())}, FROM_INSTRUMENTS)
        return
    shift = percent(creep.round_shift)
    largest = int(columns[np.argmax(np.abs(shift[columns]))])
    numbers: dict[str, float | str] = {"others": float(others)}
    if abs(shift[largest]) >= WORTH_SAYING_PERCENT:
        numbers |= {"round": _round_name(found, largest), "shift_percent": float(shift[largest])}
    if creep.crept_together:
        yield Reason("checks sink", {"check_standards": float(found.is_check.sum())}, FROM_READINGS)
    elif standing.rounds_rise:
        trend = float(100 * np.expm1(creep.round_trend_per_year))
        yield Reason("rounds rise", {"trend_percent": trend}, FROM_READINGS)
    yield Reason("compared", numbers, FROM_READINGS)
    moved = columns[np.abs(shift[columns]) > np.maximum(MOVED_FROM_SDS * gain[columns], WORTH_SAYING_PERCENT)]
    if len(moved):
        how: dict[str, float | str] = {
            "round": _round_name(found, largest),
            "shift_percent": float(shift[largest]),
            "gain_percent": float(gain[largest]),
            "other_rounds": float(len(moved) - 1),
        }
        yield Reason("round moved", how, FROM_INSTRUMENTS)
    if creep.own_scale >= NOISY_FROM:
        yield Reason("noisy", {"scale": creep.own_scale}, FROM_READINGS)


def _about_readings(found: Findings, span: int) -> Iterator[Reason]:
    """What was missing or left out in the readings of the current series."""
    layout, row = found.layout, int(found.row[span])
    if layout.unusable[row]:
        yield Reason("unusable", {"left_out": float(layout.unusable[row])}, FROM_READINGS)
    if layout.without_temperature[row]:
        numbers: dict[str, float | str] = {
            "without": float(layout.without_temperature[row]),
            "readings": float(layout.counted[row] + layout.unusable[row]),
            "celsius": UNREAD_CELSIUS,
            "sd_kelvin": UNREAD_SD_KELVIN,
        }
        yield Reason("no temperature", numbers, OUR_ASSUMPTION)
    if layout.lapsed[row]:
        past: dict[str, float | str] = {
            "lapsed": float(layout.lapsed[row]),
            "readings": float(layout.counted[row] + layout.unusable[row]),
        }
        yield Reason("calibration lapsed", past, FROM_INSTRUMENTS)
    if layout.without_cancelling[row]:
        emf: dict[str, float | str] = {
            "without": float(layout.without_cancelling[row]),
            "emf_microvolt": 1000 * THERMAL_EMF_MILLIVOLT,
        }
        yield Reason("thermal emf", emf, OUR_ASSUMPTION)


def _round_name(found: Findings, column: int) -> str:
    return found.evidence.rounds[int(found.layout.column_round[column])]


def iso_day(day: float) -> str:
    """Days since 1970-01-01 as an ISO date."""
    return (date(1970, 1, 1) + timedelta(days=int(np.floor(day)))).isoformat()
