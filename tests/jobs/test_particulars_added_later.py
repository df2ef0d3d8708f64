"""A row that said less is replaced by one that says more; everything that refers to it goes on as before."""

from typing import Any

import pytest

from conftest import Shell

Described = tuple[Shell, dict[str, Any]]
HEADINGS = (
    "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument\n"
)


@pytest.fixture
def described(bench: Shell) -> Described:
    """The bench, whose build and meters got a description after a reading had been taken."""
    rows = [
        f"C12B/crimp,{y},{y}-05-01,0.8{y[-1]},100,20,bench meter,hand clamp\n"
        for y in ("2024", "2025", "2026")
    ]
    bench.does("import", "readings", bench.file("season.csv", HEADINGS + "".join(rows)))
    before = bench.tells("status")
    bench.does("build", "add", "My boat", "--description", "a sloop")
    accuracy = ("--percent", "0.5 %", "--counts", "3", "--resolution")
    bench.does(
        "instrument",
        "add",
        "bench meter",
        "--kind",
        "millivoltmeter",
        *accuracy,
        "0.01 mV",
        "--note",
        "yellow",
    )
    bench.does(
        "instrument", "add", "hand clamp", "--kind", "clamp", *accuracy, "0.1 A", "--calibrated", "2026-01-05"
    )
    bench.does("span", "add", "C12B/crimp", "--kind", "crimp", "--place", "bilge", "--limit", "60 microohm")
    return bench, before


def test_verdicts_stay_as_they_were(described: Described) -> None:
    bench, before = described

    after = bench.tells("status")

    for facts in (before, after):
        for span in facts["spans"]:
            del span["limit_microohm"], span["reasons"], span["next_test"], span["next_test_reason"]
    assert after == before


def test_the_zone_that_nobody_repeated_stays(described: Described) -> None:
    bench, _ = described

    (build,) = bench.tells("build", "show", "My boat")["builds"]

    assert (build["zone"], build["description"]) == ("Europe/Lisbon", "a sloop")


def test_the_file_imported_again_still_adds_nothing(described: Described) -> None:
    bench, _ = described
    before = bench.line_count()

    said = bench.does("import", "readings", bench.folder / "season.csv")

    assert said == "season.csv: 0 readings entered, 3 the book already had.\n"
    assert bench.line_count() == before


def test_the_same_span_said_again_is_the_same_span(described: Described) -> None:
    bench, _ = described

    said = bench.does("span", "add", "C12A/crimp", "--kind", "crimp", "--place", "bilge")

    assert said == "Span C12A/crimp: the book already says so; nothing was written.\n"


def test_a_new_reading_joins_the_round_that_was_there(described: Described) -> None:
    bench, _ = described

    bench.does(
        "reading", "add", "C12A/crimp", "0.85 mV", "--at", "100 A", "--round", "2026", "--when", "2026-05-01"
    )

    assert bench.tells("book", "info")["rows"]["round"] == 4  # 2024, 2025, 2026 and that of the bench


def test_what_contradicts_the_book_is_refused_with_what_it_says(described: Described) -> None:
    bench, _ = described

    sentence = bench.refuses("span", "add", "C12B/crimp", "--kind", "crimp", "--place", "dry")

    assert sentence == (
        'Not written: place "dry": expected bilge, as the book already says of it; put it right with `lugbook span '
        "amend`."
    )


def test_a_terminal_of_an_end_described_later_is_still_its_terminal(bench: Shell) -> None:
    bench.does("conductor", "add", "2/0", "--size", "2/0 AWG")
    cable = ("cable", "add", "C40", "--conductor", "2/0", "--length", "1.80 m")
    bench.does(*cable)
    bench.does(
        "recipe",
        "add",
        "R1",
        "--conductor",
        "2/0",
        "--lug",
        "L",
        "--tool",
        "T",
        "--die",
        "13 hex",
        "--strip",
        "26 mm",
    )
    bench.does("terminal", "make", "C40A", "--recipe", "R1", "--place", "dry")

    bench.does(*cable, "--from", "engine", "--to", "bilge")

    said = bench.does("pull", "record", "R1", "900 N", "--failure", "not to failure", "--end", "C40A")
    assert said.startswith("proof pull 1 of R1: 900 N, not to failure, entered.")
    (terminal,) = bench.tells("terminal", "show", "C40A")["terminals"]
    assert terminal["recipe"] == "R1"
