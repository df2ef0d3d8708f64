"""Reports and labels from a real book: what a buyer gets, what is left out, and when none is made."""

import re
import sqlite3
from base64 import b64decode
from contextlib import closing
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from conftest import Shell
from invented_report import photo
from lugbook.jobs.photographs import keep_original
from lugbook.reports.photographs import print_photo
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
    assert facts["issue"] == str(head["lines"])
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
    assert row[3].endswith("drop millivolt: 2.1")
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


@pytest.fixture
def pictured(sallowmere: Shell) -> Shell:
    """The sample boat with a photo of the terminal on C12A."""
    picture = sallowmere.file("c12a.jpg", photo())
    sallowmere.does("terminal", "photo", "C12A", picture, "--note", "from the side")
    picture.unlink()
    return sallowmere


def kept(shell: Shell) -> Path:
    """Where the one original is kept; its print lies beside it."""
    (place,) = (path for path in (shell.folder / "book_photos").iterdir() if path != kept_print(shell))
    return place


def kept_print(shell: Shell) -> Path:
    """Where its print is kept."""
    return shell.folder / "book_photos" / sha256(print_photo(photo(), "c12a.jpg", "").jpeg).hexdigest()


def test_a_photo_is_kept_beside_the_book_and_shown(pictured: Shell) -> None:
    digest = sha256(photo()).hexdigest()

    page = page_of(pictured)

    assert kept(pictured).name == digest
    assert kept(pictured).read_bytes() == photo()
    (shown,) = [a for tag, a in page.elements if tag == "img" and a["src"].startswith("data:image/jpeg")]
    assert shown["alt"] == f"from the side · {digest[:12]}"


def test_a_missing_photo_stops_the_report_and_is_named(pictured: Shell) -> None:
    digest, entry = kept(pictured).name, pictured.line_count()
    kept(pictured).unlink()

    assert pictured.refuses("report", "--out", pictured.folder / "out") == (
        "No report was made, because one photo is not as the book says:\n"
        f'  C12A: photo "c12a.jpg" (entry {entry}, SHA-256 {digest[:16]}...) is missing.\n'
        "Name the folder that holds the originals with --photos FOLDER, or leave all photos out with --no-photos, "
        "which the report will say."
    )


def test_a_changed_photo_stops_the_report_and_is_named(pictured: Shell) -> None:
    kept(pictured).write_bytes(photo(1))

    refused = pictured.refuses("report", "--out", pictured.folder / "out")

    assert "has changed since it was noted." in refused


def shown_pictures(page: Page) -> list[bytes]:
    """The photos that a page shows."""
    sources = [attributes["src"] or "" for tag, attributes in page.elements if tag == "img"]
    return [b64decode(src.partition(",")[2]) for src in sources if src.startswith("data:image/jpeg")]


def test_a_photo_is_shown_as_it_was_printed_when_it_was_kept(
    pictured: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    printed = kept_print(pictured).read_bytes()

    def again(*_: object) -> None:
        raise AssertionError("the print was made a second time")

    monkeypatch.setattr("lugbook.jobs.report_photos.print_photo", again)

    assert shown_pictures(page_of(pictured)) == [printed]


@pytest.mark.parametrize("harm", [Path.unlink, lambda path: path.write_bytes(photo(1))], ids=["lost", "swapped"])
def test_a_print_that_is_lost_or_swapped_is_made_anew_from_the_original(pictured: Shell, harm) -> None:  # type: ignore[no-untyped-def]
    printed = kept_print(pictured).read_bytes()
    harm(kept_print(pictured))

    assert shown_pictures(page_of(pictured)) == [printed]


def test_verifying_looks_at_the_originals_too(pictured: Shell) -> None:
    digest, entry = kept(pictured).name, pictured.line_count()
    assert "Sound" in pictured.does("book", "verify")
    kept(pictured).write_bytes(photo(1))

    verified = pictured("book", "verify")

    assert "Sound" in verified.out
    assert (verified.exit_code, verified.err) == (
        1,
        f'The original of photo "c12a.jpg" (entry {entry}, SHA-256 {digest[:16]}...) has changed since it was noted.\n',
    )
    kept(pictured).unlink()

    verified = pictured("book", "verify")

    assert verified.exit_code == 0, "a book may be moved without its photos"
    assert f"SHA-256 {digest[:16]}...) is not beside the book." in verified.err


def test_an_original_is_found_by_its_content_in_a_folder_named(pictured: Shell) -> None:
    elsewhere = pictured.folder / "camera"
    elsewhere.mkdir()
    kept(pictured).rename(elsewhere / "another name.jpg")
    (elsewhere / "decoy.jpg").write_bytes(photo()[:-1] + b"x")

    page = page_of(pictured, "--photos", str(elsewhere))

    assert [a for tag, a in page.elements if tag == "img" and a["src"].startswith("data:image/jpeg")]


def test_photos_left_out_are_said(pictured: Shell) -> None:
    kept(pictured).unlink()

    texts = page_of(pictured, "--no-photos").texts

    assert "Left out of this issue on request: 1 photo noted in the book." in texts


def test_a_photo_of_a_sample_is_no_photo_of_the_report(sallowmere: Shell) -> None:
    sample = sallowmere.tells("sample", "list")["samples"][0]
    picture = sallowmere.file("cut.jpg", photo())
    sallowmere.does("sample", "photo", sample["recipe"], sample["sample"], picture)
    kept(sallowmere).unlink()
    picture.unlink()

    page_of(sallowmere)
    texts = page_of(sallowmere, "--no-photos").texts

    assert "Left out of this issue on request" not in "".join(texts)
    assert 'The original of photo "cut.jpg"' in sallowmere("book", "verify").err


def test_an_original_is_named_by_its_digest_alone(tmp_path: Path) -> None:
    digest = keep_original(tmp_path / "boat.db", b"abc")

    # SHA-256 of "abc": FIPS 180-2, appendix B.1.
    assert digest == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert [path.name for path in (tmp_path / "boat_photos").iterdir()] == [digest]


def test_what_is_no_photo_is_not_kept(sallowmere: Shell) -> None:
    file = sallowmere.file("notes.jpg", b"not a picture")

    assert sallowmere.refuses("terminal", "photo", "C12A", file) == (
        'The photo "notes.jpg" cannot be taken: it is none of JPEG, PNG and WebP, or it is damaged.'
    )
    assert not (sallowmere.folder / "book_photos").exists()


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
    """The one number a buyer must not have to look for: how many `terminal show` calls not accepted."""
    ends = [one["cable_end"] for one in sallowmere.tells("terminal", "list")["terminals"]]
    refused = [end for end in ends if sallowmere.tells("terminal", "show", end)["verdict"] == "not accepted"]

    texts = "\n".join(page_of(sallowmere).texts)

    assert refused
    assert f"Not accepted as made: {len(refused)} terminals, {', '.join(refused[:6])} and" in texts
