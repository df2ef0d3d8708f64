"""What is said has no more digits than are known."""

from math import inf, nan

import pytest

from lugbook.units.wording import (
    word_chance,
    word_date,
    word_number,
    word_time,
    word_with_uncertainty,
)


@pytest.mark.parametrize(
    ("value", "sd", "unit", "said"),
    [
        pytest.param(84.21, 1.29, "microohm", "84.2 ± 1.3 µΩ", id="two digits of the doubt"),
        # GUM 7.2.2: m = 100.021 47 g with u = 0.35 mg.
        pytest.param(100.02147, 0.00035, "g", "100.02147 ± 0.00035 g", id="GUM 7.2.2"),
        pytest.param(1234.0, 132.0, "microohm", "1230 ± 130 µΩ", id="tens"),
        pytest.param(84.21, 0.0996, "microohm", "84.21 ± 0.10 µΩ", id="a doubt that rounds up a place"),
        pytest.param(0.0, 0.012, "mV", "0.000 ± 0.012 mV", id="nothing"),
        pytest.param(-0.0001, 0.012, "mV", "0.000 ± 0.012 mV", id="no minus sign on nothing"),
        pytest.param(-4.2, 0.31, "%", "-4.20 ± 0.31 %", id="negative"),
        pytest.param(3.0, 120.0, "microohm", "0 ± 120 µΩ", id="all doubt"),
        pytest.param(84.21, 0.0, "microohm", "84.2 µΩ", id="doubt not stated"),
        pytest.param(84.21, nan, "microohm", "84.2 µΩ", id="doubt not known"),
        pytest.param(nan, 1.0, "microohm", "not known", id="nothing known"),
    ],
)
def test_digits_follow_the_uncertainty(value: float, sd: float, unit: str, said: str) -> None:
    assert word_with_uncertainty(value, sd, unit) == said


@pytest.mark.parametrize(
    ("value", "digits", "said"),
    [
        (1234.5, 3, "1230"),
        (0.00084, 3, "0.000840"),
        (99.96, 3, "100"),
        (-12.34, 2, "-12"),
        (0.0, 3, "0.00"),
        (1e-9, 2, "0.0000000010"),
        (inf, 3, "not known"),
    ],
)
def test_a_number_has_so_many_digits_and_no_exponent(value: float, digits: int, said: str) -> None:
    assert word_number(value, digits) == said


@pytest.mark.parametrize(
    ("probability", "said"),
    [
        (0.97, "97 %"),
        (0.0, "under 1 %"),
        (1.0, "over 99 %"),
        (0.01, "1 %"),
        (0.99, "99 %"),
        (nan, "not known"),
    ],
)
def test_no_chance_is_said_to_be_none_or_sure(probability: float, said: str) -> None:
    assert word_chance(probability) == said


def test_an_instant_is_said_on_the_clocks_of_its_place() -> None:
    late_evening = "2031-04-18T23:32:05.000000Z"

    assert word_date(late_evening, "Europe/Lisbon") == "19 April 2031"
    assert word_date(late_evening) == "18 April 2031"
    assert word_time(late_evening, "Europe/Lisbon") == "2031-04-19 00:32"
