"""Every fact about a recipe has its sentence, and the sentence says what the numbers say."""

import pytest

from lugbook.assessment.qualification_words import PROOF_WORDINGS, word_proof
from lugbook.assessment.reasons import Reason

PROVED = {
    "bound_newton": 3092.3, "share_percent": 99.0, "confidence_percent": 95.0, "count": 5.0,
    "minimum_newton": 667.2, "standard": "ABYC E-11",
}  # fmt: skip
SENTENCES = {
    "below minimum": (
        {"sample": "4", "newton": 600.0, "count": 2.0, "minimum_newton": 667.2, "standard": "ABYC E-11"},
        "Sample 4 held 600 N, less than the 667 N of ABYC E-11; 2 samples are below it.",
    ),
    "lug cracked": (
        {"sample": "4", "count": 1.0},
        "The lug of sample 4 cracked: the crimp is too tight, or the lug too hard.",
    ),
    "serious fault": (
        {"fault": "cracked", "sample": "3", "count": 1.0, "looked_at": 5.0},
        "Seen in 1 of 5 samples looked at (3): cracked.",
    ),
    "minor fault": (
        {"fault": "flash or ears", "sample": "1", "count": 2.0, "looked_at": 5.0},
        "Seen in 2 of 5 samples looked at (1 first): flash or ears.",
    ),
    "frequent fault": (
        {"fault": "flash or ears", "sample": "1", "count": 4.0, "looked_at": 5.0},
        "Seen in 4 of 5 samples looked at (1 first): flash or ears.",
    ),
    "resistance high": (
        {"ratio": 1.53, "limit": 1.1, "count": 5.0},
        "5 samples read on average 1.53 times an equal length of its conductor, surely over the limit of 1.1 times.",
    ),
    "resistance good": (
        {"ratio": 0.77, "limit": 1.1, "count": 1.0},
        "1 sample reads 0.77 times an equal length of its conductor, within the limit of 1.1 times.",
    ),
    "resistance in doubt": (
        {"ratio": 1.2, "limit": 1.1, "count": 2.0},
        "2 samples read on average 1.20 times an equal length of its conductor, over the limit of 1.1 times, but the "
        "samples are too few or scatter too much to be sure.",
    ),
    "not crimped": (
        {"joining": "soldered"},
        "The joint is soldered, not crimped: sample pulls of crimps do not judge it.",
    ),
    "no minimum": (
        {"size": "70 mm2"},
        "No pull minimum was chosen that covers 70 mm²: choose a standard; without one no pull is a pass or a fail.",
    ),
    "no samples": ({}, "No sample was pulled to failure, so nothing is known of the crimp; pull five."),
    "one sample": ({}, "One sample says nothing of the scatter: the next may hold half; pull four more."),
    "all equal": (
        {"count": 5.0, "newton": 2000.0},
        "All 5 samples read 2000 N: no crimps are so alike. Look whether the tester stopped there, or one number was "
        "copied.",
    ),
    "pull proved": (
        PROVED,
        "From 5 samples, 99 % of such crimps hold at least 3090 N (95 % confidence), at or above the 667 N of ABYC "
        "E-11.",
    ),
    "pull not proved": (
        PROVED | {"minimum_newton": 3336.2, "standard": "SAE AS7928"},
        "From 5 samples, 99 % of such crimps hold at least 3090 N (95 % confidence), below the 3340 N of SAE AS7928, "
        "although each sample held it: pull more, or find what scatters.",
    ),
    "few samples": (
        {"count": 3.0, "proved_percent": 36.84, "confidence_percent": 95.0, "fewest": 5.0},
        "3 samples prove little: as mere passes they show, with 95 % confidence, no more than that 37 % of such "
        "crimps pass; pull at least 5.",
    ),
    "outlier": (
        {"sample": "4", "newton": 2500.0, "others_newton": 4003.0},
        "Sample 4 (2500 N) stands apart from the others (mean 4000 N); it is counted. Look for what was different.",
    ),
    "normality doubted": (
        {"how": "strongly doubted", "count": 12.0, "share_percent": 90.0, "confidence_percent": 95.0, "passes": 29.0},
        "The 12 pulls do not look normally scattered (strongly doubted), and the bound leans on that: it may be too "
        "high. Without it, 90 % at 95 % confidence takes 29 samples that all hold the minimum.",
    ),
    "failures mixed": (
        {"conductor broke": 2.0, "pulled out": 3.0},
        "The samples failed in different ways (conductor broke 2, pulled out 3): two causes in one sample, each with "
        "its own scatter.",
    ),
    "only held": (
        {"count": 2.0, "newton": 500.0},
        "2 samples were held (500 N or more) and not pulled to failure: not in mean and bound.",
    ),
    "held": (
        {"newton": 4000.0, "percent": 24.6},
        "The mean of 4000 N is 25 % of what the conductor can hold (annealed copper).",
    ),
    "worth": (
        {"standard": "ABYC E-11", "stated": "150 lbf", "newton": 667.2, "percent": 4.1},
        "ABYC E-11 asks for 150 lbf: that is 667 N, 4 % of what this conductor can hold.",
    ),
    "minimum from memory": (
        {"standard": "ABYC E-11"},
        "The minimum of ABYC E-11 for this size is from memory, to be checked.",
    ),
    "no resistance": ({}, "No resistance of a sample was measured: a crimp may hold well and conduct badly."),
    "not looked at": ({}, "No sample was looked at by the checklist."),
    "barrel loose": (
        {"barrel": "4/0 AWG", "conductor": "2/0 AWG", "filled_percent": 62.9},
        "The lug's barrel is made for 4/0 AWG, and the conductor (2/0 AWG) fills 63 % of it: too loose to crimp well.",
    ),
    "barrel tight": (
        {"barrel": "1/0 AWG", "conductor": "2/0 AWG", "filled_percent": 126.1},
        "The lug's barrel is made for 1/0 AWG, and the conductor (2/0 AWG) fills 126 % of it: strands must not be cut "
        "to fit.",
    ),
    "chosen by pull": (
        {"chosen": "B", "first": "B", "second": "A", "behind_percent": 9.1, "confidence_percent": 95.0,
         "as_good_percent": 2.0},
        "Use B: with 95 % confidence no other holds more than 2 % more. Next is A, whose mean is 9.1 % less.",
    ),
    "chosen by resistance": (
        {"chosen": "B", "others": "A and B"},
        "By pull A and B cannot be told apart; B surely conducts best of them: use it.",
    ),
    "chosen by faults": (
        {"chosen": "B", "others": "A and B"},
        "By pull and resistance A and B cannot be told apart; B alone showed no fault: use it.",
    ),
    "cannot tell": (
        {"first": "B", "second": "A", "behind_percent": 2.0, "scatter_percent": 5.0, "more_each": 5.0},
        "These samples cannot tell B from A: the means differ by 2.0 %, single samples scatter by 5.0 %. Pull 5 more "
        "samples of each.",
    ),
    "too few to choose": (
        {"held": "B has 2", "more": "3 more of B", "fewest": 3.0, "each": 5.0},
        "Nothing is chosen while one that could be the best has fewer than 3 samples pulled to failure (B has 2): "
        "pull 3 more of B, so that each has 5.",
    ),
    "none left": ({}, "No recipe can be chosen: each was refused, or has no usable sample."),
    "one left": ({"first": "B"}, "Only B can be chosen, and there is nothing to compare it with."),
    "left out": (
        {"recipe": "C", "why": "No sample was looked at by the checklist."},
        "C is left out: No sample was looked at by the checklist.",
    ),
    "conducts worse": (
        {"other": "A", "chosen": "B", "more_percent": 21.0},
        "A surely conducts better: B has 21 % more resistance per equal length.",
    ),
    "different minima": (
        {"minima": "ABYC E-11 667 N, SAE AS7928 3336 N"},
        "The recipes are held against different minima (ABYC E-11 667 N, SAE AS7928 3336 N): choose one standard for "
        "all.",
    ),
}  # fmt: skip


