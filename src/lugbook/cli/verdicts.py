"""How a verdict and a reading look in a table and as JSON."""

from collections import Counter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lugbook.assessment.judging import RoundShift, SpanVerdict
    from lugbook.jobs.assessing import SpanReading

Pairs = list[tuple[str, str]]
VERDICTS = ("over limit", "creeping", "stepped", "too few readings", "not judged", "steady")
"""The worst first."""


def word_counts(verdicts: "Sequence[SpanVerdict]") -> str:
    """How many spans have each verdict: "126 spans; 3 creeping, 1 not judged, 122 steady"."""
    counted = Counter(verdict.verdict for verdict in verdicts)
    summary = ", ".join(f"{counted[word]} {word}" for word in VERDICTS if counted[word])
    return f"{len(verdicts)} span{'' if len(verdicts) == 1 else 's'}; {summary}"


def facts_of(build: str, verdict: "SpanVerdict") -> dict[str, Any]:
    """The facts of one verdict, for JSON."""
    from lugbook.assessment.reasons import word_reason

    return {
        "span": verdict.span,
        "build": build,
        "kind": verdict.kind,
        "place": verdict.place,
        "verdict": verdict.verdict,
        "creep_probability": _rounded(verdict.creep_probability, 4),
        "rate_percent_per_year": _rounded(verdict.rate_percent_per_year, 2),
        "rate_low": _rounded(verdict.rate_low, 2),
        "rate_high": _rounded(verdict.rate_high, 2),
        "microohm_20c": _rounded(verdict.microohm_20c, 6),
        "u_microohm": _rounded(verdict.u_microohm, 6),
        "as_made_microohm": _rounded(verdict.as_made_microohm, 6),
        "limit_microohm": verdict.limit_microohm,
        "reasons": [word_reason(reason) for reason in verdict.reasons],
        "next_test": None if verdict.next_test is None else verdict.next_test.isoformat(),
        "next_test_reason": verdict.next_test_reason,
    }


def row_of(verdict: "SpanVerdict") -> list[str]:
    """One line of the status table."""
    return [
        verdict.span,
        verdict.verdict,
        now_text(verdict),
        as_made_text(verdict),
        "" if verdict.limit_microohm is None else f"{verdict.limit_microohm:g}",
        rate_text(verdict),
        "" if verdict.next_test is None else verdict.next_test.isoformat(),
    ]


HEADINGS = ("span", "verdict", "now µΩ", "as made", "limit", "rate % a year", "next test")


WORTH_SAYING_PERCENT = 1.0


def words_of_rounds(shifts: "Sequence[RoundShift]") -> list[str]:
    """What is to be said of rounds: read high or low as a whole, drifted within, meters past their calibration."""
    return [*_words_of_shifts(shifts), *_words_of_brackets(shifts), *_words_of_lapsed(shifts)]


def _words_of_brackets(shifts: "Sequence[RoundShift]") -> list[str]:
    said = []
    for shift in shifts:
        bracket = shift.bracket
        if bracket is None or bracket.drift_percent is None or bracket.u_percent is None:
            continue
        if (
            abs(bracket.drift_percent) > 2 * bracket.u_percent
            and abs(bracket.drift_percent) >= WORTH_SAYING_PERCENT
        ):
            more = "more" if bracket.drift_percent > 0 else "less"
            said.append(
                f"Round {shift.round}: the check standard read {abs(bracket.drift_percent):.1f} % {more} at the end "
                f"than at the beginning (± {bracket.u_percent:.1f}): a meter or the current drifted on the way; "
                "read the round again."
            )
    if (
        shifts
        and shifts[-1].bracket is not None
        and not (shifts[-1].bracket.begun and shifts[-1].bracket.ended)
    ):
        said.append(
            f"Round {shifts[-1].round} did not both begin and end with a check standard; a meter that drifted on the "
            "way would not be seen."
        )
    return said


def _words_of_lapsed(shifts: "Sequence[RoundShift]") -> list[str]:
    past = [(shift.round, shift.lapsed_readings) for shift in shifts if shift.lapsed_readings]
    if not past:
        return []
    listed = ", ".join(f"{count} in round {name}" for name, count in past)
    total = sum(count for _, count in past)
    readings = f"{total} reading{'' if total == 1 else 's'}"
    return [
        f"{readings} taken with a meter whose calibration had lapsed ({listed}); "
        "`lugbook instrument calibrations` shows which."
    ]


def _words_of_shifts(shifts: "Sequence[RoundShift]") -> list[str]:
    return [
        f"Round {shift.round}: {_who_moved(shift)} read {abs(shift.percent):.1f} % "
        f"{'high' if shift.percent > 0 else 'low'} (± {shift.u_percent:.1f}), {_what_it_was(shift)}."
        for shift in shifts
        if abs(shift.percent) >= WORTH_SAYING_PERCENT and abs(shift.percent) > 2 * shift.u_percent
    ]


