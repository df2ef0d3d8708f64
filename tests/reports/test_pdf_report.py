"""The PDF report: read in order, cut nowhere, the same bytes each time, and declared as what it is."""

import re
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files
from io import BytesIO

import pytest
from pypdf import PdfReader

from invented_report import (
    BOOK,
    HEAD,
    fill_every_text,
    large_report,
    photo,
    recipe,
    small_report,
    span,
    terminal,
)
from lugbook.errors import PaperUnknown
from lugbook.reports.blocks import Document
from lugbook.reports.html import style_sheet
from lugbook.reports.pdf import pdf_document
from lugbook.reports.photographs import print_photo
from lugbook.reports.typesetting import Paper
from lugbook.reports.workmanship import (
    CableLine,
    Gap,
    Seal,
    Subject,
    SupersededLine,
    WorkmanshipReport,
)
from lugbook.reports.workmanship_pages import workmanship_document


@cache
def small() -> Paper:
    return pdf_document(workmanship_document(small_report()))


def reader_of(paper: Paper) -> PdfReader:
    return PdfReader(BytesIO(paper.content))


def text_of(paper: Paper) -> str:
    """All words in the order of the file; what may break a line or a word is taken out."""
    whole = "\n".join(page.extract_text() for page in reader_of(paper).pages)
    return " ".join(whole.replace("\u200b", "").replace("\u00a0", " ").split())


def test_the_text_reads_in_the_order_of_the_page() -> None:
    text = text_of(small())

    order = [
        "Tern", "An invented cutter", "Issue", "3", "Tern has 1 cable with 2 terminals on record.", "What was found",
        "creeping: rising for some time", "What was not tested", "1 of 3", "watched spans never read", "Open points",
        "C12B/crimp", "Rising 9 % a year since about April 2022", BOOK, HEAD, "Contents", "How to read this report",
        "Method and instruments", "MV1", "Recipe R2", "9323 N (2100 lbf)", "1.80 m (5.9 ft)", "C12A", "made 2021-03-06",
        "20.1 ± 0.4 µΩ", "C12B", "Workmanship, 10 lines: 10 good.", "green", "IEEE 837, older editions",
        "from memory, to be checked", "digits swapped", "no survey of the whole electrical system", HEAD,
    ]  # fmt: skip
    at = 0
    for words in order:
        assert words in text[at:], words
        at = text.index(words, at) + len(words)


def test_it_is_tagged_and_declares_what_it_keeps_to() -> None:
    reader = reader_of(small())

    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert reader.trailer["/Root"]["/Lang"] == "en"
    metadata = reader.trailer["/Root"]["/Metadata"].get_object().get_data().decode()
    assert re.findall(
        r"<pdfaid:part>(\d)</pdfaid:part><pdfaid:conformance>(\w)<", re.sub(r">\s+<", "><", metadata)
    ) == [("2", "A")]
    assert "<pdfuaid:part>1</pdfuaid:part>" in metadata
    assert small().declares_archive
    assert small().remark == ""
    assert "This file declares PDF/A-2a and PDF/UA-1" in text_of(small())


def test_nothing_in_it_runs_or_leads_outside() -> None:
    objects = "".join(
        str(reader_of(small()).get_object(n))
        for n in range(1, 200)
        if n < len(reader_of(small()).xref[0]) + 1
    )

    assert not re.search(r"/(JavaScript|JS|Launch|URI|SubmitForm|EmbeddedFile)\b", objects)


def test_the_same_document_gives_the_same_bytes() -> None:
    assert pdf_document(workmanship_document(small_report())).content == small().content


def test_each_page_says_which_report_it_is_of_and_its_number() -> None:
    pages = reader_of(small()).pages

    for number, page in enumerate(pages, start=1):
        text = page.extract_text()
        assert f"page {number} of {len(pages)}" in text
        assert f"Book {BOOK}" in text
    assert all("Tern · issue 3 · 2026-11-25" in page.extract_text() for page in pages[1:])


