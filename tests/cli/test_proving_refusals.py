"""What is wrong with a pull, a sample, an answer or a price is said in a sentence of its own."""

import shutil
from pathlib import Path

import pytest
from freezegun import freeze_time

from conftest import NOW, Shell

PULL = ("pull", "record", "R1")
OUT = ("--failure", "pulled out")
CONFIRM = "If it is right, say --confirm (in a file: yes under confirmed)."


@pytest.fixture(scope="module")
def proving_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with a 2/0 recipe of which three samples held 9 to 9.2 kN, a 35 mm2 recipe, and a cable not made."""
    shell = Shell(tmp_path_factory.mktemp("proving"))
    with freeze_time(NOW):
        shell.does("book", "new", shell.book)
        shell.does("build", "add", "My boat")
        shell.does("conductor", "add", "2/0 tinned", "--size", "2/0 AWG", "--tinned")
        shell.does("conductor", "add", "35 mm2 tinned", "--size", "35 mm2", "--tinned")
        shell.does("lug", "add", "2/0 M10", "--barrel", "4/0 AWG")
        part = ("--lug", "2/0 M10", "--tool", "press", "--die", "13 hex", "--strip", "26 mm")
        shell.does("recipe", "add", "R1", "--conductor", "2/0 tinned", *part)
        shell.does("recipe", "add", "R3", "--conductor", "35 mm2 tinned", *part)
        for force in ("9.0 kN", "9.1 kN", "9.2 kN"):
            shell.does(*PULL, force, *OUT)
        shell.does(
            "cable", "add", "C12", "--conductor", "2/0 tinned", "--length", "1.8 m", "--from", "engine"
        )
    return shell.book


@pytest.fixture
def proving(shell: Shell, proving_book: Path) -> Shell:
    """A shell on a copy of that book."""
    shutil.copy(proving_book, shell.book)
    return shell


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        pytest.param(
            (*PULL, "9100 lbf", *OUT),
            # 9100 x 4.448 N = 40.5 kN; 35 000 psi x 67.43 mm2 = 16.3 kN.
            "sample pull 4 of R1, 9100 lbf: 40500 N is more than this conductor can hold (about 16300 N, annealed "
            f"copper): was it typed in lbf, meant in N? {CONFIRM}",
            id="a force above what the conductor can hold",
        ),
        pytest.param(
            (*PULL, "930 lbf", *OUT),
            # 930 x 4.448 N = 4137 N, 0.45 of 9100 N: as lbf are of kgf.
            "sample pull 4 of R1, 930 lbf: 4140 N is 0.45 times what the other samples held (9100 N): was it typed in "
            f"lbf, meant in kgf? {CONFIRM}",
            id="pounds for kilograms",
        ),
        pytest.param(
            (*PULL, "20 kN", *OUT),
            "sample pull 4 of R1, 20 kN: 20000 N is more than this conductor can hold (about 16300 N, annealed "
            f"copper); look again at the number and its unit. {CONFIRM}",
            id="a force by no unit that was typed",
        ),
        pytest.param(
            (*PULL, "910 N", *OUT),
            # 910 kgf are 8924 N.
            "sample pull 4 of R1, 910 N: 910 N is 0.10 times what the other samples held (9100 N): did the decimal "
            f"point slip, or was it typed in N, meant in kgf? {CONFIRM}",
            id="a tenth of the others",
        ),
        pytest.param(
            (*PULL, "0 N", *OUT),
            "sample pull 4 of R1, 0 N: 0 N is no pull; type the greatest force the sample held.",
            id="no force",
        ),
        pytest.param(
            (*PULL, "9.1 kN"),
            "failure: expected what gave way, one of conductor broke, pulled out, lug cracked, not to failure.",
            id="a pull of which nobody says how it failed",
        ),
        pytest.param(
            ("sample", "record", "R1", "--failure", "pulled out"),
            'pull force: expected a pull force like "2400 N".',
            id="a failure without its force",
        ),
        pytest.param(
            ("sample", "record", "R1", "--drop", "2.1 mV", "--at", "100 A", "--voltmeter", "MV9"),
            'voltage instrument "MV9": expected an instrument that is in this book; `lugbook instrument list` shows '
            "them.",
            id="a meter nobody knows",
        ),
        pytest.param(
            (*PULL, "9.1 kN", *OUT, "--still"),
            "Moved or still is said of a proof pull, held on a made terminal; a sample is pulled until it gives way.",
            id="a sample that did not move",
        ),
        pytest.param(
            ("recipe", "choose-standard", "R3", "--standard", "ABYC E-11"),
            "ABYC E-11 states no pull minimum for 35 mm2; IEC 61238-1 and 60 % of wire cover it: choose one.",
            id="a size the standard does not cover",
        ),
        pytest.param(
            ("recipe", "choose-standard", "R1", "--standard", "ABYC E11"),
            '"ABYC E11" is not a pull standard here (did you mean ABYC E-11?); choose ABYC E-11, UL 486A-486B, '
            "SAE AS7928, IEC 61238-1 or 60 % of wire.",
            id="a standard nobody knows",
        ),
        pytest.param(
            ("sample", "record", "R1", "--drop", "2.1 mV"),
            "A drop without its current, or a current without its drop, is no resistance; type both.",
            id="a drop without its current",
        ),
        pytest.param(
            ("sample", "record", "R1", "--drop=-2.1 mV", "--at", "100 A"),
            'millivolt drop "-2.1": expected a drop above zero.',
            id="a drop below zero",
        ),
        pytest.param(
            ("terminal", "make", "C12A", "--recipe", "R3"),
            "C12A is on a cable of 2/0 AWG, and recipe R3 is for 35 mm2; name a recipe for 2/0 AWG, or put the "
            "conductor right with `lugbook cable amend`.",
            id="a terminal by a recipe for another size",
        ),
        pytest.param(
            ("cable", "add", "C13", "--conductor", "35 mm2 tinned", "--length", "1 m", "--recipe", "R1"),
            "Cable C13 is of 35 mm2, and recipe R1 is for 2/0 AWG; name a recipe for 35 mm2, or put the "
            "conductor right with `lugbook cable amend`.",
            id="a cable planned by a recipe for another size",
        ),
        pytest.param(
            ("workmanship", "record", "all=yes", "--recipe", "R1", "--sample", "9"),
            'sample "9": expected a sample of R1 that is in this book.',
            id="an answer of a sample nobody entered",
        ),
        pytest.param(
            ("workmanship", "record", "C12A", "all=yes"),
            'cable end "C12A": expected an end on which a terminal has been made.',
            id="an answer of an end without a terminal",
        ),
        pytest.param(
            ("workmanship", "record", "C12A", "no ears=perhaps"),
            'answer "perhaps": expected one of yes, no, not applicable, not answered.',
            id="an answer that is none",
        ),
        pytest.param(
            ("price", "add", "loom", "2.40", "--per", "metre"),
            '"2.40" is not a price; type the amount and its currency in three letters, like 4.20 EUR.',
            id="a price without its currency",
        ),
    ],
)
def test_a_wrong_line_is_refused_with_what_to_do(
    proving: Shell, words: tuple[str, ...], sentence: str
) -> None:
    assert proving.refuses(*words) == f"Not written: {sentence}"


@pytest.mark.parametrize(
    ("words", "exit_code", "sentence"),
    [
        pytest.param(
            ("recipe", "show", "R11"), 3,
            'The book knows no recipe "R11" (did you mean R1?); list them with `lugbook recipe list`.',
            id="an unknown recipe",
        ),
        pytest.param(
            ("recipe", "compare", "R1", "R1"), 2,
            "One recipe alone cannot be compared; name two or more, one for each die setting tried.",
            id="one recipe",
        ),
        pytest.param(
            ("recipe", "plot", "R1", "--out", "trial.doc"), 2,
            "No picture can be drawn as 'doc'; name the file with one of svg, png, pdf.",
            id="an unknown picture",
        ),
        pytest.param(
            ("workmanship", "record", "C12A", "no ears"), 2,
            '"no ears" is no answer to a line of the checklist; type LINE=ANSWER, like "no ears=yes", or all=yes for '
            "every line.",
            id="a line without its answer",
        ),
        pytest.param(
            ("workmanship", "record", "C12A", "no ear=yes"), 2,
            '"no ear" is not on the checklist (did you mean no ears?); its lines are conductor seen, strands whole, '
            "no insulation inside, gap, bell mouth, crimps placed, no ears, no cracks, sealed, square.",
            id="an unknown line",
        ),
        pytest.param(
            ("cable", "cut-list", "C9"), 3,
            'The book knows no cable "C9"; list them with `lugbook cable list`.',
            id="an unknown cable",
        ),
        pytest.param(
            ("cable", "cut-list"), 3,
            "The list needs 1.8 m and the reels hold 0 m; add a reel.",
            id="no reel",
        ),
    ],
)  # fmt: skip
def test_a_wrong_question_is_refused_with_what_to_ask(
    proving: Shell, words: tuple[str, ...], exit_code: int, sentence: str
) -> None:
    assert proving.refuses(*words, exit_code=exit_code) == sentence


def test_a_force_that_is_right_can_be_confirmed(proving: Shell) -> None:
    proving.does(*PULL, "20 kN", *OUT, "--confirm")

    assert [pull["confirmed"] for pull in proving.tells("pull", "list")["pulls"]] == [None, None, None, "yes"]


def test_a_file_of_pulls_a_unit_off_is_refused_line_by_line(proving: Shell) -> None:
    rows = "R1,7,2026-11-01,9100,pulled out\nR1,8,2026-11-01,4150,pulled out\n"

    sentence = proving.refuses(
        "import", "pulls", proving.file("p.csv", f"recipe,sample,pulled_at,pull_newton,failure\n{rows}")
    )

    assert sentence.splitlines()[1].strip() == (
        "Line 3, pull_newton: sample pull 8 of R1, 4150 N: 4150 N is 0.46 times what the other samples held (9100 N); "
        f"look again at the number and its unit. {CONFIRM}"
    )


def reasons(shell: Shell, recipe: str) -> tuple[str, list[str]]:
    facts = shell.tells("recipe", "show", recipe)
    return facts["verdict"], [*facts["reasons"], *facts["doubts"]]


def test_no_sample_proves_nothing(proving: Shell) -> None:
    verdict, said = reasons(proving, "R3")

    assert verdict == "not judged"
    assert "No sample was pulled to failure, so nothing is known of the crimp; pull five." in said


def test_one_sample_says_nothing_of_the_scatter(proving: Shell) -> None:
    proving.does("pull", "record", "R3", "5 kN", *OUT)

    verdict, said = reasons(proving, "R3")

    assert verdict == "not judged"
    assert "One sample says nothing of the scatter: the next may hold half; pull four more." in said


def test_samples_that_are_all_equal_are_doubted(proving: Shell) -> None:
    for _ in range(5):
        proving.does("pull", "record", "R3", "5 kN", *OUT)

    verdict, said = reasons(proving, "R3")

    assert verdict == "not judged"
    assert (
        "All 5 samples read 5000 N: no crimps are so alike. Look whether the tester stopped there, or one number was "
        "copied." in said
    )


def test_forces_typed_in_two_units_are_pointed_out(proving: Shell) -> None:
    proving.does(*PULL, "920 kgf", *OUT)
    proving.does(*PULL, "2050 lbf", *OUT)

    assert (
        "The forces were typed in different units (3 in N, 1 in kgf, 1 in lbf); all were turned into newtons: look "
        "again that each was read in the unit typed." in reasons(proving, "R1")[1]
    )


def test_a_pull_whose_note_is_put_right_still_says_in_which_unit_it_was_typed(proving: Shell) -> None:
    proving.does(*PULL, "2050 lbf", *OUT)
    entry = proving.tells("pull", "list")["pulls"][-1]["entry"]

    proving.does("pull", "amend", str(entry), "note=sealant on the strands", "--reason", "seen later")

    assert "(3 in N, 1 in lbf)" in " ".join(reasons(proving, "R1")[1])


def test_a_pull_whose_force_is_put_right_says_in_which_unit_it_is_now_typed(proving: Shell) -> None:
    proving.does(*PULL, "2050 lbf", *OUT)
    entry = proving.tells("pull", "list")["pulls"][-1]["entry"]

    proving.does("pull", "amend", str(entry), "pull_newton=9050 N", "--reason", "the other column of the tester")

    assert "different units" not in " ".join(reasons(proving, "R1")[1])


def test_a_lug_whose_barrel_does_not_match_is_pointed_out(proving: Shell) -> None:
    # 67.43 mm2 in a barrel for 107.2 mm2 is 63 %.
    assert (
        "The lug's barrel is made for 4/0 AWG, and the conductor (2/0 AWG) fills 63 % of it: too loose to crimp well."
        in reasons(proving, "R1")[1]
    )


def test_a_standard_that_no_longer_covers_the_conductor_is_pointed_out(proving: Shell) -> None:
    proving.does("recipe", "choose-standard", "R1", "--standard", "abyc e-11")
    proving.does("conductor", "amend", "2/0 tinned", "size=70 mm2", "--reason", "it is metric")

    verdict, said = reasons(proving, "R1")

    assert verdict == "not judged"
    assert (
        "ABYC E-11 states no pull minimum for 70 mm2; IEC 61238-1 and 60 % of wire cover it: choose one."
        in said
    )
