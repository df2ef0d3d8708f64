"""What goes to standard output and what to standard error, for people and for programs."""

import json
import os
import shlex
import subprocess
import sys

import pytest

from conftest import Shell

HEADINGS = (
    "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument\n"
)
NOUNS = (
    *("reading", "span", "service", "terminal", "pull", "recipe", "cable", "build", "landing"),
    *("conductor", "lug", "tool", "instrument", "operator", "sample", "workmanship", "reel", "price"),
)
HOSTILE = (
    "=1+1",
    "<b>bold</b>",
    "$x$ $\\frac$",
    "καλώδιο Ω",
    "电缆 12",
    "+BATT & -BATT",
    "100%|a;b,c",
    "'quoted\"",
)


def lugbook(shell: Shell, *words: str, piped_to: str = "", **env: str) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own."""
    whole = {**os.environ, "LUGBOOK_BOOK": str(shell.book), **env}
    command = [sys.executable, "-m", "lugbook", *words]
    if piped_to:
        command = ["bash", "-c", f"set -o pipefail; {shlex.join(command)} | {piped_to}"]
    return subprocess.run(command, capture_output=True, text=True, env=whole, check=False)


@pytest.mark.parametrize(
    "words",
    [
        *(("status",), ("due",), ("book", "info"), ("book", "verify"), ("span", "show", "C12A/crimp")),
        *((noun, "list") for noun in NOUNS),
        *(("export", kind) for kind in ("spans", "readings", "pulls")),
        ("instrument", "show", "bench meter"),
    ],
    ids=" ".join,
)
def test_json_is_all_there_is_on_standard_output(bench: Shell, words: tuple[str, ...]) -> None:
    ran = bench(*words, "--json")

    assert (ran.exit_code, ran.err) == (0, "")
    assert isinstance(ran.facts, dict)


def test_json_of_an_import_keeps_its_messages_on_standard_error(bench: Shell) -> None:
    row = "C12A/crmp,2026,2026-04-18,0.84,100,20,bench meter,hand clamp\n"
    file = bench.file("spring.csv", HEADINGS + row)

    ran = bench("import", "readings", file, "--set-aside", bench.folder / "aside.csv", "--json")

    assert ran.facts["refused"] == [
        'Line 2, span: read "C12A/crmp"; expected a span that is in this book (did you mean C12A/crimp?).'
    ]
    assert (ran.facts["new"], ran.facts["present"]) == (0, 0)


def test_a_refusal_leaves_standard_output_empty_even_with_json(bench: Shell) -> None:
    ran = bench("span", "show", "C12A/crmp", "--json")

    assert (ran.exit_code, ran.out) == (3, "")
    assert ran.err.startswith("Span C12A/crmp: ")


def test_status_exits_0_whatever_it_finds_unless_asked(sallowmere: Shell) -> None:
    assert sallowmere("status").exit_code == 0
    assert sallowmere("status", "--exit-code").exit_code == 10
    assert sallowmere("status", "--json", "--exit-code").exit_code == 10


def test_status_as_json_names_the_worst_first_as_on_the_screen(sallowmere: Shell) -> None:
    facts = [(facts["span"], facts["verdict"]) for facts in sallowmere.tells("status")["spans"]]
    shown = sallowmere.does("status")

    assert facts[0][1] == "creeping"  # nothing of the sample boat is over a limit
    places = [shown.index(f"\n{span} ") for span, _ in facts]
    assert places == sorted(places)


def test_status_with_exit_code_is_0_where_nothing_needs_a_person(bench: Shell) -> None:
    assert bench("status", "--exit-code").exit_code == 0


def test_a_book_without_spans_says_what_to_do(shell: Shell) -> None:
    shell.does("book", "new", shell.book)

    assert shell.does("status") == (
        "No spans in this book yet; add one with `lugbook span add`, or bring a file in with `lugbook import`.\n"
    )
    assert shell.tells("status") == {"spans": [], "rounds": []}
    assert shell.tells("due") == {"accepted_risk_percent": None, "due": [], "visits": []}


def test_a_build_without_spans_is_named(bench: Shell) -> None:
    bench.does("build", "add", "Petrel")

    assert bench.does("status", "--build", "Petrel").startswith("No spans of build Petrel in this book yet; add one")
    assert bench.does("span", "list", "--build", "Petrel") == "No spans of build Petrel in this book yet.\n"
    assert bench.does("round", "list", "--build", "Petrel").startswith("No rounds of build Petrel in this book yet;")
    assert bench.does("lug", "list", "--build", "Petrel") == "No lugs in this book yet.\n"


def test_of_what_nobody_was_named_for_it_is_said(bench: Shell) -> None:
    entry = str(bench.readings_of("C12A/crimp")[0]["entry"])

    named = bench.does("reading", "add", "C12B/crimp", "0.86 mV", "--at", "101 A", "--temp", "31 degC", "--by", "mate")

    assert "nobody named" in bench.does("reading", "show", entry)
    assert "operator" not in bench.tells("reading", "show", entry)
    assert named.endswith("read with bench meter and hand clamp, by mate.\n")


def test_times_are_listed_on_the_clocks_of_the_build(bench: Shell) -> None:
    # 14:00 was typed in Lisbon, which is on UTC in November; 18 April is on UTC+1.
    bench.does("reading", "add", "C12A/crimp", "0.84 mV", "--at", "100 A", "--when", "2026-04-18 14:32")

    assert "2026-04-18 14:32" in bench.does("reading", "list")
    assert "2026-04-18T13:32:00.000000Z" in bench.does("export", "readings")


def test_a_list_leaves_out_columns_that_say_nothing(bench: Shell) -> None:
    headings = bench.does("reading", "list").splitlines()[0]

    assert "polarity" not in headings
    assert "drop mV" in headings


def test_one_of_a_thing_is_not_plural(bench: Shell) -> None:
    bench.does("build", "add", "Van")
    bench.does("span", "add", "X", "--kind", "joint", "--place", "dry", "--build", "Van")

    assert "Van: 1 span; 1 not judged" in bench.does("status", "--build", "Van")


@pytest.mark.parametrize("label", HOSTILE)
def test_a_hostile_label_passes_through_list_show_plot_and_export(bench: Shell, label: str) -> None:
    bench.does("span", "add", "--kind", "joint", "--place", "dry", "--", label)
    bench.does(
        "reading",
        "add",
        "--at",
        "100 A",
        "--temp",
        "20 degC",
        "--by",
        label,
        "--note",
        label,
        "--",
        label,
        "0.84 mV",
    )

    picture = bench.folder / "joint.svg"
    bench.does("span", "plot", "--out", picture, "--", label)

    assert label in bench.does("span", "list")
    assert label in bench.does("status")
    shown = json.loads(bench.does("span", "show", "--json", "--", label))
    assert (shown["span"], shown["readings"][0]["note"]) == (label, label)
    assert picture.read_bytes().startswith(b"<?xml")
    assert b"<b>" not in picture.read_bytes()
    again = bench.folder / "spans.csv"
    bench.does("export", "spans", again)
    assert bench.does("import", "spans", again) == "spans.csv: 0 spans entered, 3 the book already had.\n"


def test_wide_letters_keep_the_columns_in_line(bench: Shell) -> None:
    bench.does("span", "add", "电缆", "--kind", "joint", "--place", "dry")

    lines = bench.does("span", "list").splitlines()

    assert lines[2].index("bilge") == lines[4].index("dry") + 2  # two letters, four columns


def test_no_escape_sequence_is_ever_printed(sallowmere: Shell) -> None:
    assert "\x1b" not in sallowmere.does("status") + sallowmere.does("due")


def test_status_piped_into_head_ends_quietly(sallowmere: Shell) -> None:
    ran = lugbook(sallowmere, "status", piped_to="head -n 1")

    assert ran.stdout.startswith("Sallowmere: 126 spans;")
    assert ran.stderr == ""


def test_no_escape_sequence_is_printed_where_colour_is_forced(sallowmere: Shell) -> None:
    ran = lugbook(sallowmere, "status", FORCE_COLOR="1")

    assert ran.returncode == 0
    assert "\x1b" not in ran.stdout + ran.stderr


def test_a_refusal_in_a_process_of_its_own_is_one_sentence(shell: Shell) -> None:
    ran = lugbook(shell, "status")

    assert (ran.returncode, ran.stdout) == (5, "")
    assert ran.stderr.startswith(f"There is no book at {shell.book};")
    assert "Traceback" not in ran.stderr
    assert not shell.book.exists()


@pytest.mark.parametrize(
    "encoding", [{"LC_ALL": "C"}, {"PYTHONIOENCODING": "cp1252"}, {"PYTHONIOENCODING": "cp850:strict"}], ids=str
)
def test_other_letters_come_out_as_utf_8_whatever_the_machine_writes_in(
    bench: Shell, encoding: dict[str, str]
) -> None:
    bench.does("span", "add", "καλώδιο", "--kind", "joint", "--place", "dry")

    ran = lugbook(bench, "status", **encoding, PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")

    assert ran.returncode == 0, ran.stderr
