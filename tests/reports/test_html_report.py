"""The HTML report: what it says and in which order, and that no text of a person becomes anything but text."""

import re
from base64 import b64decode, b64encode
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pytest

from invented_report import HEAD, fill_every_text, photo, small_report, terminal
from lugbook.reports.blocks import Document
from lugbook.reports.html import html_document, style_sheet
from lugbook.reports.photographs import print_photo
from lugbook.reports.workmanship import Gap, Seal, WorkmanshipReport
from lugbook.reports.workmanship_pages import extract_document, workmanship_document
from parsed_page import Page

GOLDEN = Path(__file__).parents[1] / "golden" / "workmanship_report.txt"
HOSTILE = (
    "</title></style></script><script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    '<a href="javascript:alert(1)">click</a>',
    "{{7*7}}{% for x in y %}${7*7}#{7*7}",
    '<svg onload=alert(1)><use href="http://example.invalid/x"/></svg>',
    "<!-- --><meta http-equiv=refresh content='0;url=http://example.invalid'>",
    '=HYPERLINK("http://example.invalid")',
    "&lt;b&gt; &amp; &#60;",
    "a\x00b\x1b[31mc\u202ed\u2066e\ud800f",
)


def page_of(report: WorkmanshipReport) -> Page:
    return Page(html_document(workmanship_document(report)).decode())


def text_of(report: WorkmanshipReport) -> str:
    return "\n".join(page_of(report).texts)


def test_the_page_says_what_the_golden_text_says(renew_golden: bool) -> None:
    said = text_of(small_report()) + "\n"

    if renew_golden:
        GOLDEN.write_text(said, encoding="utf-8")
    assert said == GOLDEN.read_text(encoding="utf-8")


def test_the_summary_comes_first_and_what_was_not_tested_stands_beside_what_was_found() -> None:
    text = text_of(small_report())

    order = [
        "Workmanship report", "Tern has 1 cable with 2 terminals on record.", "What was found", "What was not tested",
        "Open points", "Contents", "Method and instruments", "Recipes and their proof", "Cable schedule",
        "Terminals, one by one", "Service history", "What was not tested",
        "Criteria, their source and how they are known", "Superseded values", "Cautions, and the limits of this record",
        "The seal of the book",
    ]  # fmt: skip
    contents = text.index("Contents")
    places = [
        text.index(words) if n < 6 else text.index(words, contents + 500) for n, words in enumerate(order)
    ]
    assert places == sorted(places)


def test_both_panels_of_the_summary_are_of_one_kind() -> None:
    panels = [
        attributes for _, attributes in page_of(small_report()).elements if attributes.get("class") == "panel"
    ]

    assert len(panels) == 2


def test_every_verdict_is_told_by_word_and_by_shape() -> None:
    elements = page_of(small_report()).elements

    shapes = {a["class"] for tag, a in elements if tag == "svg" and a.get("class", "").startswith("mark ")}
    assert shapes == {"mark watch", "mark good", "mark none"}
    assert {"creeping", "steady", "not judged"} <= set(page_of(small_report()).texts)


def test_a_book_that_does_not_verify_is_said_in_words_before_anything_else() -> None:
    unsound = replace(
        small_report(), seal=Seal("0" * 32, 812, HEAD, ("Row 41 of reading does not say what line 41 says.",))
    )
    text = text_of(unsound)

    assert text.index("This book does not verify") < text.index("Tern has 1 cable")
    assert "Row 41 of reading does not say what line 41 says." in text
    assert ("section", {"class": "notice", "role": "note"}) in page_of(unsound).elements


def test_a_page_on_one_cable_of_an_unsound_book_carries_the_notice_too() -> None:
    unsound = replace(small_report(), seal=Seal("0" * 32, 812, HEAD, ("The guard is missing.",)))

    page = Page(html_document(extract_document(unsound, "Report on one cable")).decode())

    assert "This book does not verify" in page.texts


def test_nothing_read_is_said_aloud() -> None:
    bare = replace(
        small_report(),
        terminals=(terminal(spans=()),),
        other_spans=(),
        rounds=(),
        tested_by=(),
        tested_from="",
        tested_to="",
    )

    text = text_of(bare)

    assert "No span of it is watched, so nothing was measured." in text
    assert "Not judged: no span of this terminal is watched, and nothing was measured." in text
    assert "No round of readings is recorded for this build." in text


def test_a_gap_of_nothing_is_not_listed() -> None:
    text = text_of(small_report(gaps=(Gap("recipes without a sample pulled", 0, 4),)))

    assert "recipes without a sample pulled" not in text
    assert "Nothing of what is looked at here is missing." in text


