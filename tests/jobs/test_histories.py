"""All that ever happened to one span, in one view."""

from typing import Any

from conftest import Shell
from invented_report import photo

READ = ("--at", "100 A", "--temp", "20 degC")


def events_of(shell: Shell, span: str, *words: str) -> list[Any]:
    """The events of a span."""
    return list(shell.tells("history", span, *words)["events"])


def make_crimp(shell: Shell) -> None:
    """Put a terminal on C12A by recipe R1, and let C12A/crimp be on that end."""
    shell.does("recipe", "add", "R1", "--conductor", "2/0", "--lug", "2/0 M10", "--tool", "press", "--die", "13 hex",
               "--presses", "2", "--strip", "26 mm")  # fmt: skip
    shell.does("cable", "add", "C12", "--conductor", "2/0", "--length", "1.8 m")
    shell.does("terminal", "make", "C12A", "--recipe", "R1", "--when", "2026-01-05", "--by", "owner")
    shell.does("span", "amend", "C12A/crimp", "cable_end=C12A", "--reason", "its end was not named")


def test_found_done_and_left_are_one_command_and_stand_in_order(bench: Shell) -> None:
    make_crimp(bench)

    said = bench.does("service", "record", "C12A/crimp", "--done", "remade", "--found", "1.90 mV", "--left", "0.80 mV",
                      *READ, "--by", "owner", "--note", "green under the shrink")  # fmt: skip

    assert said == (
        "C12A/crimp: remade, entered with 2 readings; a new series starts here.\n"
        "C12A has a new terminal by recipe R1.\n"
    )
    told = [(e["what"], e["series"], e["says"]) for e in events_of(bench, "C12A/crimp")[-4:]]
    assert told == [
        ("reading", 0, None),
        ("service", None, "remade; green under the shrink"),
        ("terminal", None, "made by recipe R1"),
        ("reading", 1, None),
    ]
    assert len(bench.tells("terminal", "list")["terminals"]) == 2


def test_the_word_remade_may_be_typed_with_a_capital(bench: Shell) -> None:
    make_crimp(bench)

    said = bench.does("service", "record", "C12A/crimp", "--done", "Remade")

    assert said.startswith("C12A/crimp: remade, entered")
    assert "C12A has a new terminal by recipe R1." in said
    assert "No terminal was entered" in bench.does("service", "record", "C12B/crimp", "--done", "Remade")
    assert len(bench.tells("terminal", "list")["terminals"]) == 2


def test_a_terminal_made_anew_is_bolted_where_the_one_before_it_was(bench: Shell) -> None:
    make_crimp(bench)
    for landing in ("start post", "bus bar"):
        bench.does("landing", "add", landing, "--kind", "post")
    bench.does("terminal", "make", "C12B", "--recipe", "R1", "--landing", "start post", "--when", "2026-01-05")

    bench.does("terminal", "make", "C12B", "--remake", "--when", "2026-02-05")
    bench.does("terminal", "make", "C12B", "--remake", "--when", "2026-03-05", "--landing", "bus bar")
    bench.does("terminal", "make", "C12A", "--remake", "--when", "2026-04-05")

    landings = [(row["cable_end"], row["landing"]) for row in bench.tells("terminal", "list")["terminals"]]
    assert landings == [
        ("C12A", None), ("C12B", "start post"), ("C12B", "start post"), ("C12B", "bus bar"), ("C12A", None),
    ]  # fmt: skip


def test_an_end_made_anew_starts_no_series_on_an_end_of_the_same_tag_in_another_build(bench: Shell) -> None:
    make_crimp(bench)
    bench.does("build", "add", "Dinghy")
    bench.does("cable", "add", "C12", "--conductor", "2/0", "--length", "1 m", "--build", "Dinghy", "--from", "dry")
    bench.does("terminal", "make", "C12A", "--recipe", "R1", "--when", "2026-01-06", "--build", "Dinghy")

    bench.does("terminal", "make", "C12A", "--remake", "--when", "2026-02-06", "--build", "Dinghy")

    services = [(row["build"], row["span"]) for row in bench.tells("service", "list")["services"]]
    assert services == [("Dinghy", "C12A/crimp")]


def test_work_on_a_span_of_one_build_makes_its_terminal_there(bench: Shell) -> None:
    make_crimp(bench)
    bench.does("span", "amend", "C12A/crimp", "span=starter", "--reason", "its own name")
    bench.does("build", "add", "Dinghy")
    bench.does("cable", "add", "C12", "--conductor", "2/0", "--length", "1 m", "--build", "Dinghy")

    bench.does("service", "record", "starter", "--done", "remade")

    assert [row["build"] for row in bench.tells("terminal", "list")["terminals"]] == ["My boat", "My boat"]


