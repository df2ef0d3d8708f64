"""What is typed wrong is refused in one sentence, with its exit code, and nothing is written."""

import pytest

from conftest import Shell

ADD = ("reading", "add", "C12A/crimp")
AT = ("--at", "100 A", "--temp", "31 degC")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        pytest.param(
            (*ADD, "0.84", *AT),
            'The millivolt drop "0.84" has no unit; type it with its unit, like "0.84 mV".',
            id="a number without unit",
        ),
        pytest.param(
            (*ADD, "nan mV", *AT),
            '"nan mV" is not a finite number, so it cannot be the millivolt drop; '
            'leave it out, or type what was read, like "0.84 mV".',
            id="not a number",
        ),
        pytest.param(
            (*ADD, "inf mV", *AT),
            '"inf mV" is not a finite number, so it cannot be the millivolt drop; '
            'leave it out, or type what was read, like "0.84 mV".',
            id="infinity",
        ),
        pytest.param(
            (*ADD, "1,234 mV", *AT),
            'The millivolt drop "1,234 mV" can mean 1.234 or 1234; type the one you mean, without a comma.',
            id="two meanings",
        ),
        pytest.param(
            (*ADD, "0.84 V", *AT, "--when", "2026-11-09 15:00"),
            "C12A/crimp, 840 mV at 100 A: this comes to 8400 µΩ, 1000 times above what it has read (8.40 µΩ): "
            "volts, millivolts or microvolts? Look again, and if it is right say --confirm "
            "(in a file: yes under confirmed).",
            id="a slip of a thousand up",
        ),
        pytest.param(
            (*ADD, "0.84 mV", "--at", "10 kA", "--when", "2026-11-09 15:00"),
            "C12A/crimp, 0.84 mV at 10000 A: this comes to 0.0840 µΩ, 100 times below what it has read (8.40 µΩ): "
            "a slipped decimal point? Look again, and if it is right say --confirm (in a file: yes under confirmed).",
            id="a slip of a hundred down",
        ),
        pytest.param(
            (*ADD, "0.84 mV", *AT, "--when", "2031-04-18 14:32"),
            'taken at "2031-04-18 14:32": expected a time that is not in the future.',
            id="a future date",
        ),
        pytest.param(
            ("reading", "add", "C12A/crmp", "0.84 mV", *AT),
            'span "C12A/crmp": expected a span that is in this book (did you mean C12A/crimp?).',
            id="an unknown span",
        ),
        pytest.param(
            (*ADD, "0.85 mV", *AT, "--when", "2026-11-09 14:00"),
            "0.85 mV at 100 A was read, but the book already says 0.84 mV at 100 A for this span, time and meter; "
            "amend that reading, or number this one with --repeat 2 (in a file: 2 under repeat).",
            id="a repeated reading with another value",
        ),
        pytest.param(
            (*ADD, "0.84 mV", *AT, "--voltmeter", "hand clamp"),
            'voltage instrument "hand clamp": expected a millivoltmeter; the book says it is a clamp.',
            id="a clamp as voltmeter",
        ),
        pytest.param(
            (*ADD, "0.84 mV", *AT, "--ammeter", "bench meter"),
            'current instrument "bench meter": expected a clamp or a shunt; the book says it is a millivoltmeter.',
            id="a voltmeter as ammeter",
        ),
        pytest.param(
            (*ADD, "-0.84 mV", *AT),
            'millivolt drop "-0.84": expected a drop above zero; if the current was reversed, say --polarity reverse '
            "(in a file: reverse under polarity).",
            id="a negative drop with forward polarity",
        ),
        pytest.param(
            (*ADD, "0.84 mV", *AT, "--by", "own\x1b[31mer"),
            '"own [31mer" holds the unprintable character U+001B; type it without.',
            id="an operator with an escape",
        ),
        pytest.param(
            ("build", "add", "My\tother"),
            '"My other" holds the unprintable character U+0009; type it without.',
            id="a label with a tab",
        ),
        pytest.param(
            (*ADD, "0.84 mV", *AT, "--when", "03/04/2026"),
            'The date "03/04/2026" can mean 2026-04-03 or 2026-03-04; type the one you mean.',
            id="a date with two meanings",
        ),
        pytest.param(
            ("span", "add", "C13A/crimp", "--kind", "crump", "--place", "dry"),
            'kind "crump": expected one of crimp, landing, cable, joint, check standard.',
            id="an unknown kind of span",
        ),
        pytest.param(
            ("instrument", "add", "meter", "--kind", "multimeter", "--percent", "0.5 %", "--counts", "3",
             "--resolution", "0.1 mV"),
            'kind "multimeter": expected one of millivoltmeter, clamp, shunt, thermometer, pull tester, torque wrench.',
            id="an unknown kind of instrument",
        ),
        pytest.param(
            ("pull", "record", "R9", "9.1 kN", "--failure", "pulled out"),
            'recipe "R9": expected a recipe that is in this book; `lugbook recipe list` shows them.',
            id="an unknown recipe",
        ),
        pytest.param(
            (
                *("recipe", "add", "R1", "--conductor", "thick one", "--lug", "L", "--tool", "T"),
                *("--die", "13", "--strip", "26 mm"),
            ),
            'conductor size "thick one": expected the name of a conductor, or a size like 2/0 AWG.',
            id="an unknown conductor",
        ),
    ],
)
def test_a_wrong_line_is_refused_with_what_to_type_instead(
    bench: Shell, words: tuple[str, ...], sentence: str
) -> None:
    assert bench.refuses(*words) == f"Not written: {sentence}"


