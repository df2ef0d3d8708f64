"""What a line typed at a stop means."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugbook.errors import LineRefused, Refusal
from lugbook.jobs.round_lines import TypedDrop, read_line
from lugbook.jobs.rounds import RoundFacts

MILLIVOLT = RoundFacts(1, "spring", "Kittiwake", 2, "UTC", opened_at="2027-04-10T09:00:00.000000Z")
MICROVOLT = RoundFacts(1, "spring", "Kittiwake", 2, "UTC", drop_unit="uV", temperature_unit="degF")


@pytest.mark.parametrize(
    ("typed", "drops"),
    [
        pytest.param("0.84", [("0.84 mV", 0.84, "forward")], id="in the unit of the round"),
        pytest.param(".84", [(".84 mV", 0.84, "forward")], id="without its zero"),
        pytest.param("0,84", [("0,84 mV", 0.84, "forward")], id="with a comma"),
        pytest.param("840 uV", [("840 uV", 0.84, "forward")], id="in a unit of its own"),
        pytest.param("840uV", [("840uV", 0.84, "forward")], id="the unit without a space"),
        pytest.param("-0.83", [("-0.83 mV", -0.83, "reverse")], id="reversed"),
        pytest.param("0.84 0.85 -0.83", [("0.84 mV", 0.84, "forward"), ("0.85 mV", 0.85, "forward"),
                                         ("-0.83 mV", -0.83, "reverse")], id="several at once"),
    ],
)  # fmt: skip
def test_a_bare_number_is_a_drop(typed: str, drops: list[tuple[str, float, str]]) -> None:
    line = read_line(typed, MILLIVOLT)

    assert line.deed == "read"
    assert list(line.drops) == [TypedDrop(*drop) for drop in drops]


def test_the_units_are_those_of_the_round() -> None:
    (drop,) = read_line("840", MICROVOLT).drops

    assert (drop.text, drop.millivolt) == ("840 uV", 0.84)


def test_current_and_temperature_stand_on_the_same_line_or_alone() -> None:
    line = read_line("0.84 102A 31 c", MILLIVOLT)
    alone = read_line("88 degF", MILLIVOLT)

    assert line.current is not None
    assert line.celsius is not None
    assert (line.current.decimal_text, line.celsius.decimal_text) == ("102", "31")
    assert alone.deed == "set"
    assert alone.celsius is not None
    assert alone.celsius.value == pytest.approx((88 - 32) / 1.8)


@pytest.mark.parametrize(
    ("typed", "deed", "rest"),
    [
        ("b", "back", ""),
        ("S behind the tank", "skip", "behind the tank"),
        ("l", "later", ""),
        ("g C12A/crimp", "go", "C12A/crimp"),
        ("q", "stop", ""),
        ("y", "keep", ""),
        ("?", "help", ""),
        ("  ", "nothing", ""),
    ],
)
def test_one_letter_is_a_deed(typed: str, deed: str, rest: str) -> None:
    line = read_line(typed, MILLIVOLT)

    assert (line.deed, line.rest) == (deed, rest)


def test_a_word_that_is_nothing_is_refused() -> None:
    with pytest.raises(LineRefused) as refused:
        read_line("fine", MILLIVOLT)

    assert str(refused.value) == (
        'Not written: "fine" is no number; type a drop like 0.84, or ? for what can be typed.'
    )


@pytest.mark.parametrize("typed", ["1,234", "0.84 kg", "0.84 MV", "1e9", "0.84.5", "nan", "9999A9"])
def test_a_number_that_is_none_or_has_two_meanings_is_refused(typed: str) -> None:
    with pytest.raises(Refusal):
        read_line(typed, MILLIVOLT)


@given(st.text(max_size=30))
def test_whatever_is_typed_is_understood_or_refused(typed: str) -> None:
    with suppress(Refusal):
        line = read_line(typed, MILLIVOLT)
        assert (line.deed == "read") == bool(line.drops)
