"""What few samples prove, and what they do not."""

import pytest

from lugbook.errors import NotAShare, TooFewSamples
from lugbook.inference.tolerance import k_factor, lower_bound, share_proved_by_passes, student_quantile


@pytest.mark.parametrize(
    ("passes", "percent"),
    [
        pytest.param(0, 0, id="none"),
        pytest.param(1, 5, id="0.05"),
        pytest.param(3, 37, id="cube root of 0.05 is 0.368"),
        pytest.param(5, 55, id="fifth root is 0.549"),
        pytest.param(10, 74, id="tenth root is 0.741"),
    ],
)
def test_passes_in_a_row_prove_a_share_by_themselves(passes: int, percent: int) -> None:
    assert 100 * share_proved_by_passes(passes, 0.95) == pytest.approx(percent, abs=0.5)


def test_three_samples_of_usual_scatter_lose_half_the_mean() -> None:
    # k is 10.553 for three (the tables): 4000 N with 5 % scatter leaves 4000 - 10.553 x 200 = 1889 N.
    assert lower_bound(4000, 200, 3) == pytest.approx(1889.4, abs=0.1)


def test_one_sample_has_no_bound() -> None:
    with pytest.raises(TooFewSamples) as refused:
        k_factor(1)

    assert str(refused.value) == "One sample says nothing of the scatter; pull at least two, better five."


def test_no_sample_has_no_bound() -> None:
    with pytest.raises(TooFewSamples) as refused:
        k_factor(0)

    assert str(refused.value) == "Without samples there is no scatter; pull at least two, better five."


@pytest.mark.parametrize("share", [0.0, 1.0, 99.0, -0.1])
def test_a_share_outside_of_0_to_1_is_refused(share: float) -> None:
    with pytest.raises(NotAShare) as refused:
        k_factor(5, share)

    assert (
        str(refused.value)
        == f"{share:g} is not a share of all pieces; say a number between 0 and 1, like 0.99."
    )
    assert refused.value.exit_code == 2


def test_a_scatter_pooled_over_more_samples_takes_less_from_the_mean() -> None:
    assert k_factor(5, freedom=16) < k_factor(5)


def test_students_quantile_is_even_about_its_middle() -> None:
    assert student_quantile(0.025, 7) == pytest.approx(-student_quantile(0.975, 7), abs=1e-6)
    assert student_quantile(0.5, 7) == pytest.approx(0.0, abs=1e-6)