def test_a_slip_that_is_true_can_be_confirmed(bench: Shell) -> None:
    bench.does(*ADD, "0.84 V", *AT, "--when", "2026-11-09 15:00", "--confirm")

    assert [r["confirmed"] for r in bench.readings_of("C12A/crimp")] == [False, True]


def test_a_reading_said_again_is_not_written_again(bench: Shell) -> None:
    before = bench.line_count()

    said = bench.does(*ADD, "0.84 mV", *AT, "--when", "2026-11-09 14:00")

    assert said == "C12A/crimp: the book already holds this reading; nothing was written.\n"
    assert bench.line_count() == before


@pytest.mark.parametrize(
    ("name", "hint"),
    [("Jürgen Weiss", " (did you mean Jürgen Weiß?)"), ("Ana", ""), ("Jürgen Weiß", None)],
)
def test_an_operator_new_in_the_book_is_said(bench: Shell, name: str, hint: str | None) -> None:
    bench.does("operator", "add", "Jürgen Weiß")

    ran = bench(*ADD, "0.84 mV", *AT, "--by", name)

    assert ran.exit_code == 0
    assert ran.err == ("" if hint is None else f'Operator "{name}" is new in this book{hint}.\n')


def test_an_operator_of_a_refused_line_is_not_said_to_be_new(bench: Shell) -> None:
    sentence = bench.refuses(*ADD, "0.84 V", *AT, "--by", "Ana")

    assert "Operator" not in sentence


def test_a_second_reading_of_one_moment_is_numbered(bench: Shell) -> None:
    bench.does(*ADD, "0.85 mV", *AT, "--when", "2026-11-09 14:00", "--repeat", "2")

    assert len(bench.readings_of("C12A/crimp")) == 2


def test_a_drop_with_reversed_current_may_be_negative(bench: Shell) -> None:
    bench.does(*ADD, "-0.84 mV", *AT, "--polarity", "reverse")

    assert [r["drop_millivolt"] for r in bench.readings_of("C12A/crimp")] == [0.84, -0.84]


@pytest.fixture
def two_builds(bench: Shell) -> Shell:
    """The bench's book with a second build that has a C12A/crimp too."""
    bench.does("build", "add", "Van")
    bench.does("span", "add", "C12A/crimp", "--kind", "crimp", "--place", "dry", "--build", "Van")
    return bench


def test_a_tag_of_two_builds_asks_for_the_build(two_builds: Shell) -> None:
    expected = "expected its build as well (--build, or a file's column build), since My boat and Van each have one"

    assert two_builds.refuses(*ADD, "0.84 mV", *AT) == f'Not written: span "C12A/crimp": {expected}.'
    assert two_builds.refuses("span", "show", "C12A/crimp") == (
        f"Span C12A/crimp: {expected}; list them with `lugbook span list`."
    )


def test_a_tag_of_two_builds_is_read_with_its_build(two_builds: Shell) -> None:
    two_builds.does(*ADD, "0.84 mV", *AT, "--build", "Van")

    van = two_builds.tells("span", "show", "C12A/crimp", "--build", "Van")
    boat = two_builds.tells("span", "show", "C12A/crimp", "--build", "My boat")
    assert (len(van["readings"]), len(boat["readings"])) == (1, 1)
    assert (van["place"], boat["place"]) == ("dry", "bilge")


def test_due_says_whose_span_it_is_where_there_are_several_builds(two_builds: Shell) -> None:
    said = two_builds.does("due")

    visits = {block.splitlines()[0]: block for block in said.split("\n\n")[1:]}
    assert "  C12A/crimp: " in visits["Visit on Van, 2026-11-10: 1 span"]
    assert any("C12A/crimp" in block for head, block in visits.items() if head.startswith("Visit on My boat"))


def test_a_span_without_its_build_is_refused_with_the_builds(two_builds: Shell) -> None:
    sentence = two_builds.refuses("span", "add", "X", "--kind", "crimp", "--place", "dry")

    assert sentence == (
        "Not written: build: expected the name of the build, with --build, or in a file's column build: My boat or Van."
    )


