"""What a terminal is held against is what the book holds of it, its circuit and those made alike."""

import shutil
from pathlib import Path
from typing import Any

import pytest
from freezegun import freeze_time

from conftest import NOW, Shell

METERS = ("--voltmeter", "meter", "--ammeter", "clamp", "--temp", "20 degC", "--at", "100 A")


@pytest.fixture(scope="module")
def circuit_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two cables of one circuit with a budget of the owner's own, made at all four ends; only C1A is read."""
    shell = Shell(tmp_path_factory.mktemp("circuit"))
    with freeze_time(NOW):
        shell.does("book", "new", shell.book)
        shell.does("build", "add", "My boat")
        shell.does("conductor", "add", "2/0", "--size", "2/0 AWG", "--bare")
        for name, kind in (("meter", "millivoltmeter"), ("clamp", "clamp")):
            unit = "mV" if kind == "millivoltmeter" else "A"
            shell.does(
                *("instrument", "add", name, "--kind", kind, "--percent", "0.5 %", "--counts", "3"),
                *("--resolution", f"0.01 {unit}"),
            )
        part = ("--conductor", "2/0", "--lug", "L", "--tool", "T", "--strip", "25 mm")
        shell.does("recipe", "add", "R1", *part, "--die", "13 hex")
        budget = ("--circuit", "start", "--current", "200 A", "--system", "12 V", "--budget", "5 %")
        for tag in ("C1", "C2"):
            place = ("--from", "engine", "--to", "dry")
            shell.does("cable", "add", tag, "--conductor", "2/0", "--length", "2 m", *place, *budget)
        shell.does("terminal", "make", "C1A", "C1B", "C2A", "C2B", "--recipe", "R1")
        shell.does("reading", "add", "C1A/crimp", "2.00 mV", *METERS)
    return shell.book


@pytest.fixture
def circuit(shell: Shell, circuit_book: Path) -> Shell:
    """A shell on a copy of that book."""
    shutil.copy(circuit_book, shell.book)
    return shell


def criterion(shell: Shell, end: str, name: str) -> Any:
    (found,) = [c for c in shell.tells("terminal", "show", end)["criteria"] if c["criterion"] == name]
    return found


def test_a_circuit_of_which_an_end_was_not_read_is_not_judged(circuit: Shell) -> None:
    found = criterion(circuit, "C1A", "drop budget")

    assert found["verdict"] == "not judged"
    assert found["says"] == (
        "At 200 A this terminal takes 4.00 mV of the 600 mV its circuit may lose; what the rest of the circuit takes "
        "is not known."
    )
    assert (found["source"], found["provenance"]) == ("5 % of 12 V", "entered by the owner")


def test_a_circuit_of_which_every_end_was_read_is_judged(circuit: Shell) -> None:
    for end in ("C1B", "C2A", "C2B"):
        circuit.does("reading", "add", f"{end}/crimp", "2.00 mV", *METERS)

    # By hand: 4 m of bare 67.43 mm2 are 17241.4 x 1.02 x 4 / 67.43 = 1043.2 microohm; with 4 x 20: 224.6 mV at 200 A.
    found = criterion(circuit, "C1A", "drop budget")
    assert (found["verdict"], found["value"]) == ("met", pytest.approx(224.6, abs=0.2))


def test_the_first_reading_is_the_mean_of_both_ways(circuit: Shell) -> None:
    circuit.does("reading", "add", "C1B/crimp", "2.10 mV", *METERS)
    circuit.does("reading", "add", "C1B/crimp", "-2.00 mV", *METERS, "--polarity", "reverse")

    # (2.10 + 2.00) / 2 over 2.00 of its only sibling.
    assert criterion(circuit, "C1B", "similar joints")["value"] == pytest.approx(1.025, abs=1e-4)


def test_a_later_reading_does_not_change_how_it_was_made(circuit: Shell, clock: Any) -> None:
    clock.move_to("2027-05-01T10:00:00Z")
    circuit.does("reading", "add", "C1A/crimp", "2.60 mV", *METERS, "--round", "2027", "--confirm")
    circuit.does("reading", "add", "C1B/crimp", "2.00 mV", *METERS)

    assert circuit.tells("terminal", "show", "C1A")["first_read_at"].startswith("2026-11-10")
    assert criterion(circuit, "C1A", "similar joints")["value"] == pytest.approx(1.0)


def test_joints_probed_at_other_distances_are_not_alike(circuit: Shell) -> None:
    circuit.does("reading", "add", "C1B/crimp", "2.00 mV", *METERS)
    circuit.does("span", "amend", "C1B/crimp", "probe_millimetre=50 mm", "--reason", "measured")

    assert criterion(circuit, "C1A", "similar joints")["verdict"] == "not judged"


@pytest.mark.parametrize(("cut", "faulty"), [("6", 0), ("7", 1)])
def test_strands_cut_are_a_fault_beyond_what_may_be_cut(circuit: Shell, cut: str, faulty: int) -> None:
    # AC 43.13-1B Table 11-13: 1/0 and 2/0, up to 6 broken.
    circuit.does(
        "recipe",
        "add",
        "R2",
        "--conductor",
        "2/0",
        "--lug",
        "L",
        "--tool",
        "T",
        "--strip",
        "25 mm",
        "--die",
        "12",
    )
    for recipe in ("R1", "R2"):
        circuit.does(
            "sample", "record", recipe, "--cut", cut, "--no-ears", "--pull", "9 kN", "--failure", "pulled out"
        )

    compared = circuit.tells("recipe", "compare", "R1", "R2")["recipes"]

    assert [one["samples_with_faults"] for one in compared] == [faulty, faulty]


def test_an_answer_of_a_sample_counts_against_its_recipe(circuit: Shell) -> None:
    circuit.does("sample", "record", "R1", "--pull", "9 kN", "--failure", "pulled out")

    circuit.does("workmanship", "record", "all=yes", "no cracks=no", "--recipe", "R1", "--sample", "1")

    facts = circuit.tells("recipe", "show", "R1")
    assert facts["verdict"] == "refused"
    assert facts["reasons"][0] == "Seen in 1 of 1 sample looked at (1): cracked."


def test_an_amended_pull_is_looked_at_as_a_new_one_is(circuit: Shell) -> None:
    circuit.does("pull", "record", "R1", "9 kN", "--failure", "pulled out")

    sentence = circuit.refuses("pull", "amend", "R1", "pull_newton=90 kN", "--reason", "misread")

    assert sentence.startswith(
        "Not written: sample pull 1 of R1, 90 kN: 90000 N is more than this conductor can hold"
    )


def test_answers_are_listed_under_their_noun(circuit: Shell) -> None:
    assert circuit.refuses("workmanship", "withdraw", "C9A", "--reason", "slip") == (
        'The book knows no answer "C9A"; list them with `lugbook workmanship list`.'
    )


def test_an_amended_span_keeps_its_first_reading(circuit: Shell) -> None:
    circuit.does("span", "amend", "C1A/crimp", "limit_microohm=60 microohm", "--reason", "chosen")
    circuit.does("cable", "amend", "C1", "to_place=bilge", "--reason", "moved")
    circuit.does("cable", "amend", "C1", "from_place=bilge", "--reason", "moved")
    circuit.does("recipe", "amend", "R1", "presses=2", "--reason", "miscounted")

    facts = circuit.tells("terminal", "show", "C1A")

    assert facts["first_read_at"].startswith("2026-11-10")
    assert criterion(circuit, "C1A", "drop budget")["value"] == 4.0