@pytest.mark.parametrize(
    ("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792)), ("Letter", (612, 792))]
)
def test_the_paper_is_the_one_asked_for(paper: str, size: tuple[int, int]) -> None:
    """ISO 216 A4 is 210 mm by 297 mm, US Letter 8.5 in by 11 in; 72 points an inch."""
    page = reader_of(pdf_document(workmanship_document(small_report()), paper)).pages[0]

    assert (round(page.mediabox.width), round(page.mediabox.height)) == size


def test_another_paper_is_refused() -> None:
    with pytest.raises(PaperUnknown) as refused:
        pdf_document(workmanship_document(small_report()), "foolscap")

    assert str(refused.value) == '"foolscap" is not a paper we print on; it is a4 or letter.'


def test_the_contents_lead_to_their_pages() -> None:
    reader = reader_of(small())

    outline = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    assert "Method and instruments" in outline
    links = [
        note.get_object()
        for page in reader.pages
        for note in page.get("/Annots", [])
        if note.get_object()["/Subtype"] == "/Link"
    ]
    assert len(links) >= len(workmanship_document(small_report()).sections)


def test_no_heading_stands_alone_at_the_foot_of_a_page() -> None:
    document = workmanship_document(large_report(60, 0))
    titles = {section.title for section in document.sections}

    pages = reader_of(pdf_document(document)).pages

    for page in pages:
        body = [line.strip() for line in page.extract_text().splitlines() if line.strip()]
        body = [line for line in body if not line.startswith(("Book ", "page "))]
        assert body[-1] not in titles
        assert not re.fullmatch(r"C\d{3}[AB]", body[-1])


WORDS = [f"word{number:04}" for number in range(5000 // 9)]
LONG = " ".join(WORDS)


@pytest.mark.parametrize(
    "report",
    [
        pytest.param(small_report(terminals=(terminal(note=LONG),)), id="note of a terminal"),
        pytest.param(small_report(terminals=(terminal(landing=LONG),)), id="hardware of a landing"),
        pytest.param(
            small_report(terminals=(terminal(spans=(span(reasons=(LONG,)),)),)), id="reason of a verdict"
        ),
        pytest.param(small_report(recipes=(recipe(facts=(("note", LONG),)),)), id="note of a recipe"),
        pytest.param(small_report(seal=Seal(BOOK, 812, HEAD, (LONG,))), id="finding of verifying"),
        pytest.param(
            small_report(superseded=(SupersededLine("41", "span", LONG, "", "", "", ""),)), id="old value"
        ),
        pytest.param(small_report(subject=Subject("Tern", LONG, "Tern", "UTC")), id="description of a build"),
    ],
)
def test_5000_letters_are_printed_to_their_end(report: WorkmanshipReport) -> None:
    text = text_of(pdf_document(workmanship_document(report)))

    assert re.findall(r"word\d{4}", text) == WORDS
    assert all(0 < height < 842 for height in heights_of(pdf_document(workmanship_document(report))))


def heights_of(paper: Paper) -> list[float]:
    """How far from the bottom of its page each piece of text stands, in points; below 0 it would be cut off."""
    found: list[float] = []

    def note(text: str, frame: list[float], matrix: list[float], *_: object) -> None:
        if text.strip():
            found.append(matrix[5] * frame[3] + frame[5])

    for page in reader_of(paper).pages:
        page.extract_text(visitor_text=note)
    return found


def test_text_beyond_the_foot_of_a_page_would_be_noticed() -> None:
    heights = heights_of(small())

    assert len(heights) > 100
    assert 30 < min(heights) < 80
    assert max(heights) > 750


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_fullest_summary_of_a_sound_book_is_one_page(paper: str) -> None:
    why = (
        "Jumped up by 91 % between 22 April 2023 and 20 April 2024, over 99 % sure: look for a loose nut first.",
    )
    told = tuple(
        terminal(f"C{n}A", spans=(span(f"C{n}A/landing", "stepped", reasons=why),)) for n in range(12)
    )
    late = tuple(terminal(f"D{n}A", spans=(span(f"D{n}A/crimp", is_overdue=True),)) for n in range(12))
    gaps = tuple(Gap("terminals whose landing (bolted joint) was not measured", n, 92) for n in range(1, 18))

    document = workmanship_document(small_report(terminals=(*told, *late), gaps=gaps))

    first, second = (page.extract_text() for page in reader_of(pdf_document(document, paper)).pages[:2])
    assert HEAD in first
    assert "Contents" in second


@pytest.mark.parametrize("services", [0, 12, 24, 36])
def test_a_title_stands_on_the_page_of_the_table_it_leads_to(services: int) -> None:
    work = tuple(replace(small_report().services[0], note=f"{number}") for number in range(services))
    old = SupersededLine("41", "reading C12A/crimp", "drop: 8.4 mV\ncurrent: 1 A\nround: a", "", "", "", "")

    paper = pdf_document(workmanship_document(small_report(services=work, superseded=(old,) * 12)))

    pages = [" ".join(page.extract_text().split()) for page in reader_of(paper).pages[2:]]
    (titled,) = [page for page in pages if "Nothing in the book is erased." in page]
    assert "Superseded values" in titled
    assert "drop: 8.4 mV" in titled


def test_a_tag_of_200_letters_is_printed_to_its_end() -> None:
    tag = "".join(f"X{number:03}" for number in range(50))

    text = text_of(pdf_document(workmanship_document(small_report(terminals=(terminal(tag),)))))

    assert tag in text.replace(" ", "")


def test_a_tag_wider_than_its_column_goes_on_in_the_next_line() -> None:
    wide = CableLine("W" * 57, "2/0 AWG (67.4 mm²), tinned", "1.80 m (5.9 ft)", "engine → bilge", "M" * 90)

    text = text_of(pdf_document(workmanship_document(small_report(cables=(wide,)))))

    # A W of 8.6 points is 2.8 mm wide or more, and the column 14 mm; an M 2.5 mm, and its column 62 mm.
    assert (text.count("W" * 2) > 0, "W" * 6 in text, "M" * 26 in text) == (True, False, False)


@pytest.mark.parametrize(
    "text",
    [
        "#panic()",
        "*b* _i_ `c` $x/0$ @ref <label> = H",
        "\\u{41} #{1+1}",
        "//c /*d*/",
        '"; #include "/etc/passwd"',
        "{{7*7}}",
    ],
)
def test_markup_in_every_field_is_printed_as_it_was_typed(text: str) -> None:
    paper = pdf_document(workmanship_document(fill_every_text(small_report(), f" {text}")))

    assert text_of(paper).count(" ".join(text.split())) >= 80


def test_control_characters_are_printed_as_replacements() -> None:
    text = text_of(
        pdf_document(
            workmanship_document(small_report(subject=Subject("T\x00e\x1brn\u202e", "", "T", "UTC")))
        )
    )

    assert "T\ufffde\ufffdrn\ufffd" in text


def test_photos_are_set_with_what_they_show() -> None:
    printed = print_photo(photo(), "a.jpg", "crimp from the side")

    paper = pdf_document(workmanship_document(small_report(terminals=(terminal(photos=(printed,)),))))

    assert "crimp from the side" in text_of(paper)
    assert any(image.data == printed.jpeg for page in reader_of(paper).pages for image in page.images)


def test_the_pdf_uses_the_colours_whose_contrast_is_tested() -> None:
    template = files("lugbook.reports").joinpath("templates", "report.typ").read_text("utf-8")

    used = set(re.findall(r"#[0-9a-f]{6}", template))
    assert used
    assert used <= set(re.findall(r"#[0-9a-f]{6}", style_sheet()))


def test_an_empty_document_is_still_a_page() -> None:
    empty: Mapping[str, str] = {
        "kicker": "Kicker",
        "title": "Title",
        "subtitle": "",
        "running": "Book",
        "issue": "issue 1",
    }

    paper = pdf_document(Document(**empty, strip=(), first_page=(), sections=(), day="2026-11-25"))

    assert len(reader_of(paper).pages) == 1