def test_a_crimp_watched_under_a_name_of_its_own_is_not_watched_twice(bench: Shell) -> None:
    make_crimp(bench)
    bench.does("span", "amend", "C12A/crimp", "span=starter", "--reason", "its own name")

    said = bench.does("terminal", "make", "C12A", "--remake", "--place", "bilge")

    assert "Watched from now on" not in said
    assert [row["action"] for row in bench.tells("service", "list")["services"]] == ["remade"]


def test_another_recipe_can_be_named(bench: Shell) -> None:
    make_crimp(bench)
    bench.does("recipe", "add", "R2", "--conductor", "2/0", "--lug", "2/0 M10", "--tool", "press", "--die", "12 hex",
               "--presses", "3", "--strip", "26 mm")  # fmt: skip

    bench.does("service", "record", "C12A/crimp", "--done", "remade", "--recipe", "R2")

    assert bench.tells("terminal", "list")["terminals"][-1]["recipe"] == "R2"


def test_a_crimp_of_which_no_recipe_is_known_gets_no_terminal_and_it_is_said(bench: Shell) -> None:
    said = bench.does("service", "record", "C12A/crimp", "--done", "remade")

    assert said.splitlines()[1] == (
        "No terminal was entered, since no recipe is known; `lugbook terminal make --remake` enters one."
    )
    assert bench.tells("terminal", "list")["terminals"] == []


def test_a_landing_that_was_re_torqued_keeps_its_terminal(bench: Shell) -> None:
    make_crimp(bench)
    bench.does("span", "add", "C12A/landing", "--kind", "landing", "--place", "bilge", "--end", "C12A")

    bench.does("service", "record", "C12A/landing", "--done", "re-torqued", "--torque", "12 N m")

    assert [(e["what"], e["says"]) for e in events_of(bench, "C12A/landing")] == [
        ("terminal", "made by recipe R1"),
        ("service", "re-torqued to 12 N m"),
    ]


def test_work_with_a_torque_says_what_was_torqued(bench: Shell) -> None:
    bench.does("service", "record", "C12A/crimp", "--done", "cleaned", "--torque", "12 N m")

    assert events_of(bench, "C12A/crimp")[-1]["says"] == "cleaned, torqued to 12 N m"


def test_a_remade_crimp_with_a_refused_reading_gets_no_terminal_either(bench: Shell) -> None:
    make_crimp(bench)

    bench.refuses("service", "record", "C12A/crimp", "--done", "remade", "--left", "0.8", *READ)

    assert len(bench.tells("terminal", "list")["terminals"]) == 1


def test_corrections_and_withdrawals_are_told_with_what_stood_before(bench: Shell) -> None:
    entry = bench.readings_of("C12A/crimp")[0]["entry"]
    bench.does(
        "reading", "amend", str(entry), "--drop", "0.48 mV", "--reason", "digits swapped", "--by", "mate"
    )
    bench.does("reading", "withdraw", str(entry + 2), "--reason", "probes on the wrong lug")

    told = [(e["what"], e["entry"], e["says"], e["by"]) for e in events_of(bench, "C12A/crimp")]

    assert told == [
        ("corrected", entry, "reading, drop millivolt 0.48 instead of 0.84: digits swapped", "mate"),
        ("withdrawn", entry + 2, "the reading 0.48 mV at 100 A: probes on the wrong lug", None),
    ]


def test_a_skip_and_a_photo_stand_in_it(bench: Shell) -> None:
    make_crimp(bench)
    bench.does("terminal", "photo", "C12A", bench.file("c12a.jpg", photo()))
    bench.does("round", "open", "spring", "--at", "100 A")
    bench.does("round", "enter", typed="g C12A/crimp\ns behind the tank\nq\n")

    told = {e["what"]: e["says"] for e in events_of(bench, "C12A/crimp")}

    assert told["photo"] == "c12a.jpg"
    assert told["skipped"] == "not read in round spring: behind the tank"


def test_it_is_told_until_a_day_and_of_a_span_without_anything_too(bench: Shell) -> None:
    make_crimp(bench)

    assert [e["what"] for e in events_of(bench, "C12A/crimp", "--on", "2026-02-01")] == [
        "corrected",
        "terminal",
    ]
    assert bench.does("history", "C12B/crimp").splitlines()[-1] == "Nothing has happened to it yet."
    assert bench.does("history", "C12A/crimp").splitlines()[-1].split()[:2] == ["2026-11-09", "14:00"]


def test_an_unknown_span_is_refused_with_the_nearest(bench: Shell) -> None:
    assert bench.refuses("history", "C12/crimp") == (
        "Span C12/crimp: expected a span that is in this book (did you mean C12B/crimp?); list them with "
        "`lugbook span list`."
    )