@pytest.mark.parametrize("code", SENTENCES)
def test_a_fact_is_one_plain_sentence(code: str) -> None:
    numbers, sentence = SENTENCES[code]

    assert word_proof(Reason(code, numbers, "the samples")) == sentence


def test_no_fact_is_without_its_sentence() -> None:
    assert set(PROOF_WORDINGS) == set(SENTENCES)


@pytest.mark.parametrize(
    ("code", "changed", "sentence"),
    [
        pytest.param(
            "below minimum", {"count": 1.0}, "Sample 4 held 600 N, less than the 667 N of ABYC E-11.", id="one below"
        ),
        pytest.param(
            "lug cracked", {"count": 3.0},
            "The lugs of 3 samples cracked, 4 first: the crimp is too tight, or the lug too hard.", id="several",
        ),
        pytest.param(
            "pull not proved", {"bound_newton": -20.0},
            "5 samples with this scatter prove nothing of 99 % of such crimps, although each held the 3340 N of SAE "
            "AS7928.", id="a bound below nothing",
        ),
        pytest.param(
            "only held", {"count": 1.0},
            "1 sample was held (500 N or more) and not pulled to failure: not in mean and bound.", id="one held",
        ),
        pytest.param(
            "chosen by pull", {"behind_percent": 0.0},
            "Use B: with 95 % confidence no other holds more than 2 % more. Next is A, whose mean is as great.",
            id="an equal rival",
        ),
    ],
)  # fmt: skip
def test_a_sentence_follows_its_numbers(code: str, changed: dict[str, float], sentence: str) -> None:
    numbers, _ = SENTENCES[code]

    assert word_proof(Reason(code, {**numbers, **changed}, "the samples")) == sentence


def test_where_no_number_of_samples_helps_it_says_that_either_will_do() -> None:
    numbers = {"first": "B", "second": "A", "behind_percent": 0.4, "scatter_percent": 5.0, "most_more": 50.0}

    assert word_proof(Reason("cannot tell", numbers, "the samples")) == (
        "These samples cannot tell B from A: the means differ by 0.40 %, single samples scatter by 5.0 %. "
        "It would take over 50 more of each: for holding, either will do."
    )
