"""What a person does when something other than a reading was entered wrongly, or an end was made anew."""

import pytest

from conftest import Shell

READ = ("--at", "100 A", "--temp", "20 degC")


def test_a_limit_set_later_is_judged_and_the_readings_stay_with_the_span(bench: Shell) -> None:
    bench.does("span", "amend", "C12A/crimp", "limit_microohm=5 microohm", "--reason", "read off the drawing")

    assert bench.verdict_of("C12A/crimp")["limit_microohm"] == 5.0
    assert bench.verdict_of("C12A/crimp")["verdict"] == "over limit"  # 0.84 mV at 100 A is 8.4 microohm
    assert len(bench.readings_of("C12A/crimp")) == 1
    assert bench.does("book", "verify").startswith("Sound")


def test_a_meter_put_right_changes_the_worth_of_what_it_read(bench: Shell) -> None:
    before = bench.readings_of("C12A/crimp")[0]["u_microohm"]

    bench.does("instrument", "amend", "bench meter", "resolution=0.1 mV", "--reason", "one digit fewer")

    # three counts of 0.1 mV and half a digit are bounds of 3 and 0.5 microohm at 100 A (GUM 4.3.7); read at 31 degC:
    # sqrt(3 ** 2 + 0.5 ** 2) / sqrt(3) / 1.0432 = 1.683, of a joint that has 1 + 0.0432 / 2 of that on average
    after = bench.readings_of("C12A/crimp")[0]["u_microohm"]
    assert before < 0.3
    assert after == pytest.approx(1.683 * 1.0216, abs=0.01)


