"""A load held on a made terminal: what moved stays moved, and is held against the recipe that made it."""

import pytest

from conftest import Shell

PART = ("--conductor", "2/0", "--lug", "L", "--tool", "T", "--strip", "25 mm")
HELD = ("--end", "C1A", "--held", "60 s")


@pytest.fixture
def end(shell: Shell) -> Shell:
    """A book with two recipes, and C1A made by the first."""
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "My boat")
    shell.does("conductor", "add", "2/0", "--size", "2/0 AWG", "--bare")
    for name, die in (("R1", "13 hex"), ("R2", "14 hex")):
        shell.does("recipe", "add", name, *PART, "--die", die)
    shell.does("cable", "add", "C1", "--conductor", "2/0", "--length", "2 m", "--from", "dry")
    shell.does("terminal", "make", "C1A", "--recipe", "R1", "--when", "2026-11-01")
    shell.does("pull", "record", "R1", "900 N", *HELD, "--moved", "--when", "2026-11-02")
    return shell


def proof(shell: Shell) -> tuple[str, str]:
    facts = shell.tells("terminal", "show", "C1A")
    (found,) = [one for one in facts["criteria"] if one["criterion"] == "proof pull"]
    return facts["verdict"], found["verdict"]


def test_what_moved_is_not_met_whatever_is_held_later(end: Shell) -> None:
    end.does("pull", "record", "R1", "900 N", *HELD, "--still", "--when", "2026-11-03")

    assert proof(end) == ("not accepted", "not met")


def test_what_moved_no_longer_counts_once_it_is_withdrawn(end: Shell) -> None:
    end.does("pull", "withdraw", "R1", "--reason", "it was another lug")
    end.does("pull", "record", "R1", "900 N", *HELD, "--still", "--when", "2026-11-03")

    assert proof(end) == ("not judged", "met")
    assert end.tells("terminal", "show", "C1A")["lacking"] == [
        "the recipe's proof",
        "a first reading with something to compare it with",
        "the look",
    ]


def test_what_moved_no_longer_counts_once_the_end_is_remade(end: Shell) -> None:
    end.does("terminal", "make", "C1A", "--remake", "--when", "2026-11-03")

    assert proof(end) == ("not judged", "not judged")


def test_a_proof_pull_under_a_recipe_that_did_not_make_the_terminal_is_refused(end: Shell) -> None:
    assert end.refuses("pull", "record", "R2", "900 N", *HELD, "--still") == (
        "Not written: The terminal on C1A was made by recipe R1, not by R2; record its pull under R1."
    )
