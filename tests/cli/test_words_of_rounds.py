"""What is said of a round that read high, by how much was read in it."""

import pytest

from lugbook.assessment.judging import RoundShift
from lugbook.cli.verdicts import words_of_rounds

METERS = "most likely the meters and not the joints; the verdicts allow for it."


@pytest.mark.parametrize(
    ("spans", "checks", "sentence"),
    [
        (12, 0, f"Round 2031: all 12 spans read 5.0 % high (± 1.0), {METERS}"),
        (2, 0, f"Round 2031: both spans read 5.0 % high (± 1.0), {METERS}"),
        (1, 1, f"Round 2031: the check standard and the one span read 5.0 % high (± 1.0), {METERS}"),
        (0, 1, f"Round 2031: the check standard read 5.0 % high (± 1.0), {METERS}"),
        (
            1,
            0,
            "Round 2031: the one span read 5.0 % high (± 1.0), which may be the meters or the joint: with nothing else "
            "read beside it, the two cannot be told apart; read other spans or a check standard in the same round.",
        ),
    ],
)
def test_a_round_that_read_high_is_told_by_what_was_read_in_it(spans: int, checks: int, sentence: str) -> None:
    assert words_of_rounds([RoundShift("2031", 5.0, 1.0, spans, checks, 0, None)]) == [sentence]
