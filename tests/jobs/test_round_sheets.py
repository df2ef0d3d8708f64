"""The sheet of a round: as a table that is read back, and on paper."""

import csv
import io
from pathlib import Path

import pytest
from pypdf import PdfReader

from conftest import Shell
from forty_spans import SPANS, drop_of
from lugbook.reports import typesetting

GOLDEN = Path(__file__).parents[1] / "golden" / "round_sheet.csv"
HOSTILE = '#panic("x") *b* $1/0$ @ref \\ <l>'


@pytest.fixture
def opened(forty: Shell) -> Shell:
    """The boat of forty spans, its round open."""
    forty.does("round", "open", "spring", "--at", "100 A", "--by", "owner", "--weather", "8 °C, damp")
    return forty


def rows_of(shell: Shell, name: str = "sheet.csv") -> list[dict[str, str]]:
    """The rows of a sheet written now."""
    shell.does("round", "sheet", shell.folder / name)
    return list(csv.DictReader(io.StringIO((shell.folder / name).read_text(encoding="utf-8"))))


def filled(shell: Shell, rows: list[dict[str, str]], *words: str) -> str:
    """What is said of a sheet brought back with these rows."""
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    ran = shell("round", "import", shell.file("filled.csv", out.getvalue()), *words)
    assert ran.exit_code == 0, ran
    return ran.out + ran.err


def test_the_table_is_as_it_was(opened: Shell) -> None:
    """Its text is kept whole: a change of it is read, and then made in the golden file by hand."""
    rows_of(opened)

    assert (opened.folder / "sheet.csv").read_bytes() == GOLDEN.read_bytes()


def test_a_filled_sheet_is_taken_and_a_second_time_changes_nothing(opened: Shell) -> None:
    rows = rows_of(opened)
    for number, row in enumerate(rows):
        row["drop_millivolt"] = drop_of(number)
    rows[0]["joint_celsius"] = "20"

    first = filled(opened, rows)
    lines = opened.line_count()
    again = filled(opened, rows)

    assert first == "filled.csv: 40 readings entered in round spring.\n"
    assert again == "filled.csv: 0 readings entered in round spring, 40 the round already had.\n"
    assert opened.line_count() == lines
    stops = opened.tells("round", "show")["stops"]
    assert {stop["readings"][0]["joint_celsius"] for stop in stops} == {20.0}
    times = [stop["readings"][0]["taken_at"] for stop in stops]
    assert times == sorted(set(times))  # without times on the sheet they keep its order


def test_a_half_filled_sheet_is_taken_and_its_blanks_are_listed(opened: Shell) -> None:
    rows = rows_of(opened)[:4]
    rows[0]["drop_millivolt"] = drop_of(0)
    rows[2]["skipped"] = "behind the tank"

    said = filled(opened, rows)

    assert said == (
        "filled.csv: 1 reading entered in round spring.\n"
        "Skipped: C02A/crimp.\n"
        "Left blank, still to read: C01B/crimp, C02B/crimp.\n"
    )
    assert opened.tells("round", "show")["stops"][2]["skipped"] == "behind the tank"


def test_rows_out_of_order_are_matched_by_span_and_said(opened: Shell) -> None:
    rows = rows_of(opened)[:3]
    for number, row in enumerate(rows):
        row["drop_millivolt"] = drop_of(number)

    said = filled(opened, [rows[1], rows[0], rows[2]])

    assert said == (
        "filled.csv: 3 readings entered in round spring.\n"
        "The rows are not in the order of the stops (line 3, stop 1, comes after stop 2); they were matched by span.\n"
    )
    assert opened.readings_of(SPANS[0])[-1]["drop_millivolt"] == float(drop_of(0))


def test_a_reading_that_is_not_as_expected_is_taken_and_said(opened: Shell) -> None:
    rows = rows_of(opened)[:1]
    rows[0] |= {"drop_millivolt": "0.90", "joint_celsius": "20"}

    assert filled(opened, rows).splitlines()[1] == (
        "Look again: C01A/crimp: 0.9 mV was taken; 0.775 to 0.826 mV at 100 A, 20 °C is expected. Read it again."
    )