def _who_moved(shift: "RoundShift") -> str:
    spans, checked = shift.spans_read, shift.check_standards_read > 0
    if spans == 0:
        return "the check standard"
    if spans == 1:
        return "the check standard and the one span" if checked else "the one span"
    return "both spans" if spans == 2 else f"all {spans} spans"


def _what_it_was(shift: "RoundShift") -> str:
    if shift.spans_read == 1 and not shift.check_standards_read:
        return (
            "which may be the meters or the joint: with nothing else read beside it, the two cannot be told apart; "
            "read other spans or a check standard in the same round"
        )
    return "most likely the meters and not the joints; the verdicts allow for it"


def now_text(verdict: "SpanVerdict") -> str:
    """The latest reading with its standard uncertainty: "84.2 ± 1.3"."""
    from lugbook.units.wording import word_with_uncertainty

    if verdict.microohm_20c is None or verdict.u_microohm is None:
        return ""
    return word_with_uncertainty(verdict.microohm_20c, verdict.u_microohm, "")


def as_made_text(verdict: "SpanVerdict") -> str:
    """The first reading of the series, to the digits of the latest one; '' without any."""
    from lugbook.units.wording import word_with_uncertainty

    if verdict.as_made_microohm is None or verdict.u_microohm is None:
        return ""
    return word_with_uncertainty(verdict.as_made_microohm, verdict.u_microohm, "").split(" ±")[0]


def rate_text(verdict: "SpanVerdict") -> str:
    """The rate with its 90 % interval: "9 (6 to 13)"; '' where none is claimed."""
    if verdict.rate_percent_per_year is None:
        return ""
    return f"{verdict.rate_percent_per_year:.0f} ({verdict.rate_low:.0f} to {verdict.rate_high:.0f})"


def pairs_of(build: str, verdict: "SpanVerdict") -> Pairs:
    """Name and value of everything known of one span, for reading."""
    from lugbook.assessment.reasons import word_reason

    reasons = [word_reason(reason) for reason in verdict.reasons]
    return [
        ("span", f"{verdict.span}, {verdict.kind}, {verdict.place}, {build}"),
        ("verdict", verdict.verdict),
        ("now", f"{now_text(verdict)} µΩ at 20 °C (± standard uncertainty)" if now_text(verdict) else ""),
        (
            "as made",
            f"{as_made_text(verdict)} µΩ at 20 °C" if as_made_text(verdict) else "",
        ),
        (
            "limit",
            "none set" if verdict.limit_microohm is None else f"{verdict.limit_microohm:g} µΩ at 20 °C",
        ),
        ("rate", f"{rate_text(verdict)} % a year" if rate_text(verdict) else ""),
        ("next test", f"{verdict.next_test}: {verdict.next_test_reason}" if verdict.next_test else ""),
        *(("because" if place == 0 else "", reason) for place, reason in enumerate(reasons)),
    ]


def word_reading(reading: "SpanReading", zone: str) -> tuple[dict[str, Any], list[str]]:
    """One reading as facts for JSON and as a line of a table."""
    from lugbook.units.wording import word_time, word_with_uncertainty

    facts = {
        "entry": reading.identity, "round": reading.round, "taken_at": reading.taken_at,
        "drop_millivolt": reading.drop_millivolt, "current_ampere": reading.current_ampere,
        "joint_celsius": reading.joint_celsius, "polarity": reading.polarity, "stage": reading.stage,
        "voltage_instrument": reading.voltage_instrument, "current_instrument": reading.current_instrument,
        "operator": reading.operator or None, "confirmed": reading.confirmed, "note": reading.note,
        "microohm_20c": _rounded(reading.microohm_20c, 6), "u_microohm": _rounded(reading.u_microohm, 6),
    }  # fmt: skip
    row = [
        str(reading.identity), reading.round, word_time(reading.taken_at, zone), f"{reading.drop_millivolt:g}",
        f"{reading.current_ampere:g}", "" if reading.joint_celsius is None else f"{reading.joint_celsius:g}",
        word_with_uncertainty(reading.microohm_20c, reading.u_microohm, "microohm"),
        " ".join(filter(None, (reading.stage, "confirmed" if reading.confirmed else "",
                               reading.polarity if reading.polarity != "forward" else ""))),
    ]  # fmt: skip
    return facts, row


def _rounded(value: float | None, digits: int) -> float | None:
    """The number for JSON, without the tail that no computation means; None stays None."""
    return None if value is None else round(float(value), digits)
