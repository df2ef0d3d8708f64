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
        (84.0, "this comes to 84.0 µΩ, 10 times above what it has read (8.20 to 8.60 µΩ): a slipped decimal point?"),
        (0.84, "this comes to 0.840 µΩ, 10 times below what it has read (8.20 to 8.60 µΩ): a slipped decimal point?"),
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