def test_a_confirmed_row_is_taken_as_it_is(opened: Shell) -> None:
    rows = rows_of(opened)[:1]
    rows[0] |= {"drop_millivolt": "8.0", "confirmed": "yes"}

    filled(opened, rows)

    assert opened.readings_of(SPANS[0])[-1]["confirmed"] is True


def test_the_sheet_is_in_the_units_of_the_round(forty: Shell) -> None:
    forty.does("round", "open", "spring", "--at", "100 A", "--drop-unit", "uV", "--temperature-unit", "degF")
    rows = rows_of(forty)[:1]

    assert rows[0]["expected"] == "775 to 826 µV at 100 A, 68 °F"
    rows[0] |= {"drop (uV)": "800", "joint (degF)": "68"}
    filled(forty, rows)
    reading = forty.readings_of(SPANS[0])[-1]
    assert (reading["drop_millivolt"], reading["joint_celsius"]) == (0.8, 20.0)


def test_a_span_whose_name_a_spreadsheet_would_run_comes_back_as_itself(opened: Shell) -> None:
    opened.does("span", "add", "+BATT", "--kind", "joint", "--place", "dry")
    (row,) = [row for row in rows_of(opened) if "BATT" in row["span"]]
    row |= {"drop_millivolt": "0.5", "joint_celsius": "20"}

    filled(opened, [row])

    assert row["span"] == "'+BATT"
    assert opened.readings_of("+BATT")[-1]["drop_millivolt"] == 0.5


def test_what_was_withdrawn_of_a_sheet_stays_withdrawn_and_is_said(opened: Shell) -> None:
    rows = rows_of(opened)
    for number, row in enumerate(rows):
        row["drop_millivolt"] = drop_of(number)
    filled(opened, rows)
    lines, entry = opened.line_count(), opened.readings_of(SPANS[0])[-1]["entry"]
    opened.does("reading", "withdraw", str(entry), "--reason", "the wrong joint")

    again = filled(opened, rows)

    assert again == (
        "filled.csv: 0 readings entered in round spring, 40 the round already had.\n"
        "1 reading of it was withdrawn or corrected before and stays so; what is right after all, `lugbook reading "
        "add` enters anew.\n"
    )
    assert opened.line_count() == lines + 1  # the withdrawal


def test_a_loggers_file_is_matched_by_its_tags(opened: Shell) -> None:
    file = opened.file(
        "log.csv", "channel,span,drop (mV),current (A)\n1,c02b crimp,0.84,100\n2,C01A-CRIMP,0.80,100\n"
    )

    opened.does("round", "import", file, "--skip-unknown")

    assert [opened.readings_of(SPANS[number])[-1]["drop_millivolt"] for number in (0, 3)] == [0.8, 0.84]


def test_a_loggers_file_without_tags_is_matched_by_order(opened: Shell) -> None:
    opened.does("round", "enter", typed="0.80 20C\nq\n")
    file = opened.file("log.csv", "drop (mV),current (A)\n0.81,100\n0.82,100\n0.83,100\n")

    said = opened.does("round", "import", file)

    assert said == (
        "log.csv: 3 readings entered in round spring.\n"
        "Matched by order: line 2 is C01B/crimp, and so on until line 4, which is C02B/crimp.\n"
    )


def test_readings_of_another_day_are_dated_so(forty: Shell) -> None:
    forty.does("round", "open", "spring", "--at", "100 A", "--when", "2026-11-01")
    rows = rows_of(forty)[:1]
    rows[0]["drop_millivolt"] = "0.80"

    filled(forty, rows, "--when", "2026-11-03")

    assert forty.readings_of(SPANS[0])[-1]["taken_at"] == "2026-11-03T12:00:01.000000Z"