@pytest.mark.parametrize(
    "words", [("status",), ("due",), ("span", "list"), ("export", "spans"), ("span", "show", "C12A/crimp")]
)
def test_an_unknown_build_is_not_an_empty_one(bench: Shell, words: tuple[str, ...]) -> None:
    sentence = bench.refuses(*words, "--build", "My baot")

    assert sentence == (
        'The book knows no build "My baot" (did you mean My boat?); list them with `lugbook build list`.'
    )


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (
            ("instrument", "show", "bench metre"),
            'The book knows no instrument "bench metre" (did you mean bench meter?); '
            "list them with `lugbook instrument list`.",
        ),
        (
            ("terminal", "show", "C12A"),
            'The book knows no terminal on end "C12A"; list them with `lugbook terminal list`.',
        ),
        (
            ("span", "show", "C12A/crmp"),
            "Span C12A/crmp: expected a span that is in this book (did you mean C12A/crimp?); "
            "list them with `lugbook span list`.",
        ),
        (
            ("span", "plot", "C12A/crmp", "--out", "x.svg"),
            "Span C12A/crmp: expected a span that is in this book (did you mean C12A/crimp?); "
            "list them with `lugbook span list`.",
        ),
    ],
)
def test_what_is_not_there_is_named_with_the_nearest(
    bench: Shell, words: tuple[str, ...], sentence: str
) -> None:
    assert bench.refuses(*words) == sentence


@pytest.mark.parametrize("day", ["18.04.2031", "2031-02-30", "0001-01-01", "1969-12-31", "2201-01-01", "9999-12-31"])
def test_a_day_that_is_no_day_is_refused(bench: Shell, day: str) -> None:
    sentence = bench.refuses("status", "--on", day, exit_code=2)

    assert sentence == f"'{day}' is not a day from 1970 to 2200; write it like 2031-04-18."


@pytest.mark.parametrize("day", ["1970-01-01", "2200-12-31"])
@pytest.mark.parametrize("asked", ["status", "due", "calendar", "plot", "report"])
def test_the_first_day_and_the_last_are_days_of_everything(bench: Shell, asked: str, day: str) -> None:
    words = {
        "calendar": ("calendar", bench.folder / "visits.ics"),
        "plot": ("span", "plot", "C12A/crimp", "--out", bench.folder / "joint.svg"),
        "report": ("report", "--out", bench.folder / "out"),
    }.get(asked, (asked,))

    assert bench(*words, "--on", day).exit_code in (0, 3)


@pytest.mark.parametrize("entry", ["0", "99999", "9223372036854775807", "9223372036854775808"])
@pytest.mark.parametrize("asked", [("show",), ("show", "--budget"), ("withdraw", "--reason", "slip")])
def test_an_entry_that_is_no_reading_is_refused(bench: Shell, asked: tuple[str, ...], entry: str) -> None:
    assert entry in bench.refuses("reading", asked[0], entry, *asked[1:])


def test_a_picture_of_a_kind_that_is_not_drawn_is_refused(bench: Shell) -> None:
    sentence = bench.refuses("span", "plot", "C12A/crimp", "--out", "joint.gif", exit_code=2)

    assert sentence == "No picture can be drawn as 'gif'; name the file with one of svg, png, pdf."


def test_a_picture_is_not_drawn_into_a_folder_that_is_not_there(bench: Shell) -> None:
    out = bench.folder / "nowhere" / "joint.svg"

    sentence = bench.refuses("span", "plot", "C12A/crimp", "--out", out, exit_code=7)

    assert sentence == f"{out} could not be written; check the folder and your right to write there."


def test_a_missing_book_is_not_made_by_opening_it(shell: Shell) -> None:
    sentence = shell.refuses("status", exit_code=5)

    assert sentence == (
        f"There is no book at {shell.book}; make one with `lugbook book new {shell.book}`, or name another with --book."
    )
    assert list(shell.folder.iterdir()) == []


def test_a_new_book_does_not_take_the_place_of_anything(bench: Shell) -> None:
    sentence = bench.refuses("book", "new", bench.book, exit_code=5)

    assert sentence == (
        f"There is already something at {bench.book}, and it was left as it is; choose another name."
    )


def test_the_first_reading_says_its_meters(shell: Shell) -> None:
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "Boat")
    shell.does("span", "add", "C12A/crimp", "--kind", "crimp", "--place", "dry")

    sentence = shell.refuses(*ADD, "0.84 mV", *AT, exit_code=2)

    assert sentence == (
        "Say with --voltmeter which millivoltmeter is used (`lugbook instrument add` enters one); "
        "nothing in the book says it yet."
    )


def test_a_cable_tag_leaves_room_for_the_crimps_on_its_ends(bench: Shell) -> None:
    """A tag has at most 64 letters, and "A/crimp" is seven of them."""
    bench.does("conductor", "add", "2/0 tinned", "--size", "2/0 AWG", "--tinned")
    bench.does("recipe", "add", "R1", "--conductor", "2/0 tinned", "--lug", "2/0 M10", "--tool", "press", "--die",
               "13 hex", "--presses", "2", "--strip", "26 mm")  # fmt: skip
    made_of = ("--conductor", "2/0 tinned", "--length", "1.8 m", "--from", "engine")

    bench.does("cable", "add", "C" * 57, *made_of)
    bench.does("terminal", "make", "C" * 57 + "A", "--recipe", "R1")

    assert bench.refuses("cable", "add", "C" * 58, *made_of) == (
        f'Not written: The cable tag "{"C" * 40}..." has 58 letters; give it at most 57, so that the crimps on its '
        "ends, like C12A/crimp, can be named after it."
    )
