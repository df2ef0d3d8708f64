"""Reports and labels from a real book: what a buyer gets, what is left out, and when none is made."""

import re
import sqlite3
from contextlib import closing
from io import BytesIO
from pathlib import Path

from pypdf import PdfReader

from conftest import Shell
from parsed_page import Page


def page_of(shell: Shell, *words: str) -> Page:
    """The HTML that `report` with these words writes."""
    facts = shell.tells("report", "--out", shell.folder / "out", *words)
    return Page(Path(facts["html"]).read_text(encoding="utf-8"))


def pdf_text(path: str | Path) -> str:
    pages = PdfReader(BytesIO(Path(path).read_bytes())).pages
    return " ".join(
        " ".join(page.extract_text() for page in pages).replace("\u00a0", " ").replace("\u200b", "").split()
    )


def test_a_report_on_the_boat_says_what_was_found_and_what_was_not_tested(sallowmere: Shell) -> None:
    head = sallowmere.tells("book", "info")

    facts = sallowmere.tells("report", "--out", sallowmere.folder / "out")

    page = "\n".join(Page(Path(facts["html"]).read_text(encoding="utf-8")).texts).replace("\u00a0", " ")
    assert (
        "Sallowmere has 48 cables with 92 terminals on record. Of 126 watched spans 125 were read in 6 rounds"
        in page
    )
    assert "not judged: nothing was read" in page
    assert "1 of 126\nwatched spans never read" in page
    assert "92 of 92\nterminals whose workmanship was not judged" in page
    assert "As made, not judged: 2 of 7 criteria met, 5 not judged; it still takes the recipe's proof" in page
    assert "ANSI/NETA ATS, similar bolted connections" in page
    assert "rounds without a check standard: 6 of 6." in page
    assert head["head"] in page
    assert facts["issue"] == f"draft {head['lines']}"
    assert facts["declares_archive"]
    assert facts["remarks"] == []
    assert head["head"] in pdf_text(facts["pdf"])


def test_both_files_say_the_same_numbers(sallowmere: Shell) -> None:
    facts = sallowmere.tells("report", "--out", sallowmere.folder / "out")

    page = " ".join(Page(Path(facts["html"]).read_text(encoding="utf-8")).texts).replace("\u00a0", " ")
    paper = pdf_text(facts["pdf"])
    measured = re.findall(r"\d[\d.]* ± [\d.]+ µΩ", page)
    assert len(measured) > 300
    assert sorted(measured) == sorted(re.findall(r"\d[\d.]* ± [\d.]+ µΩ", paper))


def test_the_same_book_and_day_give_the_same_bytes(sallowmere: Shell) -> None:
    files = []
    for folder in ("one", "two"):
        facts = sallowmere.tells("report", "--out", sallowmere.folder / folder)
        files.append((Path(facts["html"]).read_bytes(), Path(facts["pdf"]).read_bytes()))

    assert files[0] == files[1]


def test_a_report_of_an_earlier_day_knows_nothing_of_later_ones(sallowmere: Shell) -> None:
    page = " ".join(page_of(sallowmere, "--on", "2023-12-31").texts)

    assert "in 3 rounds, 2021-04-17 to 2023-04-23" in page
    assert "green film" not in page
    assert "No service is recorded" in page


def test_a_private_issue_names_nobody(sallowmere: Shell) -> None:
    sallowmere.does("reading", "amend", str(sallowmere.readings_of("C26A/crimp")[0]["entry"]), "--drop", "2.1 mV",
                    "--reason", "the mate's own secret", "--by", "mate")  # fmt: skip

    facts = sallowmere.tells("report", "--out", sallowmere.folder / "out", "--private")

    page = Path(facts["html"]).read_text(encoding="utf-8")
    for text in (page, pdf_text(facts["pdf"])):
        assert not re.search(
            r"\b(owner|mate|yard electrician)\b(?! (?:of|stated|in the book|for the book))",
            without_our_own(text),
        )
        assert "secret" not in text
        assert "green film" not in text
        assert "An invented sailing vessel" not in text
        assert "person 1" in text
        assert "Private issue: names of people" in text
    assert facts["html"].endswith("-private.html")


def without_our_own(text: str) -> str:
    """The text without the sentences of ours that speak of an owner."""
    ours = (
        "Ask the owner for the book",
        "the owner, in the book",
        "its owner stated",
        "the owner of the book",
    )
    for words in ours:
        text = text.replace(words, "").replace(words.replace(" ", "\n"), "")
    return text


def test_a_correction_is_listed_with_both_values_and_why(sallowmere: Shell) -> None:
    entry = str(sallowmere.readings_of("C26A/crimp")[0]["entry"])
    sallowmere.does(
        "reading", "amend", entry, "--drop", "2.1 mV", "--reason", "digits swapped", "--by", "mate"
    )

    texts = page_of(sallowmere).texts

    row = texts[texts.index("reading C26A/crimp") - 1 :][:6]
    assert row[0] == entry
    assert row[3].endswith("drop: 2.1 mV")
    assert row[4:] == ["digits swapped", "mate, 2026-11-10"]


def test_a_page_on_one_span_and_on_one_cable(sallowmere: Shell) -> None:
    span = " ".join(page_of(sallowmere, "--span", "C26A/crimp").texts)
    cable = " ".join(page_of(sallowmere, "--cable", "C26", "--paper", "letter").texts)

    assert "Report on one span" in span
    assert "creeping" in span
    assert "C26B" not in span
    assert {"C26A", "C26B", "C26/cable"} <= set(cable.split())
    assert "C27A" not in cable