@pytest.mark.parametrize(("paper", "millimetre"), [("a4", (297.0, 210.0)), ("letter", (279.4, 215.9))])
def test_on_paper_every_stop_has_its_row_and_every_page_its_number(
    opened: Shell, paper: str, millimetre: tuple[float, float]
) -> None:
    opened.does("round", "sheet", opened.folder / "sheet.pdf", "--paper", paper)

    pages = PdfReader(opened.folder / "sheet.pdf").pages
    texts = [page.extract_text() for page in pages]
    whole = "\n".join(texts)
    assert [span for span in SPANS if span in whole] == SPANS
    assert [f"page {number} of {len(pages)}" in text for number, text in enumerate(texts, 1)] == [True] * len(
        pages
    )
    assert "Before you touch a cable." in texts[0]
    assert "0.775 to 0.826" in texts[0]
    assert [round(float(side) * 25.4 / 72, 1) for side in pages[0].mediabox[2:]] == list(millimetre)


def test_a_sheet_says_the_day_then_the_caution_then_the_stops_in_walking_order(opened: Shell) -> None:
    opened.does("round", "sheet", opened.folder / "sheet.pdf")

    text = " ".join(PdfReader(opened.folder / "sheet.pdf").pages[0].extract_text().split())
    in_order = [
        "Round spring, Kittiwake", "day 2026-11-10", "read by owner", "meters MV1, CL1", "weather 8 °C, damp",
        "load 100 A, steady", "Before you touch a cable.", "Write the current and the temperature when they change",
        "no. span", "engine", "1 C01A/crimp", "0.8 mV", "100 A", "0.775 to 0.826", "2 C01B/crimp", "3 C02A/crimp",
        "40 stops", "page 1 of",
    ]  # fmt: skip
    place = 0
    for words in in_order:
        assert words in text[place:], (words, text)
        place = text.index(words, place) + len(words)


def test_what_a_person_typed_is_never_read_as_markup(opened: Shell) -> None:
    opened.does("span", "add", HOSTILE, "--kind", "joint", "--place", "dry")

    opened.does("round", "sheet", opened.folder / "sheet.pdf")

    text = "".join(page.extract_text() for page in PdfReader(opened.folder / "sheet.pdf").pages)
    assert HOSTILE.replace(" ", "") in text.replace(" ", "").replace("\n", "")


def test_a_word_wider_than_its_box_goes_on_in_the_next_line(opened: Shell) -> None:
    tag = "Q" * 60
    opened.does("span", "add", tag, "--kind", "joint", "--place", "dry")

    opened.does("round", "sheet", opened.folder / "sheet.pdf")

    text = "".join(page.extract_text() for page in PdfReader(opened.folder / "sheet.pdf").pages)
    # A bold Q of 15 points is 3.7 mm wide or more, and the column 56 mm.
    assert text.count("Q") == 60
    assert "Q" * 16 not in text


def test_the_same_sheet_is_the_same_bytes(opened: Shell) -> None:
    for name in ("one.pdf", "other.pdf"):
        opened.does("round", "sheet", opened.folder / name)

    assert (opened.folder / "one.pdf").read_bytes() == (opened.folder / "other.pdf").read_bytes()


def test_letters_that_no_font_has_stand_as_numbers_on_a_sheet_and_that_is_said(
    opened: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    bare = typesetting._fonts
    monkeypatch.setattr(typesetting, "_fonts", lambda root, with_system: bare(root, with_system=False))
    opened.does("span", "add", "電池A", "--kind", "joint", "--place", "dry")

    opened.does("round", "sheet", opened.folder / "sheet.pdf")

    whole = "".join(page.extract_text() for page in PdfReader(opened.folder / "sheet.pdf").pages)
    text = " ".join(whole.replace("\u200b", "").split())
    assert "[U+96FB]" in text.replace(" ", "")
    assert (
        "No font at hand has these letters, so they stand as their Unicode numbers; the sheet as a table (.csv) has "
        "them: U+6C60, U+96FB."
    ) in text


def test_a_sheet_whose_letters_our_fonts_have_says_nothing_of_fonts(opened: Shell) -> None:
    opened.does("span", "add", "Ακμή", "--kind", "joint", "--place", "dry")

    opened.does("round", "sheet", opened.folder / "sheet.pdf")

    whole = "".join(page.extract_text() for page in PdfReader(opened.folder / "sheet.pdf").pages)
    assert "Ακμή" in whole
    assert "PDF/A" not in whole
