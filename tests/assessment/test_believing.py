"""A slipped decimal point is doubted, a doubled resistance is not."""

import pytest

from lugbook.assessment.believing import Expectation, doubt, word_doubt

KNOWN = [8.2, 8.4, 8.6]  # median 8.4


@pytest.mark.parametrize(
    ("microohm", "code"),
    [
        pytest.param(8.4, None, id="as always"),
        pytest.param(16.8, None, id="doubled"),
        pytest.param(41.9, None, id="just under five times"),
        pytest.param(42.1, "far above", id="just over five times"),
        pytest.param(1.69, None, id="just over a fifth"),
        pytest.param(1.67, "far below", id="just under a fifth"),
        pytest.param(0.0, "not a resistance", id="zero"),
        pytest.param(-8.4, "not a resistance", id="wrong sign"),
        pytest.param(float("nan"), "not a resistance", id="nothing"),
    ],
)
def test_a_number_is_doubted_beyond_five_times_what_the_span_has_read(
    microohm: float, code: str | None
) -> None:
    found = doubt(microohm, Expectation(KNOWN))

    assert (found.code if found else None) == code


@pytest.mark.parametrize(
    ("microohm", "code"), [(0.051, None), (0.049, "too small"), (99_999.0, None), (100_001.0, "too large")]
)
def test_a_first_reading_is_held_against_what_any_joint_can_be(microohm: float, code: str | None) -> None:
    found = doubt(microohm, Expectation())

    assert (found.code if found else None) == code


@pytest.mark.parametrize(
    ("microohm", "sentence"),
    [
        (
            84.0,
            "this comes to 84.0 µΩ, 10 times above what it has read (8.20 to 8.60 µΩ, in the middle 8.40 µΩ): "
            "a slipped decimal point?",
        ),
        (
            0.84,
            "this comes to 0.840 µΩ, 10 times below what it has read (8.20 to 8.60 µΩ, in the middle 8.40 µΩ): "
            "a slipped decimal point?",
        ),
        (-8.4, "this comes to -8.40 µΩ, which is no resistance; check the sign, or the polarity."),
        (
            0.0084,
            "this comes to 0.00840 µΩ; no span of this kind reads outside 0.05 µΩ to 100 mΩ; "
            "check the units of drop and current.",
        ),
    ],
)
def test_the_doubt_is_said_in_one_sentence(microohm: float, sentence: str) -> None:
    found = doubt(microohm, Expectation(KNOWN))

    assert found is not None
    assert word_doubt(found) == sentence


LIKE = [9.0, 10.0, 12.0]  # what three spans made alike have read


@pytest.mark.parametrize(
    ("microohm", "code"),
    [
        pytest.param(59.0, None, id="just under five times the greatest"),
        pytest.param(61.0, "above its siblings", id="just over five times the greatest"),
        pytest.param(1.81, None, id="just over a fifth of the smallest"),
        pytest.param(1.79, "below its siblings", id="just under a fifth of the smallest"),
    ],
)
def test_a_first_reading_is_held_against_spans_made_alike(microohm: float, code: str | None) -> None:
    found = doubt(microohm, Expectation(siblings_microohm=LIKE))

    assert (found.code if found else None) == code


def test_two_siblings_say_enough_and_one_too_little() -> None:
    found = doubt(100.0, Expectation(siblings_microohm=LIKE[:2]))

    assert found is not None
    assert word_doubt(found) == (
        "this comes to 100 µΩ, 10 times above what spans made alike read (9.00 to 10.0 µΩ): a slipped decimal point?"
    )
    assert doubt(100.0, Expectation(siblings_microohm=LIKE[:1])) is None


def test_a_factor_agrees_with_the_number_it_is_said_of() -> None:
    found = doubt(61.4, Expectation([8.0, 12.0, 61.4]))

    assert found is not None
    assert word_doubt(found) == (
        "this comes to 61.4 µΩ, 5.1 times above what it has read (8.00 to 61.4 µΩ, in the middle 12.0 µΩ): "
        "the right span, the right current?"
    )


def test_what_a_span_has_read_itself_counts_for_more_than_its_siblings() -> None:
    assert doubt(100.0, Expectation(known_microohm=[90.0], siblings_microohm=LIKE)) is None


@pytest.mark.parametrize(
    ("microohm", "all_cable", "code"),
    [
        pytest.param(6.9, False, "below its cable", id="a crimp that reads less than the cable in it"),
        pytest.param(7.1, False, None, id="a crimp of almost nothing but cable"),
        pytest.param(90.0, False, None, id="a poor crimp"),
        pytest.param(49.0, True, None, id="a cable with two poor ends"),
        pytest.param(51.0, True, "above its cable", id="a cable that reads five times its copper"),
    ],
)
def test_a_first_reading_is_held_against_the_cable_between_its_probes(
    microohm: float, all_cable: bool, code: str | None
) -> None:
    found = doubt(microohm, Expectation(cable_microohm=10.0, cable_is_all=all_cable))

    assert (found.code if found else None) == code


@pytest.mark.parametrize(
    ("microohm", "sentence"),
    [
        (
            100.0,
            "this comes to 100 µΩ, 8.3 times above what spans made alike read (9.00 to 12.0 µΩ): "
            "a slipped decimal point?",
        ),
        (
            12_000.0,
            "this comes to 12000 µΩ, 1000 times above what spans made alike read (9.00 to 12.0 µΩ): "
            "volts, millivolts or microvolts?",
        ),
        (
            360.0,
            "this comes to 360 µΩ, 30 times above what spans made alike read (9.00 to 12.0 µΩ): "
            "the right span, the right current?",
        ),
    ],
)
def test_the_slip_that_would_explain_it_is_named(microohm: float, sentence: str) -> None:
    found = doubt(microohm, Expectation(siblings_microohm=LIKE))

    assert found is not None
    assert word_doubt(found) == sentence
