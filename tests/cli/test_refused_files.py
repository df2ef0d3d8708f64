"""A file with something wrong in it is refused whole, and every fault is named with its line."""

import pytest

from conftest import Shell

HEADINGS = (
    "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument"
)
GOOD = "C12B/crimp,2026,2026-04-18 14:00,0.84,100,20,bench meter,hand clamp"
CORRECT = "\nCorrect these lines, or take the sound ones with --set-aside FILE, which keeps the others there."


def refusal_of(bench: Shell, *rows: str) -> str:
    """The sentence for a file of these rows after a good one; the bad ones begin in line 3."""
    file = bench.file("spring.csv", "\n".join([HEADINGS, GOOD, *rows]) + "\n")
    sentence = bench.refuses("import", "readings", file)
    assert sentence.startswith("Nothing of spring.csv was written, because of ")
    assert sentence.endswith(CORRECT)
    return sentence.removesuffix(CORRECT).split(":\n", 1)[1]


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        pytest.param(
            "C12A/crimp,2026,2026-04-18,nan,100,20,bench meter,hand clamp",
            'drop_millivolt: "nan" is not a finite number, so it cannot be the millivolt drop; '
            'leave it out, or type what was read, like "0.84 mV".',
            id="not a number",
        ),
        pytest.param(
            "C12A/crimp,2026,2026-04-18,0.84,inf,20,bench meter,hand clamp",
            'current_ampere: "inf" is not a finite number, so it cannot be the current; '
            'leave it out, or type what was read, like "100 A".',
            id="infinity",
        ),
        pytest.param(
            "C12A/crimp,2026,2026-04-18,0.84 V,100,20,bench meter,hand clamp",
            "drop_millivolt: C12A/crimp, 840 mV at 100 A: this comes to 8400 µΩ, "
            "1000 times above what it has read (8.40 µΩ): volts, millivolts or microvolts? "
            "Look again, and if it is right say --confirm (in a file: yes under confirmed).",
            id="a slip of a thousand",
        ),
        pytest.param(
            "C12A/crimp,2026,18.04.2031 14:32,0.84,100,20,bench meter,hand clamp",
            'taken_at: read "18.04.2031 14:32"; expected a time that is not in the future.',
            id="a future date",
        ),
        pytest.param(
            "C12A/crmp,2026,2026-04-18,0.84,100,20,bench meter,hand clamp",
            'span: read "C12A/crmp"; expected a span that is in this book (did you mean C12A/crimp?).',
            id="an unknown span",
        ),
        pytest.param(
            "C12B/crimp,2026,2026-04-18 14:00,0.85,100,20,bench meter,hand clamp",
            "drop_millivolt: 0.85 mV at 100 A was read, but the book already says 0.84 mV at 100 A for this span, time "
            "and meter; amend that reading, or number this one with --repeat 2 (in a file: 2 under repeat).",
            id="a repeated reading with another value",
        ),
        pytest.param(
            "C12A/crimp,2026,2026-04-18,0.84,100,20,hand clamp,bench meter",
            'voltage_instrument: read "hand clamp"; expected a millivoltmeter; the book says it is a clamp.',
            id="meters in each other's place",
        ),
        pytest.param(
            "C12A/crimp,2026,2026-04-18,-0.84,100,20,bench meter,hand clamp",
            'drop_millivolt: read "-0.84"; expected a drop above zero; if the current was reversed, say '
            "--polarity reverse (in a file: reverse under polarity).",
            id="a negative drop",
        ),
        pytest.param(
            "C12A/crimp,20\x0726,2026-04-18,0.84,100,20,bench meter,hand clamp",
            'round: "20 26" holds the unprintable character U+0007; type it without.',
            id="a bell in a label",
        ),
        pytest.param(
            "C12A/crimp,2026,2026-04-18,0.84,,20,bench meter,hand clamp",
            'current_ampere: the cell is empty; expected a current like "100 A".',
            id="an empty cell",
        ),
    ],
)
def test_a_wrong_line_is_named(bench: Shell, row: str, sentence: str) -> None:
    assert refusal_of(bench, row) == f"  Line 3, {sentence}"


def test_all_faults_are_named_at_once_whatever_their_kind(bench: Shell) -> None:
    said = refusal_of(
        bench,
        "C12A/crimp,2026,2026-04-18,nan,100,20,bench meter,hand clamp",
        "C12A/crmp,2026,2026-04-18,0.84,100,20,bench meter,hand clamp",
        "C12A/crimp,2026,2031-04-18,0.84,100,20,bench meter,hand clamp",
    )

    assert [line.split(":")[0] for line in said.splitlines()] == [
        "  Line 3, drop_millivolt", "  Line 4, span", "  Line 5, taken_at",
    ]  # fmt: skip


