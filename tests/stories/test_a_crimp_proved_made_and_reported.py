"""The whole way of a crimp: tried, chosen, made, accepted, and told in a report."""

from pathlib import Path

import pytest

from conftest import Shell
from parsed_page import Page
from proved_crimp import enter_trial, make_cable


@pytest.fixture
def made(shell: Shell) -> Shell:
    """A shell on a book with the trial, and a cable made by the die that won."""
    enter_trial(shell)
    make_cable(shell)
    return shell


def test_from_the_trial_to_a_terminal_that_is_accepted(shell: Shell) -> None:
    enter_trial(shell)
    chosen = shell.tells("recipe", "compare", "R12", "R13", "R14", "R15")["chosen"]
    assert chosen == "R13"
    assert shell.tells("recipe", "show", chosen)["verdict"] == "qualified"

    make_cable(shell)
    before = shell.tells("terminal", "show", "C12A")
    assert (before["verdict"], before["lacking"]) == ("not judged", ["the look"])

    shell.does("workmanship", "record", "C12A", "all=yes", "sealed=not applicable", "--by", "owner")
    shell.does("pull", "record", chosen, "900 N", "--end", "C12A", "--held", "60 s", "--still", "--by", "owner")

    assert shell.tells("terminal", "show", "C12A")["verdict"] == "accepted"
    assert "accepted: 7 of 7 criteria met" in shell.does("terminal", "show", "C12A")
    assert shell.tells("book", "verify")["sound"] is True


@pytest.mark.parametrize("page", [(), ("--cable", "C90"), ("--span", "C90A/crimp")])
def test_a_report_says_of_a_soldered_joint_that_it_is_not_crimped(made: Shell, page: tuple[str, ...]) -> None:
    part = ("--conductor", "2/0 tinned", "--lug", "old lug", "--tool", "iron", "--strip", "20 mm", "--die", "none")
    made.does("recipe", "add", "old", *part, "--joined", "soldered")
    made.does("cable", "add", "C90", "--conductor", "2/0 tinned", "--length", "1 m", "--from", "bilge")
    made.does("terminal", "make", "C90A", "--recipe", "old")
    made.does("reading", "add", "C90A/crimp", "2.10 mV", "--at", "100 A", "--temp", "20 degC")

    written = Path(made.tells("report", "--out", made.folder / "out", *page)["html"])

    assert "soldered, not crimped" in " ".join(Page(written.read_text(encoding="utf-8")).texts)


def test_a_report_tells_a_recipe_with_all_that_was_said_of_it(made: Shell) -> None:
    made.does("recipe", "amend", "R13", "press_order=the lug's side first", "crimp_millimetre=13.2 mm",
              "--reason", "measured")  # fmt: skip

    written = Path(made.tells("report", "--out", made.folder / "out")["html"])

    said = " ".join(" ".join(Page(written.read_text(encoding="utf-8")).texts).replace("\u00a0", " ").split())
    for words in (
        "strands class 5", "lug 2/0 M10, wall 1.8 mm", "presses 2, the lug's side first", "across the crimp 13.2 mm",
        "DL/T 765.1, written for piercing clamps, used here by analogy, 2001 edition",
    ):  # fmt: skip
        assert words in said


def test_a_report_holds_the_recipes_of_one_conductor_against_each_other(made: Shell) -> None:
    written = Path(made.tells("report", "--out", made.folder / "out")["html"])

    page = Page(written.read_text(encoding="utf-8"))
    compared = made.does("recipe", "compare", "R12", "R13", "R14", "R15")
    said = [text.replace("\u00a0", " ") for text in page.texts]
    place = said.index("R12, R13, R14, R15: use R13.")
    assert said[place - 1].startswith("Recipes compared: 2/0 AWG")
    assert said[place + 1] in " ".join(compared.split())
    assert "Pulls and resistances of their samples, by die setting." in said
    assert not [text for text in said if text.startswith("Pulls of samples of")]


def test_a_recipe_that_alone_was_pulled_keeps_its_own_picture(made: Shell) -> None:
    for name in ("R12", "R14", "R15"):
        for number in range(1, 6):
            (entry,) = [
                pull["entry"] for pull in made.tells("pull", "list")["pulls"]
                if (pull["recipe"], pull["sample"]) == (name, str(number))
            ]  # fmt: skip
            made.does("pull", "withdraw", str(entry), "--reason", "a wrong sheet")

    written = Path(made.tells("report", "--out", made.folder / "out")["html"])

    texts = Page(written.read_text(encoding="utf-8")).texts
    assert "Pulls of samples of R13, by die setting." in texts
    assert not [text for text in texts if text.startswith("Recipes compared")]
