"""A reading was typed wrong; the book keeps both and counts the right one."""

import json

import pytest

from conftest import Shell

HEADINGS = (
    "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument\n"
)


@pytest.fixture
def season(bench: Shell) -> Shell:
    """The bench with three imported readings of C12B/crimp, the last with its digits swapped."""
    rows = [
        f"C12B/crimp,{year},{year}-05-01 10:00,{drop},100,20,bench meter,hand clamp\n"
        for year, drop in (("2024", "0.84"), ("2025", "0.85"), ("2026", "1.48"))
    ]
    bench.does("import", "readings", bench.file("season.csv", HEADINGS + "".join(rows)))
    return bench


def entries_of(season: Shell) -> list[int]:
    return [reading["entry"] for reading in season.readings_of("C12B/crimp")]


def test_an_amended_reading_stays_and_the_new_one_counts(season: Shell) -> None:
    *_, wrong = entries_of(season)

    said = season.does(
        "reading", "amend", str(wrong), "--drop", "0.84 mV", "--reason", "digits swapped", "--by", "owner"
    )

    right = entries_of(season)[-1]
    old, new = (season.tells("reading", "show", str(entry)) for entry in (wrong, right))
    assert said == f"Entry {right} now stands for entry {wrong}, which stays in the book.\n"
    assert (old["drop_millivolt"], old["replaced_by"], old["reason"]) == ("1.48", right, "digits swapped")
    assert (new["drop_millivolt"], new["replaces"], new["round"]) == ("0.84", wrong, "2026")
    # 0.84 mV / 100 A at 20 degC.
    assert season.verdict_of("C12B/crimp")["microohm_20c"] == pytest.approx(8.4)


def test_a_withdrawn_reading_stays_and_no_longer_counts(season: Shell) -> None:
    *_, wrong = entries_of(season)

    season.does("reading", "withdraw", str(wrong), "--reason", "wrong lug")

    old = season.tells("reading", "show", str(wrong))
    assert (old["withdrawn"], old["reason"], old["drop_millivolt"]) == (True, "wrong lug", "1.48")
    assert wrong not in entries_of(season)
    assert season.verdict_of("C12B/crimp")["microohm_20c"] == pytest.approx(8.5)
    assert "wrong lug" in season.does("reading", "show", str(wrong))


def test_the_same_entry_is_not_amended_twice(season: Shell) -> None:
    *_, wrong = entries_of(season)
    season.does("reading", "amend", str(wrong), "--drop", "0.84 mV", "--reason", "digits swapped")
    right = entries_of(season)[-1]

    sentence = season.refuses("reading", "amend", str(wrong), "--drop", "0.86 mV", "--reason", "no")

    assert sentence == f"Entry {wrong} no longer counts: entry {right} replaces it; name that one."


def test_an_amendment_can_be_amended(season: Shell) -> None:
    *_, wrong = entries_of(season)
    season.does("reading", "amend", str(wrong), "--drop", "0.84 mV", "--reason", "digits swapped")
    season.does(
        "reading", "amend", str(entries_of(season)[-1]), "--drop", "0.86 mV", "--reason", "looked again"
    )

    assert season.verdict_of("C12B/crimp")["microohm_20c"] == pytest.approx(8.6)


def test_a_withdrawn_reading_is_not_amended(season: Shell) -> None:
    *_, wrong = entries_of(season)
    season.does("reading", "withdraw", str(wrong), "--reason", "wrong lug")

    sentence = season.refuses("reading", "amend", str(wrong), "--drop", "0.86 mV", "--reason", "no")

    assert sentence == (
        f"Entry {wrong} no longer counts: it was withdrawn before; enter it anew if it is right after all."
    )


@pytest.mark.parametrize("deed", ["amend", "withdraw"])
def test_the_original_file_imported_again_brings_nothing_back(season: Shell, deed: str) -> None:
    *_, wrong = entries_of(season)
    change = ("--drop", "0.84 mV") if deed == "amend" else ()
    season.does("reading", deed, str(wrong), *change, "--reason", "digits swapped")
    before = season.line_count()

    said = season.does("import", "readings", season.folder / "season.csv")

    assert said == (
        "season.csv: 0 readings entered, 3 the book already had.\n"
        "1 reading of it was withdrawn or corrected before and stays so; what is right after all, `lugbook reading "
        "add` enters anew.\n"
    )
    assert season.line_count() == before


def typed(drop: str, when: str) -> tuple[str, ...]:
    """A reading of the season as it is typed by hand."""
    return ("reading", "add", "C12B/crimp", drop, "--at", "100 A", "--temp", "20 degC", "--when", when)


def test_a_withdrawn_reading_typed_anew_counts_again(season: Shell) -> None:
    first, second, third = entries_of(season)
    season.does("reading", "withdraw", str(first), "--reason", "wrong span, or so it seemed")

    said = season.does(*typed("0.84 mV", "2024-05-01 10:00"))

    anew = int(said.split("is entry ")[1].split(",")[0])
    assert entries_of(season) == [anew, second, third]
    assert season.refuses("reading", "amend", str(first), "--drop", "0.85 mV", "--reason", "no").endswith(
        "it was withdrawn before; enter it anew if it is right after all."
    )


