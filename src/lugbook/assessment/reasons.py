"""Why a verdict is what it is: facts with numbers and a source; the words are chosen last."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from lugbook.units.wording import word_chance, word_date, word_number, word_with_uncertainty

FROM_READINGS = "the readings"
FROM_INSTRUMENTS = "the instruments' stated accuracy"
FROM_LIMIT = "the limit stated for this span"
OUR_ASSUMPTION = "our assumption"

Numbers = Mapping[str, float | str]


@dataclass(frozen=True)
class Reason:
    """One fact behind a verdict."""

    code: str  # a key of WORDINGS
    numbers: Numbers  # by name with unit; days as ISO dates
    source: str  # FROM_READINGS, ... or a clause of a standard


MAYBE_FROM = 0.2  # chance of creep that is named although the verdict is another


def word_creep(probability: float, rate: float, low: float, high: float, *, is_called: bool) -> str:
    """What is known of a creep, to go on a sentence; rates in percent a year.

    is_called: it is sure enough to be called so.
    """
    rates = [word_number(part, 2) for part in (rate, low, high)]
    how = "it creeps" if is_called else f"it may creep ({word_chance(probability)})"
    return f", as {how} by {rates[0]} % a year ({rates[1]} to {rates[2]})"


def word_reason(reason: Reason) -> str:
    """One plain sentence."""
    return WORDINGS[reason.code](reason.numbers)


def _creeping(n: Numbers) -> str:
    rate, low, high = (
        word_number(float(n[key]), 2) for key in ("rate_percent", "low_percent", "high_percent")
    )
    reached = _limit_reached(n)
    return f"Rising {rate} % a year since about {_month(n)} ({low} to {high}), {_chance(n)} sure{reached}."


def _limit_reached(n: Numbers) -> str:
    """When it is over its limit if it goes on so; '' where that cannot be said."""
    soonest, latest = n.get("over_from"), n.get("over_to")
    if soonest is None:
        return ""
    if not latest:
        return f"; at this rate over its limit not before {soonest}"
    when = f"in {soonest}" if soonest == latest else f"between {soonest} and {latest}"
    return f"; at this rate over its limit {when}"


def _maybe_creeping(n: Numbers) -> str:
    return (
        f"It may be creeping ({_chance(n)}), if so by about {_percent(n, 'rate_percent')} a year: "
        "not sure enough to be called so."
    )


def _stepped(n: Numbers) -> str:
    way = "up" if float(n["step_percent"]) > 0 else "down"
    return (
        f"Jumped {way} by {_percent(n, 'step_percent')} between {_day(n['before'])} and {_day(n['after'])}, "
        f"{_chance(n)} sure that it changed: look for a loose nut, or for work that was not logged."
    )


def _steady(n: Numbers) -> str:
    readings = _count(n, "readings", "reading")
    return f"Level {_level(n)} over {readings} since {_month(n)}; chance of creep {_chance(n)}."


def _over_limit(n: Numbers) -> str:
    return (
        f"{_level(n)} at 20 °C, with the shifts of its rounds taken out, against a limit of {_limit(n)}: "
        f"{_chance(n)} sure that it is over."
    )


def _near_limit(n: Numbers) -> str:
    return f"Chance that it is over its limit of {_limit(n)}: {_chance(n)}."


def _last_alone(n: Numbers) -> str:
    way = "above" if float(n["off_percent"]) > 0 else "below"
    return (
        f"The last reading is {_percent(n, 'off_percent')} {way} the others, alone: "
        "one reading cannot tell a sudden change from a bad reading. Look again."
    )


def _bad_reading(n: Numbers) -> str:
    return (
        f"The reading of round {n['round']} is {_percent(n, 'off_percent')} off the others of this span "
        f"and was taken as bad ({_chance(n)})."
    )


def _compared(n: Numbers) -> str:
    text = f"Compared with {_count(n, 'others', 'other span')} read in the same rounds"
    if "round" not in n:
        return f"{text}; no round was out by 1 % or more."
    shift = f"{_percent(n, 'shift_percent')} {_high_or_low(n)}"
    return f"{text}; round {n['round']} read {shift} and was corrected."


def _alone(n: Numbers) -> str:
    return (
        "No other span was read in the same rounds, so what the instruments share "
        f"({_percent(n, 'gain_percent')}) cannot be told from a change of this span; "
        "read a few others, or a check standard, each time."
    )


def _round_moved(n: Numbers) -> str:
    also = f" (so did {_count(n, 'other_rounds', 'other round')})" if float(n["other_rounds"]) else ""
    shift = f"{_percent(n, 'shift_percent')} {_high_or_low(n)}"
    return (
        f"All spans of round {n['round']} read {shift} together, far more than the instruments should differ "
        f"({_percent(n, 'gain_percent')}){also}: the meter or clamp moved, or every joint changed at once; "
        "check the clamp's zero and the meter."
    )


def _rounds_rise(n: Numbers) -> str:
    return (
        f"All spans together read {_percent(n, 'trend_percent')} more each year. Without a check standard "
        "this cannot be told from a drifting meter, and was taken as the meter: a creep that all spans share "
        "would not be seen."
    )


def _checks_sink(n: Numbers) -> str:
    return (
        "The check standard stood still while the spans rose together: the spans changed, not the meter. "
        f"The shifts of the rounds were taken from {_count(n, 'check_standards', 'check standard')} alone."
    )


def _noisy(n: Numbers) -> str:
    times = word_number(float(n["scale"]), 2)
    return f"The readings scatter {times} times as much as the instruments explain; this was allowed for."


def _too_few(n: Numbers) -> str:
    return f"Read in {_count(n, 'readings', 'round')} of the current series; it takes 3 to tell creep from noise."


def _unread_series(n: Numbers) -> str:
    return "Serviced, and not read since: a service starts a new series."


def _not_read(n: Numbers) -> str:
    return "No reading yet, so nothing can be said: not judged is not a pass."


def _no_limit(n: Numbers) -> str:
    ratio = word_number(float(n["ratio"]), 2)
    return f"No limit is stated; for planning, {ratio} times its first level was used, which is no verdict."


def _no_temperature(n: Numbers) -> str:
    celsius, sd = word_number(float(n["celsius"]), 2), word_number(float(n["sd_kelvin"]), 1)
    return (
        f"{_count(n, 'without', 'reading')} of {int(float(n['readings']))} without a joint temperature: "
        f"{celsius} °C was assumed, give or take {sd} °C."
    )


def _calibration_lapsed(n: Numbers) -> str:
    return (
        f"{_count(n, 'lapsed', 'reading')} of {int(float(n['readings']))} taken with a meter whose calibration had "
        "lapsed; its stated accuracy was used, which nobody vouches for any more."
    )


def _check_history(n: Numbers) -> str:
    rounds, mean = int(float(n["rounds"])), word_number(float(n["microohm"]), 4)
    last = float(n["last_percent"])
    return (
        f"As read in {rounds} rounds: mean {mean} µΩ, spread {_percent(n, 'spread_percent')} (one standard "
        f"deviation), the last {word_number(abs(last), 2)} % {'above' if last >= 0 else 'below'} the mean."
    )


def _thermal_emf(n: Numbers) -> str:
    return (
        f"{_count(n, 'without', 'reading')} with neither a zero nor a reversed reading: "
        f"± {word_number(float(n['emf_microvolt']), 1)} µV of thermal voltage was allowed for."
    )


def _unusable(n: Numbers) -> str:
    return f"{_count(n, 'left_out', 'reading')} at zero or below left out: no resistance."


WORDINGS: Mapping[str, Callable[[Numbers], str]] = {
    "creeping": _creeping,
    "maybe creeping": _maybe_creeping,
    "stepped": _stepped,
    "steady": _steady,
    "over limit": _over_limit,
    "near limit": _near_limit,
    "last alone": _last_alone,
    "bad reading": _bad_reading,
    "compared": _compared,
    "alone": _alone,
    "round moved": _round_moved,
    "rounds rise": _rounds_rise,
    "checks sink": _checks_sink,
    "noisy": _noisy,
    "too few": _too_few,
    "unread series": _unread_series,
    "not read": _not_read,
    "no limit": _no_limit,
    "no temperature": _no_temperature,
    "thermal emf": _thermal_emf,
    "calibration lapsed": _calibration_lapsed,
    "check history": _check_history,
    "unusable": _unusable,
}


def _count(n: Numbers, key: str, noun: str) -> str:
    whole = int(float(n[key]))
    return f"{whole} {noun}" if whole == 1 else f"{whole} {noun}s"


def _percent(n: Numbers, key: str) -> str:
    return f"{word_number(abs(float(n[key])), 2)} %"


def _chance(n: Numbers) -> str:
    return word_chance(float(n["probability"]))


def _level(n: Numbers) -> str:
    return word_with_uncertainty(float(n["microohm"]), float(n["u_microohm"]), "microohm")


def _limit(n: Numbers) -> str:
    return f"{word_number(float(n['limit_microohm']))} µΩ"


def _high_or_low(n: Numbers) -> str:
    return "high" if float(n["shift_percent"]) > 0 else "low"


def _day(iso_day: float | str) -> str:
    return word_date(f"{iso_day}T12:00:00.000000Z")


def _month(n: Numbers) -> str:
    return _day(n["since"]).split(" ", 1)[1]