def test_a_span_or_cable_nobody_knows_is_refused(sallowmere: Shell) -> None:
    out = sallowmere.folder / "out"

    assert sallowmere.refuses("report", "--out", out, "--span", "C26A/crump") == (
        'The book knows no span "C26A/crump" (did you mean C26A/crimp?); list them with `lugbook span list`.'
    )
    assert sallowmere.refuses("report", "--out", out, "--cable", "Q") == (
        'The book knows no cable "Q"; list them with `lugbook cable list`.'
    )
    assert not out.exists()


def test_a_book_with_several_builds_asks_which(bench: Shell) -> None:
    bench.does("build", "add", "Other boat", "--zone", "Europe/Lisbon")

    assert bench.refuses("report", "--out", bench.folder / "out") == (
        "There is nothing to show: say the name of the build, with --build, or in a file's column build: My boat or "
        "Other boat."
    )


def test_a_build_with_nothing_in_it_is_reported_as_such(bench: Shell) -> None:
    bench.does("build", "add", "Bare boat", "--zone", "Europe/Lisbon")

    text = " ".join(page_of(bench, "--build", "Bare boat").texts)

    assert (
        "Bare boat has 0 cables with 0 terminals on record. No span of it is watched, so nothing was measured."
        in text
    )


def test_a_book_that_was_tampered_with_is_reported_in_red(sallowmere: Shell) -> None:
    entry = sallowmere.readings_of("C26A/crimp")[0]["entry"]
    with closing(sqlite3.connect(sallowmere.book)) as connection:
        triggers = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute("UPDATE reading SET drop_millivolt = 1.0 WHERE id = ?", (entry,))
        for _, sql in triggers:
            connection.execute(sql)
        connection.commit()

    ran = sallowmere("report", "--out", sallowmere.folder / "out")

    assert ran.exit_code == 0
    assert ran.err == "This book does not verify; the report says so in red on its first page.\n"
    html, pdf = (Path(line.split(": ")[1]) for line in ran.out.splitlines())
    finding = f"Row {entry} of reading does not say what ledger line {entry} says."
    for text in (" ".join(Page(html.read_text(encoding="utf-8")).texts), pdf_text(pdf)):
        assert text.index("This book does not verify") < text.index(finding) < text.index("What was found")


SHEET = (
    "--width", "63.5 mm", "--height", "38.1 mm", "--columns", "3", "--rows", "7",
    "--left", "7.2 mm", "--top", "1.51 cm",
)  # fmt: skip


def test_labels_for_every_end_of_the_boat(sallowmere: Shell) -> None:
    out = sallowmere.folder / "labels.pdf"

    said = sallowmere.does("labels", "--out", out, *SHEET)

    assert (
        said
        == f"96 labels: {out}. Print at actual size, on plain paper first, and hold it against the sheet.\n"
    )
    pages = PdfReader(BytesIO(out.read_bytes())).pages
    assert len(pages) == 5
    assert re.findall(r"C\d\d[AB]", pages[0].extract_text())[:4] == ["C01A", "C01B", "C02A", "C02B"]


def test_labels_of_one_cable_twice_each(sallowmere: Shell) -> None:
    out = sallowmere.folder / "labels.pdf"

    sallowmere.does("labels", "--out", out, *SHEET, "--cable", "C12", "--copies", "2")

    assert re.findall(r"C\d\d[AB]", pdf_text(out)) == ["C12A", "C12A", "C12B", "C12B"]


def test_labels_of_nothing_are_refused(bench: Shell) -> None:
    assert bench.refuses("labels", "--out", bench.folder / "labels.pdf", *SHEET) == (
        "There is nothing to show: My boat has no cable yet; add one with `lugbook cable add`."
    )


def test_every_range_of_a_meter_and_a_check_standard_read_first_and_last_are_told(bench: Shell) -> None:
    bench.does("instrument", "amend", "bench meter", "greatest=400 mV", "--reason", "from its data sheet")
    bench.does("instrument", "range", "bench meter", "--greatest", "4 V", "--percent", "0.5 %", "--counts", "5",
               "--resolution", "0.1 mV")  # fmt: skip
    bench.does("span", "add", "SH1", "--kind", "check standard", "--place", "dry")
    for minute, (tag, drop) in enumerate([("SH1", "5.00 mV"), ("C12B/crimp", "0.90 mV"), ("SH1", "5.02 mV")]):
        bench.does("reading", "add", tag, drop, "--at", "100 A", "--temp", "20 degC", "--round", "spring",
                   "--when", f"2026-11-10 08:0{minute}")  # fmt: skip

    texts = [text.replace("\u00a0", " ") for text in page_of(bench).texts]

    assert "to 400 mV: ± (0.5 % + 3 × 0.01 mV); to 4000 mV: ± (0.5 % + 5 × 0.1 mV)" in texts
    assert any(re.fullmatch(r"read first and last; drift \+0\.4 % \(± \d\.\d\)", text) for text in texts)


def test_a_page_is_on_a_span_or_on_a_cable(sallowmere: Shell) -> None:
    refused = sallowmere.refuses("report", "--span", "C26A/crimp", "--cable", "C12", "--out", ".", exit_code=2)

    assert refused == "A page is on one span or on one cable; give --span or --cable, not both."


def test_terminals_that_were_refused_as_made_stand_on_the_first_page(sallowmere: Shell) -> None:
    """The one number a buyer must not have to look for; `terminal show` says the same of those that are named."""
    texts = "\n".join(page_of(sallowmere).texts)

    found = re.search(r"Not accepted as made: (\d+) terminals, (.+) and (\d+) more", texts)
    assert found is not None
    named = found[2].split(", ")
    assert int(found[1]) == len(named) + int(found[3]) == texts.count("As made, not accepted")
    for end in named:
        assert sallowmere.tells("terminal", "show", end)["verdict"] == "not accepted"
