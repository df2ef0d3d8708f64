"""A current that is few counts of its meter is said, wherever it is said what to read with."""

import pytest

from conftest import Shell

# Three counts of 0.1 A are 6 % of 5 A, and 3 % of 10 A.
LITTLE = (
    "5 A is little for {}: by its last digits alone it may be out by 6 % there. "
    "Draw more current, or use a finer meter."
)


@pytest.mark.parametrize(("ampere", "is_said"), [("5 A", True), ("10 A", False)])
def test_a_reading_at_few_counts_of_the_clamp_is_said(bench: Shell, ampere: str, is_said: bool) -> None:
    said = bench.does("reading", "add", "C12B/crimp", "0.05 mV", "--at", ampere, "--temp", "20 degC")

    assert (LITTLE.format("hand clamp") in said.splitlines()) == is_said


def test_a_round_with_a_steady_load_of_few_counts_is_said_when_it_is_opened(forty: Shell) -> None:
    assert forty("round", "open", "spring", "--at", "5 A").err == f"{LITTLE.format('CL1')}\n"


def test_a_round_with_load_enough_says_nothing_of_it(forty: Shell) -> None:
    assert forty("round", "open", "spring", "--at", "100 A").err == ""


def test_a_current_typed_at_a_stop_is_said_once(forty: Shell) -> None:
    forty.does("round", "open", "spring", "--at", "100 A")

    said = forty.does("round", "enter", typed="5A 20C\n0.041\nq\n")

    assert said.count(LITTLE.format("CL1")) == 1


def test_a_plan_of_seasons_says_that_currents_were_little(bench: Shell) -> None:
    for year in (2024, 2025):
        for span in ("C12A/crimp", "C12B/crimp"):
            bench.does("reading", "add", span, "0.05 mV", "--at", "5 A", "--temp", "20 degC", "--round", str(year),
                       "--when", f"{year}-04-10 10:00", "--confirm")  # fmt: skip

    # Of five readings the middle one: 3 counts and half a digit of 0.1 A, 0.304 A together, of 5 A.
    assert (
        "The currents of its rounds are little for their meter, whose last digits alone may be 6 % of them: draw more "
        "current, or use a finer meter."
    ) in bench.does("plan", "season", "--rate", "10 %")