def test_values_known_from_memory_are_marked_where_they_are_shown() -> None:
    assert "from memory, to be checked" in text_of(small_report())


def test_photos_left_out_are_counted() -> None:
    issue = replace(small_report().issue, photos_left_out=3)

    assert "Left out of this issue on request: 3 photos noted in the book." in text_of(
        small_report(issue=issue)
    )


def test_the_same_report_gives_the_same_bytes() -> None:
    assert html_document(workmanship_document(small_report())) == html_document(
        workmanship_document(small_report())
    )


@pytest.mark.parametrize("text", HOSTILE)
def test_text_of_a_person_stays_text(text: str) -> None:
    harmless = page_of(fill_every_text(small_report(), "x"))

    page = page_of(fill_every_text(small_report(), text))

    shape = [(tag, sorted(attributes)) for tag, attributes in page.elements]
    assert shape == [(tag, sorted(attributes)) for tag, attributes in harmless.elements]
    assert page.open == []


def test_hostile_text_is_shown_as_it_was_typed() -> None:
    text = "<script>alert(1)</script>"

    assert f"digits swapped{text}" in page_of(fill_every_text(small_report(), text)).texts


def test_control_characters_are_replaced_and_never_shown() -> None:
    content = html_document(workmanship_document(fill_every_text(small_report(), HOSTILE[-1]))).decode()

    assert "a\ufffdb\ufffd[31mc\ufffdd\ufffde\ufffdf" in content
    assert not re.search("[\x00-\x08\x0b-\x1f\u202a-\u202e\u2066-\u2069]", content)


def test_the_page_asks_for_nothing_and_runs_nothing() -> None:
    pictured = small_report(terminals=(terminal(photos=(print_photo(photo(), "a.jpg", "a"),)),))
    elements = page_of(pictured).elements

    assert {tag for tag, _ in elements} & {
        "script",
        "link",
        "iframe",
        "object",
        "embed",
        "form",
        "base",
        "style",
    } == {"style"}
    assert not [
        name for _, attributes in elements for name in attributes if name.startswith("on") or name == "style"
    ]
    addresses = [a[name] for _, a in elements for name in ("src", "href") if name in a]
    assert addresses
    assert all(address.startswith(("#", "data:image/")) for address in addresses)


def test_the_content_policy_lets_in_the_own_style_and_pictures_alone() -> None:
    content = html_document(workmanship_document(small_report())).decode()
    style = content.split("<style>")[1].split("</style>")[0]
    digest = b64encode(sha256(style.encode()).digest()).decode()

    (policy,) = [
        a["content"] for _, a in Page(content).elements if a.get("http-equiv") == "Content-Security-Policy"
    ]
    assert policy == (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"
    )


def test_every_link_leads_to_a_place_on_the_page() -> None:
    elements = page_of(small_report()).elements

    places = {a["id"] for _, a in elements if "id" in a}
    assert {a["href"].removeprefix("#") for tag, a in elements if tag == "a"} <= places


def test_a_photo_on_the_page_is_the_print_and_says_what_it_is() -> None:
    printed = print_photo(photo(), "a.jpg", "crimp from the side")
    elements = page_of(small_report(terminals=(terminal(photos=(printed,)),))).elements

    (shown,) = [a for tag, a in elements if tag == "img" and "jpeg" in a["src"]]
    assert shown["alt"] == "crimp from the side"
    assert b64decode(shown["src"].split(",")[1]) == printed.jpeg


def test_the_colours_of_text_stand_out_from_their_paper() -> None:
    """At least 4.5:1, WCAG 2.2, success criterion 1.4.3, every ink on every paper it is set on."""
    colours = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", style_sheet()))
    papers = {"paper": "#ffffff", "faint": colours["faint"], "bad-paper": colours["bad-paper"]}
    inks = [name for name in colours if name not in (*papers, "line")]

    assert sorted(inks) == ["bad", "deep", "good", "ink", "open", "soft", "watch"]
    assert all(contrast(colours[ink], paper) >= 4.5 for ink in inks for paper in papers.values())


def test_contrast_is_worked_out_as_published() -> None:
    """Black on white is 21:1 by definition; #767676 on white 4.54:1 is the known limit case of WCAG's own examples."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


def contrast(one: str, other: str) -> float:
    """(L1 + 0.05) / (L2 + 0.05) with relative luminance, WCAG 2.2."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_an_empty_document_is_still_a_page() -> None:
    empty = Document("Kicker", "Title", "", "Book", "issue 1", (), (), (), "2026-11-25")

    assert Page(html_document(empty).decode()).open == []
