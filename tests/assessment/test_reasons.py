"""Every reason has its sentence, and the sentence says what the numbers say."""

import pytest

from lugbook.assessment.reasons import FROM_READINGS, WORDINGS, Reason, word_reason

SENTENCES = {
    "creeping": (
        {
            "rate_percent": 9.04,
            "low_percent": 6.1,
            "high_percent": 13.2,
            "probability": 0.97,
            "since": "2029-05-02",
        },
        "Rising 9.0 % a year since about May 2029 (6.1 to 13), 97 % sure.",
    ),
    "maybe creeping": (
        {
            "rate_percent": 4.0,
            "low_percent": 1.0,
            "high_percent": 9.0,
            "probability": 0.3,
            "since": "2029-05-02",
        },
        "It may be creeping (30 %), if so by about 4.0 % a year: not sure enough to be called so.",
    ),
    "stepped": (
        {"step_percent": -22.0, "before": "2029-05-02", "after": "2030-04-18", "probability": 0.98},
        "Jumped down by 22 % between 2 May 2029 and 18 April 2030, 98 % sure that it changed: "
        "look for a loose nut, or for work that was not logged.",
    ),
    "steady": (
        {"microohm": 50.31, "u_microohm": 0.62, "readings": 7.0, "since": "2024-05-01", "probability": 0.011},
        "Level 50.31 ± 0.62 µΩ over 7 readings since May 2024; chance of creep 1 %.",
    ),
    "over limit": (
        {"microohm": 84.2, "u_microohm": 1.3, "limit_microohm": 75.0, "probability": 0.999},
        "84.2 ± 1.3 µΩ at 20 °C, with the shifts of its rounds taken out, against a limit of 75.0 µΩ: over 99 % sure "
        "that it is over.",
    ),
    "near limit": (
        {"microohm": 74.0, "u_microohm": 1.3, "limit_microohm": 75.0, "probability": 0.22},
        "Chance that it is over its limit of 75.0 µΩ: 22 %.",
    ),
    "last alone": (
        {"off_percent": 41.0},
        "The last reading is 41 % above the others, alone: one reading cannot tell a sudden change from a bad "
        "reading. Look again.",
    ),
    "bad reading": (
        {"round": "2027", "off_percent": -35.0, "probability": 0.995},
        "The reading of round 2027 is 35 % off the others of this span and was taken as bad (over 99 %).",
    ),
    "compared": (
        {"others": 41.0, "round": "2024", "shift_percent": 3.9},
        "Compared with 41 other spans read in the same rounds; round 2024 read 3.9 % high and was corrected.",
    ),
    "alone": (
        {"gain_percent": 3.0},
        "No other span was read in the same rounds, so what the instruments share (3.0 %) cannot be told from a "
        "change of this span; read a few others, or a check standard, each time.",
    ),
    "round moved": (
        {"round": "2024", "shift_percent": -8.0, "gain_percent": 0.9, "other_rounds": 1.0},
        "All spans of round 2024 read 8.0 % low together, far more than the instruments should differ (0.90 %) "
        "(so did 1 other round): the meter or clamp moved, or every joint changed at once; check the clamp's zero "
        "and the meter.",
    ),
    "rounds rise": (
        {"trend_percent": 4.0},
        "All spans together read 4.0 % more each year. Without a check standard this cannot be told from a drifting "
        "meter, and was taken as the meter: a creep that all spans share would not be seen.",
    ),
    "checks sink": (
        {"check_standards": 1.0},
        "The check standard stood still while the spans rose together: the spans changed, not the meter. The shifts "
        "of the rounds were taken from 1 check standard alone.",
    ),
    "noisy": (
        {"scale": 1.94},
        "The readings scatter 1.9 times as much as the instruments explain; this was allowed for.",
    ),
    "too few": ({"readings": 1.0}, "Read in 1 round of the current series; it takes 3 to tell creep from noise."),
    "unread series": ({}, "Serviced, and not read since: a service starts a new series."),
    "not read": ({}, "No reading yet, so nothing can be said: not judged is not a pass."),
    "no limit": (
        {"ratio": 1.5},
        "No limit is stated; for planning, 1.5 times its first level was used, which is no verdict.",
    ),
    "no temperature": (
        {"without": 2.0, "readings": 7.0, "celsius": 20.0, "sd_kelvin": 8.0},
        "2 readings of 7 without a joint temperature: 20 °C was assumed, give or take 8 °C.",
    ),
    "thermal emf": (
        {"without": 1.0, "emf_microvolt": 5.0},
        "1 reading with neither a zero nor a reversed reading: ± 5 µV of thermal voltage was allowed for.",
    ),
    "calibration lapsed": (
        {"lapsed": 2.0, "readings": 5.0},
        "2 readings of 5 taken with a meter whose calibration had lapsed; its stated accuracy was used, which "
        "nobody vouches for any more.",
    ),
    "check history": (
        {"rounds": 6.0, "microohm": 500.25, "spread_percent": 0.41, "last_percent": -0.23},
        "As read in 6 rounds: mean 500.2 µΩ, spread 0.41 % (one standard deviation), the last 0.23 % below the mean.",
    ),
    "unusable": ({"left_out": 1.0}, "1 reading at zero or below left out: no resistance."),
}


@pytest.mark.parametrize("code", SENTENCES)
def test_a_reason_is_one_plain_sentence(code: str) -> None:
    numbers, sentence = SENTENCES[code]

    assert word_reason(Reason(code, numbers, FROM_READINGS)) == sentence


@pytest.mark.parametrize(
    ("years", "sentence"),
    [
        (("2032", "2034"), "; at this rate over its limit between 2032 and 2034."),
        (("2032", "2032"), "; at this rate over its limit in 2032."),
        (("2041", ""), "; at this rate over its limit not before 2041."),
    ],
)
def test_a_creep_says_when_its_limit_is_reached(years: tuple[str, str], sentence: str) -> None:
    numbers = {**SENTENCES["creeping"][0], "over_from": years[0], "over_to": years[1]}

    said = word_reason(Reason("creeping", numbers, FROM_READINGS))

    assert said == "Rising 9.0 % a year since about May 2029 (6.1 to 13), 97 % sure" + sentence


def test_no_reason_is_without_its_sentence() -> None:
    assert set(WORDINGS) == set(SENTENCES)


def test_no_round_is_named_where_none_was_out_by_one_percent() -> None:
    worded = word_reason(Reason("compared", {"others": 1.0}, FROM_READINGS))

    assert worded == "Compared with 1 other span read in the same rounds; no round was out by 1 % or more."
