"""At the boat: what is asked, what is answered, what is then in the book."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from conftest import Shell
from forty_spans import SPANS
from lugbook.jobs.round_entering import RoundEntry
from lugbook.records.store import open_book

NOW = datetime(2026, 11, 10, 10, tzinfo=UTC)
Begin = Callable[[], RoundEntry]


@pytest.fixture
def begin(forty: Shell) -> Iterator[Begin]:
    """Begins entering the open round of the boat of forty spans."""
    forty.does("round", "open", "spring", "--at", "100 A", "--by", "owner")
    book = open_book(forty.book)
    yield lambda: RoundEntry(book, NOW)
    book.close()


def said(entry: RoundEntry, *lines: str, now: datetime = NOW) -> list[str]:
    """What is answered to some lines, typed one after another."""
    return [answer for line in lines for answer in entry.take(line, now)]


def read_in_spring(shell: Shell, span: str = SPANS[0]) -> list[Any]:
    """The readings of a span in the round."""
    return [reading for reading in shell.readings_of(span) if reading["round"] == "spring"]


def test_each_stop_shows_what_is_expected_and_what_was_last_read(begin: Begin) -> None:
    """Read once as 0.80 mV. Standard uncertainties of a reading alone: counts 0.22 % and 0.18 %, 5 µV of thermal
    voltage 0.36 %, 1 K 0.39 %: 0.60 %, and twice of it, an eighth more while nothing but the data sheets says so
    (sqrt(10/8), of ten residuals' worth); shared by an outing, 0.5 % / sqrt 3 of each meter: 0.41 %.
    Together 1.03 %, three times that is 3.1 %: 0.7756 to 0.8252, rounded outwards.
    """
    assert begin().ask() == (
        "[1/40] C01A/crimp, engine: 0.775 to 0.826 mV at 100 A, 20 °C (last 0.8 mV on 2025-05-01)"
    )


def test_of_a_service_it_is_the_reading_as_left_that_was_last(forty: Shell) -> None:
    forty.does("service", "record", SPANS[0], "--done", "cleaned", "--found", "0.90 mV", "--left", "0.70 mV",
               "--at", "100 A", "--temp", "20 degC")  # fmt: skip
    found = forty.readings_of(SPANS[0])[1]["entry"]
    forty.does("reading", "amend", str(found), "--drop", "0.91 mV", "--reason", "misread")
    forty.does("round", "open", "spring", "--at", "100 A")
    book = open_book(forty.book)

    shown = RoundEntry(book, NOW).ask()
    book.close()

    assert shown.endswith("(last 0.7 mV on 2026-11-10)")


def test_the_range_shown_follows_current_and_temperature(begin: Begin) -> None:
    entry = begin()

    said(entry, "200A 45C")

    # Twice the current, and 25 degC x 0.393 % = 9.8 % more: 2.197 times as much.
    assert entry.ask().split(": ")[1].startswith("1.70 to 1.82 mV at 200 A, 45 °C")


def test_an_ordinary_reading_is_answered_and_the_next_span_asked_for(begin: Begin, forty: Shell) -> None:
    entry = begin()

    assert said(entry, "0.80 20C") == ["  0.8 mV at 100 A, 20 °C: as expected."]
    assert entry.ask().startswith("[2/40] C01B/crimp")
    (reading,) = read_in_spring(forty)
    assert (reading["drop_millivolt"], reading["current_ampere"], reading["joint_celsius"]) == (
        0.8,
        100.0,
        20.0,
    )
    assert (reading["voltage_instrument"], reading["current_instrument"], reading["operator"]) == (
        "MV1",
        "CL1",
        "owner",
    )
    assert reading["confirmed"] is False


def test_temperature_and_current_hold_until_others_are_typed(begin: Begin, forty: Shell) -> None:
    entry = begin()

    said(entry, "0.80 20C", "0.81", "102A", "0.84", "0.84 22C", "0.86")

    kept = [read_in_spring(forty, span)[0] for span in SPANS[:5]]
    assert [r["current_ampere"] for r in kept] == [100, 100, 102, 102, 102]
    assert [r["joint_celsius"] for r in kept] == [20, 20, 20, 22, 22]


def test_without_a_temperature_it_is_said_once(begin: Begin) -> None:
    assert said(begin(), "0.80", "0.81") == [
        "  0.8 mV at 100 A: as expected.",
        "No temperature: 20 °C is assumed, and readings are worth less for it; type it once, like 31C.",
        "  0.81 mV at 100 A: as expected.",
    ]


def test_what_is_not_as_expected_is_not_written_until_it_is_kept(begin: Begin, forty: Shell) -> None:
    entry = begin()

    assert said(entry, "0.90 20C") == [
        "Look again: 0.9 mV; 0.775 to 0.826 mV at 100 A, 20 °C is expected.",
        "Type it again, or y, to keep it.",
    ]
    assert read_in_spring(forty) == []
    assert said(entry, "y") == ["  0.9 mV at 100 A, 20 °C: kept."]
    assert read_in_spring(forty)[0]["confirmed"] is True


def test_the_same_number_typed_again_keeps_it_and_another_is_judged_anew(begin: Begin, forty: Shell) -> None:
    entry = begin()

    said(entry, "0.90 20C", "0.91", "0.91")

    assert [r["drop_millivolt"] for r in read_in_spring(forty)] == [0.91]


def test_the_same_drop_with_another_current_is_judged_anew(begin: Begin, forty: Shell) -> None:
    entry = begin()

    answers = said(entry, "0.80 1000A 20C", "0.80 100A")

    assert answers[0].startswith("Look again: 0.8 mV; 7.75 to 8.26 mV at 1000 A")
    assert answers[-1] == "  0.8 mV at 100 A, 20 °C: as expected."
    assert read_in_spring(forty)[0]["confirmed"] is False


def test_an_unbelievable_number_says_why(begin: Begin) -> None:
    answers = said(begin(), "8.00 20C")

    assert answers[0] == (
        "Look again: 8 mV; 0.775 to 0.826 mV at 100 A, 20 °C is expected. This comes to 80.0 µΩ, 10 times above what "
        "it has read (8.00 µΩ): a slipped decimal point?"
    )


def test_two_numbers_under_the_wrong_spans_are_told_of(begin: Begin) -> None:
    entry = begin()
    said(entry, "1.19 20C", "y", f"g {SPANS[39]}")

    answers = said(entry, "0.80")

    assert answers[0].endswith(
        "C01A/crimp looked wrong too, and both would be as expected if they were swapped: which span was it?"
    )


def test_readings_together_and_reversed_are_numbered(begin: Begin, forty: Shell) -> None:
    said(begin(), "0.80 0.81 -0.79 20C")

    kept = forty.tells("reading", "list")["readings"]
    assert [(r["drop_millivolt"], r["polarity"], r["repeat"]) for r in kept if r["round"] == "spring"] == [
        ("0.8", "forward", "1"), ("0.81", "forward", "2"), ("-0.79", "reverse", "1"),
    ]  # fmt: skip


def test_a_lone_minus_is_asked_about(begin: Begin) -> None:
    assert said(begin(), "-0.80 20C")[0] == (
        "Look again: -0.8 mV; a minus means that the current ran the other way; or are the probes the wrong way round?"
    )


def test_going_back_puts_a_better_number_in_place_of_the_old_one(begin: Begin, forty: Shell) -> None:
    entry = begin()

    answers = said(entry, "0.80 20C", "b", "0.81")

    assert answers[1] == (
        "  C01A/crimp was entered as 0.8 mV at 100 A, 20 °C; a number typed now takes its place."
    )
    (reading,) = read_in_spring(forty)
    view = forty.tells("reading", "show", str(reading["entry"]))
    assert (reading["drop_millivolt"], view["reason"]) == (0.81, "typed again during the round")
    assert entry.ask().startswith("[2/40] C01B/crimp")


def test_going_back_to_what_was_read_several_times_is_refused(begin: Begin, forty: Shell) -> None:
    entry = begin()
    said(entry, "0.80 0.81 20C")
    first = read_in_spring(forty)[0]["entry"]

    assert said(entry, "b", "0.82")[1:] == [
        f"Not written: C01A/crimp was read 2 times together; put one right with `lugbook reading amend {first}`."
    ]


def test_there_is_nothing_before_the_first(begin: Begin) -> None:
    assert said(begin(), "b") == ["This is the first stop."]


def test_a_skip_needs_a_reason_and_is_kept_with_it(begin: Begin, forty: Shell) -> None:
    entry = begin()

    assert said(entry, "s", "s behind the tank") == [
        "Not skipped: say why, like s behind the tank.",
        "  C01A/crimp: skipped, behind the tank.",
    ]
    stop = forty.tells("round", "show")["stops"][0]
    assert (stop["skipped"], stop["readings"]) == ("behind the tank", [])


def test_what_was_read_cannot_be_skipped(begin: Begin) -> None:
    assert said(begin(), "0.80 20C", "b", "s late")[-1] == "Not skipped: C01A/crimp was read in this round."


def test_a_skipped_span_can_still_be_read(begin: Begin, forty: Shell) -> None:
    said(begin(), "s dark", "b", "0.80 20C")

    assert len(read_in_spring(forty)) == 1
    assert "C01A/crimp" not in forty.does("round", "show").partition("Missing")[0]


def test_later_comes_back_in_the_end(begin: Begin) -> None:
    entry = begin()
    for number in range(1, 40):
        said(entry, *(["l"] if number == 1 else []), f"{0.80 + 0.01 * number:.2f} 20C")

    assert entry.ask().startswith("[1/40] C01A/crimp")
    said(entry, "0.80")
    assert (
        entry.ask()
        == "All 40 stops are done. q stops here, b goes back; `lugbook round close` ends the round."
    )
    assert said(entry, "0.80") == ["Every stop is done; go to one first, with b or g."]


def test_stopping_and_beginning_again_goes_on_with_what_held(begin: Begin) -> None:
    first = begin()
    assert said(first, "0.80 21C", "0.82 101A", "q")[-1] == "Stopped with 38 to go."
    assert first.stopped

    again = begin()

    assert again.ask().startswith("[3/40] C02A/crimp")
    assert "at 101 A, 21 °C" in again.ask()


def test_a_span_that_this_round_does_not_have(begin: Begin) -> None:
    assert said(begin(), "g C99A/crimp") == ["No stop of this round is called C99A/crimp."]


def test_what_cannot_be_read_is_asked_for_again(begin: Begin) -> None:
    entry = begin()

    assert said(entry, "1,234")[0].startswith('Not written: The millivolt drop "1,234" ')
    assert entry.ask().startswith("[1/40]")


def test_without_a_current_nothing_is_written(forty: Shell) -> None:
    forty.does("round", "open", "spring")
    book = open_book(forty.book)
    entry = RoundEntry(book, NOW)

    shown, answers = entry.ask(), said(entry, "0.80 20C")
    book.close()

    assert shown == "[1/40] C01A/crimp, engine: last 0.8 mV at 100 A, 20 °C, 2025-05-01"
    assert answers == [
        "Not written: no current yet; type it with the drop, like 0.84 100A. It holds until you type another."
    ]


def test_the_check_standard_is_asked_for_first_and_again_last(forty: Shell) -> None:
    forty.does("span", "add", "CS1", "--kind", "check standard", "--place", "dry")
    forty.does("round", "open", "spring", "--at", "100 A")
    book = open_book(forty.book)
    entry = RoundEntry(book, NOW)

    asked = [entry.ask()]
    said(entry, "75 20C")
    for number in range(40):
        asked.append(entry.ask())
        said(entry, f"{0.80 + 0.01 * number:.2f}")
    asked.append(entry.ask())
    said(entry, "75.1", now=NOW + timedelta(hours=1))
    end = entry.ask()
    book.close()

    assert asked[0] == "[1/42] CS1, check standard, first, dry: not read yet; at 100 A"
    assert asked[1].startswith("[2/42] C01A/crimp")
    assert asked[-1].startswith("[42/42] CS1, check standard, again at the end, dry: ")
    assert end.startswith("All 42 stops are done.")
    closed = forty.does("round", "close")
    assert "did not both begin and end" not in closed


def test_a_check_standard_put_off_stays_a_stop_and_is_asked_for_after_the_others(forty: Shell) -> None:
    forty.does("span", "add", "CS1", "--kind", "check standard", "--place", "dry")
    forty.does("round", "open", "spring", "--at", "100 A")
    book = open_book(forty.book)
    entry = RoundEntry(book, NOW)

    later = said(entry, "l")
    for number in range(39):
        said(entry, f"{0.80 + 0.01 * number:.2f} 20C")
    begun_anew = RoundEntry(book, NOW)
    asked_anew = [begun_anew.ask(), *said(begun_anew, "l"), begun_anew.ask()]
    said(entry, "1.19", now=NOW + timedelta(hours=1))
    asked = [entry.ask()]
    said(entry, "75", now=NOW + timedelta(hours=2))
    asked.append(entry.ask())
    said(entry, "75.1", now=NOW + timedelta(hours=3))
    end = entry.ask()
    book.close()

    assert later == [
        "  CS1: later, but only before all other spans it begins the round; read after them, it does not show what the "
        "meters drift on the way."
    ]
    assert asked_anew[0].startswith("[40/42] C20B/crimp")
    assert asked_anew[2].startswith("[41/42] CS1, check standard, put off, dry: ")
    assert asked[0].startswith("[1/42] CS1, check standard, put off, dry: ")
    assert asked[1].startswith("[42/42] CS1, check standard, again at the end, dry: ")
    assert end.startswith("All 42 stops are done.")
    closed = forty.does("round", "close")
    assert "42 of 42 stops read." in closed
    assert "did not both begin and end" in closed
