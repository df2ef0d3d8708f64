"""What a round came to: missing, meters, what moved, what to do."""

import pytest

from conftest import Shell
from forty_spans import SPANS, drop_of


@pytest.fixture
def opened(forty: Shell) -> Shell:
    """The boat of forty spans with a check standard, its round open at 100 A."""
    forty.does("span", "add", "CS1", "--kind", "check standard", "--place", "dry")
    forty.does("round", "open", "spring", "--at", "100 A", "--by", "owner")
    return forty


def enter(shell: Shell, first: str, last: str, factor: float = 1.0) -> None:
    """Read the check standard, all spans (y where it is doubted), and the check standard again."""
    drops = [f"{factor * float(drop_of(number)):.3f}" for number in range(len(SPANS))]
    rows = ["CS1", *SPANS, "CS1"]
    stops = range(1, len(rows) + 1)
    lines = [
        f"{stop},{span},{drop},100,20,yes\n"
        for stop, span, drop in zip(stops, rows, [first, *drops, last], strict=True)
    ]
    heading = "stop,span,drop_millivolt,current_ampere,joint_celsius,confirmed\n"
    shell.does("round", "import", shell.file("filled.csv", heading + "".join(lines)))


def test_a_check_standard_that_reads_more_at_the_end_is_said(opened: Shell) -> None:
    enter(opened, "75.0", "77.0")

    closed = opened.does("round", "close").splitlines()

    assert closed[1] == "42 of 42 stops read."
    # 77 / 75 is 2.7 % more; two readings alone, counts of 0.18 % and the clamp's, are known to 0.3 %.
    assert any(
        line.startswith(
            "Round spring: the check standard read 2.7 % more at the end than at the beginning (± "
        )
        and line.endswith("a meter or the current drifted on the way; read the round again.")
        for line in closed
    )


def test_a_round_in_which_all_spans_read_high_is_laid_to_the_meters(opened: Shell) -> None:
    enter(opened, "75.0", "75.0", factor=1.04)

    report = opened.tells("round", "close")

    assert any("all 40 spans read" in sentence and "high" in sentence for sentence in report["said"])
    assert report["to_do"] == []


def test_a_round_without_its_check_standard_is_said(opened: Shell) -> None:
    opened.does("round", "enter", typed=f"75 20C\n{drop_of(0)}\nq\n")

    closed = opened.does("round", "close")

    assert "Round spring did not both begin and end with a check standard; a meter that drifted" in closed
    assert "Missing: C01B/crimp, " in closed
    assert closed.splitlines()[2].endswith("C20B/crimp, CS1 at the end.")


def test_a_round_in_which_nothing_was_read_can_be_closed(opened: Shell) -> None:
    closed = opened.does("round", "close", "--note", "it rained").splitlines()

    assert closed[:2] == ["Round spring of Kittiwake is closed.", "0 of 42 stops read."]
    assert opened.tells("round", "show", "spring")["state"] == "closed"


def test_a_round_that_came_with_its_readings_is_shown_too(forty: Shell) -> None:
    shown = forty.does("round", "show", "2025").splitlines()

    assert shown[:2] == ["round  2025, Kittiwake", "state  came with its readings"]
    assert "40 of 40 stops read." in shown


def test_an_old_round_entered_late_is_closed_with_what_is_due_and_when(bench: Shell) -> None:
    bench.does("reading", "withdraw", str(bench.readings_of("C12A/crimp")[0]["entry"]), "--reason", "of the other boat")
    bench.does("round", "open", "spring 2023", "--when", "2023-04-15 09:00",
               "--voltmeter", "bench meter", "--ammeter", "hand clamp")  # fmt: skip
    for tag in ("C12A/crimp", "C12B/crimp"):
        bench.does("reading", "add", tag, "0.84 mV", "--at", "100 A", "--temp", "20 degC", "--when", "2023-04-15 09:05")

    ran = bench("round", "close")

    # Of a round closed there is nothing to close, and of the first round nothing to compare with.
    assert ran.err == ""
    assert "The meters read as" not in ran.out
    # A year after a first reading in a bilge at the latest, in days: 2023-04-15 + 365.
    tasks = bench.tells("round", "show", "spring 2023")["to_do"]
    assert [(task["span"], task["due_on"]) for task in tasks] == [
        ("C12A/crimp", bench.verdict_of("C12A/crimp")["next_test"]),
        ("C12B/crimp", bench.verdict_of("C12B/crimp")["next_test"]),
    ]
    assert all("2023-04-15" < task["due_on"] < "2024-04-15" for task in tasks)
    assert f"C12A/crimp  too few readings  {tasks[0]['due_on']}" in ran.out


def test_rounds_are_listed_the_oldest_first(opened: Shell) -> None:
    lines = opened.does("round", "list").splitlines()

    assert [line.split() for line in lines[2:]] == [
        ["2025", "Kittiwake", "2025-05-01", "09:00", "40"],
        ["spring", "Kittiwake", "open", "2026-11-10", "10:00", "0", "MV1,", "CL1", "owner"],
    ]
    assert [row["state"] for row in opened.tells("round", "list")["rounds"]] == [None, "open"]


def test_a_build_without_spans_has_a_round_without_stops(shell: Shell) -> None:
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "Kittiwake")
    accuracy = ("--percent", "0.5 %", "--counts", "3", "--resolution")
    shell.does("instrument", "add", "MV1", "--kind", "millivoltmeter", *accuracy, "0.001 mV")
    shell.does("instrument", "add", "CL1", "--kind", "clamp", *accuracy, "0.1 A")
    shell.does("round", "open", "spring")

    assert shell.does("round", "sheet", shell.folder / "sheet.pdf").endswith(
        "0 stops of round spring, in walking order.\n"
    )
    assert shell.does("round", "sheet", shell.folder / "sheet.csv").endswith(
        "0 stops of round spring, in walking order.\n"
    )
    assert shell.does("round", "enter", typed="").startswith("All 0 stops are done.")
    assert shell.does("round", "close").endswith("0 of 0 stops read.\n")


def test_what_is_read_after_a_round_was_closed_is_of_another_round(opened: Shell) -> None:
    opened.does("round", "close")
    closed = opened.tells("round", "list")["rounds"][-1]
    span = opened.tells("span", "list")["spans"][0]["span"]

    opened.does("reading", "add", span, "0.84 mV", "--at", "100 A", "--confirm")
    opened.does("reading", "add", span, "0.85 mV", "--at", "100 A", "--repeat", "2", "--confirm")

    after = opened.tells("round", "list")["rounds"]
    assert closed in after
    assert after[-1]["round"] != closed["round"]
    assert after[-1]["readings"] == closed["readings"] + 2