@pytest.mark.parametrize(
    ("words", "exit_code", "sentence"),
    [
        pytest.param(
            ("span", "amend", "C12A/crimp", "limit_microohm=30", "--reason", "x"), 3,
            'Not written: The resistance limit "30" has no unit; type it with its unit, like "25 microohm".',
            id="a change without its unit",
        ),
        pytest.param(
            ("span", "amend", "C12A/crmp", "place=dry", "--reason", "x"), 3,
            'The book knows no span "C12A/crmp" (did you mean C12A/crimp?); list them with `lugbook span list`.',
            id="a tag nobody knows",
        ),
        pytest.param(
            ("span", "amend", "C12A/crimp", "colour=red", "--reason", "x"), 2,
            '"colour=red" is not a change; write HEADING=VALUE with one of build, span, kind, place, cable_end, '
            "landing, duty, limit_microohm, probe_millimetre, placement_millimetre, note.",
            id="a heading nobody knows",
        ),
        pytest.param(
            ("span", "amend", "C12A/crimp", "place=bilge", "--reason", "x"), 3,
            "Not written: the book says so already.",
            id="nothing changed",
        ),
        pytest.param(
            ("span", "amend", "C12A/crimp", "place=dry", "--reason", "  "), 3,
            "Not written: the reason is blank; say why with --reason.",
            id="no reason",
        ),
        pytest.param(
            ("service", "withdraw", "C12A/crimp", "--reason", "x"), 3,
            'The book knows no service "C12A/crimp"; list them with `lugbook service list`.',
            id="a service that never was",
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_put_right_is_refused(
    bench: Shell, words: tuple[str, ...], exit_code: int, sentence: str
) -> None:
    assert bench.refuses(*words, exit_code=exit_code) == sentence


def test_a_service_withdrawn_no_longer_starts_a_series(bench: Shell) -> None:
    bench.does("service", "record", "C12A/crimp", "--done", "cleaned", "--when", "2026-11-09 15:00")
    assert bench.verdict_of("C12A/crimp")["as_made_microohm"] is None

    bench.does("service", "withdraw", "C12A/crimp", "--reason", "it was another joint")

    assert bench.verdict_of("C12A/crimp")["as_made_microohm"] == pytest.approx(8.05, abs=0.01)  # 8.4 / 1.0432


@pytest.mark.parametrize("noun", ["service", "pull"])
def test_what_was_withdrawn_can_be_recorded_anew(bench: Shell, noun: str) -> None:
    bench.does("recipe", "add", "R1", "--conductor", "2/0 AWG", "--lug", "2/0 M10", "--tool", "hand tool",
               "--die", "13 hex", "--strip", "26 mm")  # fmt: skip
    deed = {
        "service": ("C12A/crimp", "--done", "cleaned", "--when", "2026-11-09 15:00"),
        "pull": ("R1", "9.1 kN", "--failure", "conductor broke", "--sample", "1", "--when", "2026-11-09"),
    }[noun]
    bench.does(noun, "record", *deed)
    bench.does(noun, "withdraw", deed[0], "--reason", "it was another one, or so it seemed")

    bench.does(noun, "record", *deed)

    assert len(bench.tells(noun, "list")[f"{noun}s"]) == 1


@pytest.fixture
def van(bench: Shell) -> Shell:
    """The bench's book with a van besides; the boat has a cable, a landing and a span on both of them."""
    bench.does("build", "add", "Van")
    bench.does("conductor", "add", "2/0 AWG", "--size", "2/0 AWG")
    bench.does("cable", "add", "C1", "--conductor", "2/0 AWG", "--length", "1.8 m", "--build", "My boat")
    bench.does("landing", "add", "post", "--kind", "post", "--build", "My boat")
    bench.does("span", "add", "C1A/landing", "--kind", "landing", "--place", "dry", "--end", "C1A", "--landing", "post",
               "--build", "My boat")  # fmt: skip
    return bench


@pytest.mark.parametrize(
    ("noun", "tag", "held"),
    [("cable", "C1", "span"), ("landing", "post", "span"), ("span", "C12A/crimp", "reading")],
)
def test_what_others_lean_on_stays_in_its_build(van: Shell, noun: str, tag: str, held: str) -> None:
    assert van.refuses(noun, "amend", tag, "build=Van", "--reason", "entered in the wrong one") == (
        f"Not written: {noun.capitalize()} {tag} stays in My boat, where the book holds a {held} on it; "
        f"enter another {noun} in Van instead."
    )


def test_what_nothing_leans_on_may_go_to_another_build(van: Shell) -> None:
    van.does("cable", "add", "C2", "--conductor", "2/0 AWG", "--length", "1.8 m", "--build", "My boat")

    van.does("cable", "amend", "C2", "build=Van", "--reason", "entered in the wrong one")

    (moved,) = [cable for cable in van.tells("cable", "list")["cables"] if cable["cable"] == "C2"]
    assert moved["build"] == "Van"


def test_an_end_made_again_by_accident_is_refused_and_a_remade_one_starts_a_new_series(bench: Shell) -> None:
    bench.does("recipe", "add", "R1", "--conductor", "2/0 AWG", "--lug", "L", "--tool", "T", "--die", "13 hex",
               "--strip", "26 mm")  # fmt: skip
    bench.does(
        "cable", "add", "C20", "--conductor", "2/0 AWG", "--length", "1.8 m", "--from", "dry", "--to", "dry"
    )
    bench.does("terminal", "make", "C20A", "--recipe", "R1", "--when", "2026-10-01")
    bench.does("reading", "add", "C20A/crimp", "0.90 mV", *READ, "--when", "2026-10-02")

    sentence = bench.refuses("terminal", "make", "C20A")
    bench.does("terminal", "make", "C20A", "--remake", "--when", "2026-10-05")
    bench.does("reading", "add", "C20A/crimp", "0.80 mV", *READ, "--when", "2026-10-06")

    assert sentence == "C20A has a terminal already, made 2026-10-01; if it was made anew, say --remake."
    assert bench.verdict_of("C20A/crimp")["as_made_microohm"] == pytest.approx(8.0)


def test_what_was_known_on_a_day_leaves_out_what_came_later(bench: Shell) -> None:
    bench.does("reading", "add", "C12B/crimp", "0.90 mV", *READ, "--when", "2026-03-01")
    bench.does("reading", "add", "C12B/crimp", "0.95 mV", *READ, "--when", "2026-06-01")

    then = bench.tells("span", "show", "C12B/crimp", "--on", "2026-04-01")

    assert [reading["drop_millivolt"] for reading in then["readings"]] == [0.90]
    assert then["microohm_20c"] == pytest.approx(9.0)


def test_a_place_nobody_knows_is_refused_at_the_cable(bench: Shell) -> None:
    bench.does("conductor", "add", "2/0 bare", "--size", "2/0 AWG")

    sentence = bench.refuses(
        "cable", "add", "C21", "--conductor", "2/0 bare", "--length", "2 m", "--from", "drie"
    )

    assert sentence == 'Not written: from place "drie": expected one of dry, engine, bilge, exposed.'


def test_a_resolution_without_its_unit_is_refused(bench: Shell) -> None:
    sentence = bench.refuses("instrument", "add", "other meter", "--kind", "millivoltmeter", "--percent", "0.5",
                             "--counts", "2", "--resolution", "0.1")  # fmt: skip

    assert sentence == 'The resolution "0.1" has no unit; type it with its unit, like "0.01 mV".'


def make_cable(shell: Shell, tag: str) -> None:
    """Enter a cable of 2/0 with a recipe R1 for its ends."""
    shell.does("recipe", "add", "R1", "--conductor", "2/0 AWG", "--lug", "L", "--tool", "T", "--die", "13 hex",
               "--strip", "26 mm")  # fmt: skip
    shell.does("cable", "add", tag, "--conductor", "2/0 AWG", "--length", "1.8 m", "--from", "dry", "--to", "dry")


def test_a_name_that_another_row_has_is_not_given_by_amending(bench: Shell) -> None:
    entry = bench.tells("span", "list")["spans"][1]["entry"]

    sentence = bench.refuses("span", "amend", "C12A/crimp", "span=C12B/crimp", "--reason", "mixed up")

    assert sentence == (
        f'Not written: span "C12B/crimp" is in the book already, as entry {entry}; say something else here, or put '
        "that one right instead."
    )


def test_a_service_is_not_amended_into_the_same_as_another(bench: Shell) -> None:
    for day in ("2026-11-08", "2026-11-09"):
        bench.does("service", "record", "C12A/crimp", "--done", "cleaned", "--when", day)
    first, second = (service["entry"] for service in bench.tells("service", "list")["services"])

    sentence = bench.refuses("service", "amend", str(second), "serviced_at=2026-11-08", "--reason", "a day off")

    assert sentence == (
        f"Not written: the same service is in the book already, as entry {first}; say something else here, or put "
        "that one right instead."
    )


def test_a_cable_called_otherwise_keeps_its_ends_with_all_that_is_on_them(bench: Shell) -> None:
    make_cable(bench, "C20")
    bench.does("terminal", "make", "C20A", "--recipe", "R1", "--when", "2026-10-01")
    bench.does("span", "add", "C20/whole", "--kind", "cable", "--place", "dry", "--end", "C20A")
    bench.does("span", "add", "bilge joint", "--kind", "landing", "--place", "dry", "--end", "C20B")
    bench.does("reading", "add", "C20A/crimp", "0.90 mV", *READ, "--when", "2026-10-02")

    bench.does("cable", "amend", "C20", "cable=C21", "--reason", "the label says C21", "--by", "owner")

    ends = {row["span"]: row["cable_end"] for row in bench.tells("span", "list")["spans"] if row["cable_end"]}
    assert ends == {"C21A/crimp": "C21A", "C21/whole": "C21A", "bilge joint": "C21B"}
    assert [row["cable_end"] for row in bench.tells("terminal", "list")["terminals"]] == ["C21A"]
    assert [reading["drop_millivolt"] for reading in bench.readings_of("C21A/crimp")] == [0.90]
    assert bench.tells("book", "info")["rows"]["cable_end"] == 4  # both ends, as they were called before and now
    assert "C20A" not in bench.does("terminal", "list")
    assert bench.refuses("terminal", "make", "C21A").startswith("C21A has a terminal already")


def test_a_cable_is_not_called_so_that_its_span_takes_the_name_of_another(bench: Shell) -> None:
    make_cable(bench, "C20")
    bench.does("terminal", "make", "C20A", "--recipe", "R1", "--when", "2026-10-01")

    sentence = bench.refuses("cable", "amend", "C20", "cable=C12", "--reason", "the label says C12")

    assert 'span "C12A/crimp" is in the book already' in sentence


def test_a_conductor_of_another_size_has_the_area_of_that_size_unless_it_was_measured(bench: Shell) -> None:
    bench.does("conductor", "add", "by its size", "--size", "2/0 AWG")
    bench.does("conductor", "add", "measured", "--size", "2/0 AWG", "--area", "66.2 mm2")

    for name in ("by its size", "measured"):
        bench.does("conductor", "amend", name, "size=70 mm2", "--reason", "it is metric")

    areas = {row["conductor"]: row["area_mm2"] for row in bench.tells("conductor", "list")["conductors"]}
    assert areas == {"by its size": "70", "measured": "66.2"}


def test_the_last_terminal_stays_the_last_when_an_earlier_one_is_put_right(bench: Shell) -> None:
    make_cable(bench, "C20")
    bench.does("recipe", "add", "R2", "--conductor", "2/0 AWG", "--lug", "L", "--tool", "T", "--die", "12 hex",
               "--strip", "26 mm")  # fmt: skip
    bench.does("cable", "add", "C21", "--conductor", "2/0 AWG", "--length", "1.8 m")
    bench.does("terminal", "make", "C20A", "--recipe", "R1")
    bench.does("terminal", "make", "C20B", "--recipe", "R2")
    bench.does("terminal", "amend", "C20A", "note=a little skew", "--reason", "seen later")

    assert "by recipe R2" in bench.does("terminal", "make", "C21A")