def test_a_corrected_reading_typed_anew_is_held_against_what_stands(season: Shell) -> None:
    *_, wrong = entries_of(season)
    season.does("reading", "amend", str(wrong), "--drop", "0.84 mV", "--reason", "digits swapped")

    sentence = season.refuses(*typed("1.48 mV", "2026-05-01 10:00"))

    assert sentence == (
        "Not written: 1.48 mV at 100 A was read, but the book already says 0.84 mV at 100 A for this span, time and "
        "meter; amend that reading, or number this one with --repeat 2 (in a file: 2 under repeat)."
    )


def test_a_correction_can_be_taken_back(season: Shell) -> None:
    first, *_ = entries_of(season)
    season.does("reading", "amend", str(first), "--drop", "0.86 mV", "--reason", "misread")

    season.does("reading", "amend", str(entries_of(season)[0]), "--drop", "0.84 mV", "--reason", "it was right")

    assert [reading["drop_millivolt"] for reading in season.readings_of("C12B/crimp")] == [0.84, 0.85, 1.48]


def test_a_reading_taken_on_another_span_moves_there(season: Shell) -> None:
    *_, wrong = entries_of(season)

    season.does(
        "reading", "amend", str(wrong), "--span", "C12A/crimp", "--drop", "0.85 mV", "--reason", "wrong tag"
    )

    assert len(season.readings_of("C12B/crimp")) == 2
    assert len(season.readings_of("C12A/crimp")) == 2
    assert "0 readings entered" in season.does("import", "readings", season.folder / "season.csv")


def test_an_amendment_that_changes_nothing_is_refused(season: Shell) -> None:
    first, *_ = entries_of(season)

    sentence = season.refuses("reading", "amend", str(first), "--reason", "none")

    assert (
        sentence == f'Not written: nothing of entry {first} was to change; say what, like --drop "1.48 mV".'
    )


def test_an_amendment_is_checked_like_a_reading(season: Shell) -> None:
    first, *_ = entries_of(season)

    sentence = season.refuses("reading", "amend", str(first), "--drop", "0.84", "--reason", "none")

    assert sentence == (
        'Not written: The millivolt drop "0.84" has no unit; type it with its unit, like "0.84 mV".'
    )


@pytest.mark.parametrize("deed", ["amend", "withdraw"])
def test_a_correction_says_why(season: Shell, deed: str) -> None:
    first, *_ = entries_of(season)
    change = ("--drop", "0.84 mV") if deed == "amend" else ()

    sentence = season.refuses("reading", deed, str(first), *change, "--reason", "  ")

    assert sentence == "Not written: the reason is blank; say why with --reason."


@pytest.mark.parametrize("deed", ["show", "amend", "withdraw"])
def test_an_entry_that_is_no_reading_is_named(season: Shell, deed: str) -> None:
    options = {"show": (), "amend": ("--drop", "1 mV", "--reason", "x"), "withdraw": ("--reason", "x")}

    sentence = season.refuses("reading", deed, "2", *options[deed])

    assert sentence == "Entry 2 is not a reading; find its number with `lugbook reading list`."


def test_a_corrected_book_verifies(season: Shell) -> None:
    first, _, wrong = entries_of(season)
    season.does("reading", "amend", str(wrong), "--drop", "0.84 mV", "--reason", "digits swapped")
    season.does("reading", "withdraw", str(first), "--reason", "wrong lug")

    assert season.tells("book", "verify")["sound"] is True


def test_what_is_taken_from_the_last_reading_is_not_that_of_a_withdrawn_or_an_older_one(season: Shell) -> None:
    first, *_ = entries_of(season)
    season.does("instrument", "add", "old meter", "--kind", "millivoltmeter", "--percent", "0.5 %", "--counts", "3",
                "--resolution", "0.01 mV")  # fmt: skip
    said = season.does("reading", "add", "C12B/crimp", "0.85 mV", "--at", "100 A", "--voltmeter", "old meter")
    withdrawn = said.split("is entry ")[1].split(",")[0]
    season.does("reading", "withdraw", withdrawn, "--reason", "probes slipped")
    season.does("reading", "amend", str(first), "--voltmeter", "old meter", "--reason", "read off the sheet")

    said = season.does("reading", "add", "C12B/crimp", "0.86 mV", "--at", "100 A")

    assert "read with bench meter and hand clamp." in said


def test_what_is_not_put_right_stays_as_it_was_typed(season: Shell) -> None:
    said = season.does("reading", "add", "C12B/crimp", "850 uV", "--at", "100 A", "--temp", "68 degF")
    entry = said.split("is entry ")[1].split(",")[0]

    said = season.does("reading", "amend", entry, "--drop", "0.86 mV", "--reason", "misread")

    right = said.split()[1]
    assert json.loads(season.tells("reading", "show", entry)["as_typed"]) == {
        "drop_millivolt": "850 uV", "joint_celsius": "68 degF",
    }  # fmt: skip
    assert json.loads(season.tells("reading", "show", right)["as_typed"]) == {"joint_celsius": "68 degF"}
