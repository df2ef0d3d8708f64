"""A sample says something believable, and gives way once."""

from typing import Any

import pytest

from conftest import Shell

RECORD = ("sample", "record", "R1")
OUT = ("--failure", "pulled out")
ADVICE = (
    "If it truly read so, leave the drop out and say it in the note; if the conductor is another, "
    "`lugbook conductor amend` puts it right."
)


@pytest.fixture
def bench(shell: Shell) -> Shell:
    """A book with one recipe on tinned 2/0 AWG, of which 76 mm are 20.3 microohm."""
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "My boat")
    shell.does("conductor", "add", "2/0", "--size", "2/0 AWG", "--tinned")
    part = ("--conductor", "2/0", "--lug", "L", "--tool", "T", "--strip", "25 mm", "--die", "13 hex")
    shell.does("recipe", "add", "R1", *part)
    return shell


@pytest.mark.parametrize(
    ("drop", "between", "sentence"),
    [
        # By hand: 1e6 x 0.0172414 x 1.02 x 1.025 x 0.076 / 67.43 = 20.3 microohm.
        pytest.param(
            "2.07 V", "76 mm",
            "20700 µΩ is 1000 times the 20.3 µΩ of as much of its conductor: was V typed for mV, or mV for µV?",
            id="a thousand times",
        ),
        pytest.param(
            "20.7 mV", "7.4 mm",
            "207 µΩ is 100 times the 1.98 µΩ of as much of its conductor: is a decimal point wrong?",
            id="a hundred times",
        ),
        pytest.param(
            "2.4 mV", "7.6 mm",
            "24.0 µΩ is 12 times the 2.03 µΩ of as much of its conductor: is a decimal point wrong, or was the length "
            "measured in cm?", id="ten times",
        ),
        pytest.param(
            "0.2 mV", "76 mm",
            "2.00 µΩ is 0.098 times the 20.3 µΩ of as much of its conductor: is a decimal point wrong, or was the "
            "length typed in cm, measured in mm?", id="a tenth",
        ),
        pytest.param(
            "0.5 mV", "76 mm",
            "5.00 µΩ is 0.25 times the 20.3 µΩ of as much of its conductor: look again at the drop, the current, the "
            "length and their units.", id="a quarter, by no slip",
        ),
    ],
)  # fmt: skip
def test_a_resistance_that_no_crimp_has_is_refused(
    bench: Shell, drop: str, between: str, sentence: str
) -> None:
    assert bench.refuses(*RECORD, "--drop", drop, "--at", "100 A", "--between", between) == (
        f"Not written: sample 1 of R1: {sentence} {ADVICE}"
    )


@pytest.mark.parametrize("drop", ["0.62 mV", "20.2 mV"])  # 0.305 and 9.95 times 20.3 microohm at 100 A
def test_a_bad_crimp_is_believed(bench: Shell, drop: str) -> None:
    bench.does(*RECORD, "--drop", drop, "--at", "100 A", "--between", "76 mm")


def test_an_amended_resistance_is_looked_at_as_a_new_one_is(bench: Shell) -> None:
    bench.does(*RECORD, "--drop", "2.07 mV", "--at", "100 A", "--between", "76 mm")

    sentence = bench.refuses(
        "sample", "amend", "R1", "length_millimetre=7.6 cm", "current_ampere=1 A", "--reason", "x"
    )

    assert sentence.startswith("Not written: sample 1 of R1: 2070 µΩ is 100 times the 20.3 µΩ")


def test_a_sample_of_which_nothing_is_said_is_refused(bench: Shell) -> None:
    assert bench.refuses(*RECORD, "--sample", "1", "--by", "owner") == (
        "Not written: nothing was said of the sample; type what it measured, how it looked, what it held, or a note."
    )


def test_a_sample_gives_way_once(bench: Shell) -> None:
    bench.does(*RECORD, "--pull", "9 kN", *OUT)

    assert bench.refuses("pull", "record", "R1", "9.1 kN", *OUT, "--sample", "1", "--when", "2026-11-09") == (
        "Not written: Sample 1 of R1 was pulled to failure before, at 9000 N on 2026-11-10; give this one another "
        "number, or put that pull right with `lugbook pull amend`."
    )


def test_a_sample_that_was_only_held_may_be_pulled_to_failure(bench: Shell) -> None:
    bench.does("pull", "record", "R1", "5 kN", "--failure", "not to failure", "--when", "2026-11-09")

    assert "entered" in bench.does("pull", "record", "R1", "9 kN", *OUT, "--sample", "1")


def test_more_is_said_of_a_sample_later_without_its_time(bench: Shell, clock: Any) -> None:
    bench.does(*RECORD, "--ears", "--pull", "9 kN", *OUT)
    tested_at = bench.tells("sample", "show", "R1")["samples"][0]["tested_at"]
    clock.move_to("2026-11-12T10:00:00Z")

    bench.does(*RECORD, "--sample", "1", "--cut", "2")
    again = bench.does(*RECORD, "--sample", "1", "--pull", "9 kN", *OUT)

    (sample,) = bench.tells("sample", "show", "R1")["samples"]
    assert (sample["tested_at"], sample["strands_cut"], sample["ears"]) == (tested_at, "2", "yes")
    assert again == "Sample 1 of R1: the book already holds it.\n"


def test_a_listed_sample_says_what_it_held_and_in_numbers_for_people(bench: Shell) -> None:
    # 2046 lbf x 4.4482216 N = 9101.06142... N.
    bench.does(*RECORD, "--ears", "--pull", "2046 lbf", *OUT)

    (facts,) = bench.tells("sample", "list")["samples"]
    assert (facts["pull_newton"], facts["failure"]) == ("9101.061424822983", "pulled out")
    assert "pull N   failure" in bench.does("sample", "list")
    assert "9101.06  pulled out" in bench.does("sample", "list")
    assert "9101.06\n" in bench.does("pull", "show", "R1")
    assert "9101.06\n" in bench.does("sample", "show", "R1")


def test_one_sample_has_no_deviation_and_few_no_bound(bench: Shell) -> None:
    bench.does(*RECORD, "--drop", "2.07 mV", "--at", "100 A", "--between", "76 mm", "--pull", "9 kN", *OUT)

    alone = bench.does("recipe", "show", "R1")
    bench.does("pull", "record", "R1", "5 kN", *OUT)
    two = bench.does("recipe", "show", "R1")

    assert "9000 N, 1 sample\n" in alone
    assert "The temperature of 1 sample was not read: it is taken to be at 20 °C.\n" in alone
    assert "none for 99 % of such crimps, 95 % sure: the samples scatter too much, or are too few\n" in two


def test_what_the_book_says_otherwise_is_put_right_by_amending(bench: Shell) -> None:
    bench.does(*RECORD, "--cut", "2")

    assert bench.refuses(*RECORD, "--sample", "1", "--cut", "3") == (
        'Not written: strands cut "3": expected 2, as the book already says of it; put it right with `lugbook sample '
        "amend`."
    )