def test_a_slip_in_a_file_can_be_confirmed(bench: Shell) -> None:
    text = f"{HEADINGS},confirmed\nC12A/crimp,2026,2026-04-18,0.84 V,100,20,bench meter,hand clamp,yes\n"

    assert (
        bench.does("import", "readings", bench.file("spring.csv", text)) == "spring.csv: 1 reading entered.\n"
    )


def test_a_comma_with_two_meanings_is_asked_about(bench: Shell) -> None:
    row = 'C12A/crimp,2026,2026-04-18,"1,234",100,20,bench meter,hand clamp'
    file = bench.file("spring.csv", f"{HEADINGS}\n{row}\n")

    assert bench.refuses("import", "readings", file) == (
        'Nothing of spring.csv was written. Line 2: "1,234" has two meanings, '
        "and no other number in the file says which; "
        "add --decimal comma or --decimal point."
    )


def test_a_cut_file_is_refused(bench: Shell) -> None:
    file = bench.file("spring.csv", f"{HEADINGS}\n{GOOD}\nC12A/crimp,2026,2026-04-18,0.8")

    assert bench.refuses("import", "readings", file) == (
        "Nothing of spring.csv was written. The last line does not end; the file may be cut. "
        "Copy it again, or add a line end if it is whole."
    )


def test_a_file_without_a_needed_heading_is_refused_with_its_name(bench: Shell) -> None:
    file = bench.file("spring.csv", f"{HEADINGS.replace(',round', '')}\n")

    assert bench.refuses("import", "readings", file) == (
        "Nothing of spring.csv was written. Line 1 lacks headings that a table of readings needs: add round."
    )


def test_an_unknown_kind_is_named_with_the_nearest(bench: Shell) -> None:
    file = bench.file("spring.csv", f"{HEADINGS}\n{GOOD}\n")

    assert bench.refuses("import", "reading", file, exit_code=2) == (
        "'reading' is not a kind of table (did you mean readings?); the kinds are builds, conductors, lugs, tools, "
        "operators, instruments, ranges, recipes, cables, landings, terminals, spans, readings, pulls, services, "
        "samples, answers, reels, prices."
    )


def test_a_missing_file_is_named(bench: Shell) -> None:
    file = bench.folder / "sprnig.csv"

    assert bench.refuses("import", "readings", file) == (
        f"There is no file at {file} that can be read; check the name."
    )


def test_a_decimal_mark_is_comma_or_point(bench: Shell) -> None:
    file = bench.file("spring.csv", f"{HEADINGS}\n{GOOD}\n")

    assert "'dot' is not one of 'comma', 'point'" in bench.refuses(
        "import", "readings", file, "--decimal", "dot", exit_code=2
    )


def test_refused_lines_are_not_set_aside_over_something(bench: Shell) -> None:
    file = bench.file("spring.csv", f"{HEADINGS}\n{GOOD}\n")
    aside = bench.file("aside.csv", "mine\n")

    sentence = bench.refuses("import", "readings", file, "--set-aside", aside, exit_code=7)

    assert sentence == f"There is already something at {aside}, and it was left as it is; name another file."
    assert aside.read_text() == "mine\n"


def test_refused_lines_are_not_set_aside_where_there_is_no_folder(bench: Shell) -> None:
    file = bench.file("spring.csv", f"{HEADINGS}\n{GOOD}\n")
    aside = bench.folder / "nowhere" / "aside.csv"

    sentence = bench.refuses("import", "readings", file, "--set-aside", aside, exit_code=7)

    assert sentence == f"{aside} could not be written; check the folder and your right to write there."


def test_an_export_into_a_file_used_as_a_folder_is_refused(bench: Shell) -> None:
    target = bench.file("spring.csv", "x\n") / "all.csv"

    sentence = bench.refuses("export", "readings", target, exit_code=7)

    assert sentence == f"{target} could not be written; check the folder and your right to write there."


def test_a_recipe_of_an_unknown_conductor_is_named_by_line_and_column(bench: Shell) -> None:
    headings = "recipe,conductor_size,lug,tool,die,presses,strip_millimetre\n"

    sentence = bench.refuses("import", "recipes", bench.file("r.csv", f"{headings}R1,thick,L,T,13,2,26\n"))

    assert sentence == (
        "Nothing of r.csv was written, because of one fault:\n"
        '  Line 2, conductor_size: read "thick"; expected the name of a conductor, or a size like 2/0 AWG.'
        + CORRECT
    )


@pytest.mark.parametrize("kind", ["builds", "readings", "services"])
def test_the_headings_of_a_kind_are_told_without_a_book(shell: Shell, kind: str) -> None:
    said = shell.does("import", kind, "--headings")

    assert said.splitlines()[0].split() == ["heading", "what", "it", "is"]
    assert not shell.book.exists()
