"""A person with a fresh book enters their first cables by hand."""

import re
import shlex
from hashlib import sha256
from pathlib import Path

import pytest

from conftest import Shell
from invented_report import photo

README = Path(__file__).parents[2] / "README.md"


def tour_of_the_readme() -> list[list[str]]:
    """The words of each line of the first block under the five-minute heading."""
    text = README.read_text(encoding="utf-8").split("## Five minutes with it")[1]
    block = re.search(r"```\n(.*?)```", text, re.DOTALL)
    assert block is not None
    return [shlex.split(line) for line in block.group(1).splitlines() if line.startswith("lugbook ")]


def test_the_tour_of_the_readme_runs_line_by_line(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(shell.folder)
    shell.book = Path("boat.db")

    said = [shell.does(*words[1:]) for words in tour_of_the_readme()]

    assert len(said) >= 10
    assert said[0].startswith("A new book is at boat.db;")
    assert "C12A/crimp" in said[-1]


def test_the_reading_of_the_tour_is_what_ohms_law_makes_of_it(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    # 1.84 mV / 102 A = 18.03922 microohm at 31 degC; / (1 + 0.00393 * 11) = 17.29170 at 20 degC.
    monkeypatch.chdir(shell.folder)
    shell.book = Path("boat.db")
    for words in tour_of_the_readme():
        shell.does(*words[1:])

    verdict = shell.verdict_of("C12A/crimp")

    assert verdict["microohm_20c"] == pytest.approx(17.29170, rel=1e-5)
    assert verdict["verdict"] == "too few readings"


@pytest.fixture
def loom(bench: Shell) -> Shell:
    """A bench with three cables and two recipes, nothing made yet."""
    bench.does("conductor", "add", "2/0 tinned", "--size", "2/0 AWG", "--tinned")
    headings = "recipe,conductor_size,lug,tool,die,presses,strip_millimetre\n"
    rows = "R1,2/0 tinned,2/0 M10,hydraulic,13 hex,2,26\nR2,2/0 tinned,2/0 M10,hydraulic,14 hex,2,26\n"
    bench.does("import", "recipes", bench.file("recipes.csv", headings + rows))
    headings = "build,cable,conductor,length_metre,from_place,to_place\n"
    rows = "".join(f"My boat,{cable},2/0 tinned,1.80,engine,bilge\n" for cable in ("C20", "C21", "C22"))
    bench.does("import", "cables", bench.file("cables.csv", headings + rows))
    return bench


def test_a_terminal_is_made_as_the_last_one_was(loom: Shell) -> None:
    loom.does("terminal", "make", "C20A", "--recipe", "R2", "--by", "yard electrician")

    said = loom.does("terminal", "make", "C20B", "C21A", "C21B")

    assert "3 terminals entered by recipe R2, made by yard electrician: C20B, C21A, C21B." in said
    terminals = loom.tells("terminal", "list")["terminals"]
    assert {(t["recipe"], t["operator"]) for t in terminals} == {("R2", "yard electrician")}


def test_another_recipe_said_once_is_the_next_default(loom: Shell) -> None:
    loom.does("terminal", "make", "C20A", "--recipe", "R2")
    loom.does("terminal", "make", "C20B", "--recipe", "R1")

    loom.does("terminal", "make", "C21A")

    (terminal,) = loom.tells("terminal", "show", "C21A")["terminals"]
    assert terminal["recipe"] == "R1"


def test_the_first_terminal_must_say_its_recipe(loom: Shell) -> None:
    sentence = loom.refuses("terminal", "make", "C20A", exit_code=2)

    assert sentence == "Say with --recipe by which recipe it was made; nothing in the book says it yet."


def test_a_made_terminal_is_watched_at_the_place_of_its_end(loom: Shell) -> None:
    said = loom.does("terminal", "make", "C20A", "C20B", "--recipe", "R1")

    spans = {s["span"]: s["place"] for s in loom.tells("span", "list")["spans"]}
    assert "Watched from now on: C20A/crimp, C20B/crimp." in said
    assert (spans["C20A/crimp"], spans["C20B/crimp"]) == ("engine", "bilge")


def test_a_terminal_whose_place_is_not_known_says_that_nothing_watches_it(loom: Shell) -> None:
    loom.does("cable", "add", "C30", "--conductor", "2/0 tinned", "--length", "0.4 m")

    ran = loom("terminal", "make", "C30A", "--recipe", "R1")

    assert ran.exit_code == 0
    assert ran.err == (
        "No span watches C30A, since the book does not know its place; "
        "add one with `lugbook span add` or say --place.\n"
    )


def test_one_wrong_end_among_many_enters_none_of_them(loom: Shell) -> None:
    sentence = loom.refuses("terminal", "make", "C20A", "C20B", "C29A", "--recipe", "R1")

    assert sentence == 'Not written: cable end "C29A": expected a cable end of My boat (did you mean C22A?).'


def test_sample_pulls_are_numbered_on_unless_they_have_a_number(loom: Shell) -> None:
    pull = ("pull", "record", "R1", "9.1 kN", "--failure", "conductor broke")

    said = [loom.does(*pull), loom.does(*pull), loom.does(*pull, "--sample", "S9")]

    assert [line.split(":")[0] for line in said] == [
        "sample pull 1 of R1", "sample pull 2 of R1", "sample pull S9 of R1",
    ]  # fmt: skip


def test_a_proof_pull_is_held_on_a_terminal_that_exists(loom: Shell) -> None:
    loom.does("terminal", "make", "C20A", "--recipe", "R1")
    proof = ("pull", "record", "R1", "300 lbf", "--failure", "not to failure", "--held", "60 s", "--end")

    said = loom.does(*proof, "C20A")
    sentence = loom.refuses(*proof, "C20B")

    assert said.startswith("proof pull 1 of R1: 300 lbf, not to failure, entered.")
    assert sentence == 'Not written: cable end "C20B": expected an end on which a terminal has been made.'
    # 300 lbf * 4.4482216152605 N = 1334.4664845... N, exact by definition of the pound-force.
    (pull,) = loom.tells("pull", "list")["pulls"]
    assert float(pull["pull_newton"]) == pytest.approx(1334.46648457815)


def test_a_reading_takes_meters_and_round_of_the_last_one(bench: Shell) -> None:
    said = bench.does("reading", "add", "C12B/crimp", "0.86 mV", "--at", "101 A", "--temp", "30 degC")

    assert said == (
        "C12B/crimp: 0.86 mV at 101 A is entry 9, round 2026-11-09, read with bench meter and hand clamp.\n"
    )


def test_a_reading_of_another_season_begins_a_round_of_its_own(bench: Shell) -> None:
    said = bench.does(
        "reading", "add", "C12B/crimp", "0.86 mV", "--at", "101 A", "--when", "18.04.2025 23:30"
    )

    assert "round 2025-04-18," in said


def test_a_reading_without_temperature_says_what_it_costs(bench: Shell) -> None:
    said = bench.does("reading", "add", "C12B/crimp", "0.86 mV", "--at", "101 A")

    assert "No temperature: 20 °C is assumed, and the reading is worth less for it. --temp says it." in said


def test_a_photo_is_kept_by_its_digest(loom: Shell) -> None:
    loom.does("terminal", "make", "C20A", "--recipe", "R1")
    picture = loom.file("c20a.jpg", photo())

    said = loom.does("terminal", "photo", "C20A", picture)

    assert sha256(photo()).hexdigest() in said
    assert loom.refuses("terminal", "photo", "C21A", picture) == (
        "Not written: C21A has no terminal yet; make the terminal first."
    )


def test_a_photo_of_a_terminal_is_noted_once(loom: Shell) -> None:
    loom.does("terminal", "make", "C20A", "C20B", "--recipe", "R1")
    picture = loom.file("c20a.jpg", photo())
    loom.does("terminal", "photo", "C20A", picture)
    entry = loom.line_count()

    assert loom.refuses("terminal", "photo", "C20A", picture) == (
        f"The book already holds c20a.jpg of this, as entry {entry}; nothing was written."
    )
    loom.does("terminal", "photo", "C20B", picture)  # both ends in one picture
    loom.does("terminal", "photo", "C20A", loom.file("c20a 2.jpg", photo(seed=1)))


def test_saying_the_same_again_writes_nothing(loom: Shell) -> None:
    before = loom.line_count()

    said = loom.does("conductor", "add", "2/0 tinned", "--size", "2/0 AWG", "--tinned")

    assert said == "Conductor 2/0 tinned: the book already says so; nothing was written.\n"
    assert loom.line_count() == before
