"""Letters of every script in a PDF: set, spelled where no font has them, and the standard declared or why it is not."""

from collections.abc import Callable
from importlib.resources import files

import pytest
from test_pdf_report import text_of

from invented_report import PLOT, small_report, span, terminal
from lugbook.reports import outlines, typesetting
from lugbook.reports.pdf import pdf_document
from lugbook.reports.workmanship import SpanEntry
from lugbook.reports.workmanship_pages import workmanship_document

HEBREW, ARABIC, GREEK, CJK = "שלום", "مرحبا", "Ελληνικά", "漢字"


@pytest.mark.parametrize("letters", [GREEK, HEBREW, ARABIC, "Þórð Łukasz Ğ", "Дніпро", "µΩ ½ ± ≤ → ✓"])
def test_other_scripts_are_set_in_our_own_fonts_and_read_back(letters: str) -> None:
    paper = pdf_document(workmanship_document(small_report(terminals=(terminal(note=letters),))))

    assert paper.declares_archive
    assert paper.remark == ""
    assert all(word in text_of(paper) for word in letters.split())


@pytest.mark.parametrize("template", ["report.typ", "labels.typ", "round_sheet.typ"])
def test_no_template_sets_a_blank_into_a_tag(template: str) -> None:
    # The typesetter puts a gap between Han and Latin letters unless told not to: 電池六A is one tag.
    source = files("lugbook.reports").joinpath("templates", template).read_text("utf-8")

    assert "cjk-latin-spacing: none" in source


def test_letters_that_no_font_has_are_written_as_numbers_and_that_is_said(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    bare = typesetting._fonts
    monkeypatch.setattr(typesetting, "_fonts", lambda root, with_system: bare(root, with_system=False))

    paper = pdf_document(workmanship_document(small_report(terminals=(terminal(note=f"{CJK} and {GREEK}"),))))

    assert f"Note: [U+6F22][U+5B57] and {GREEK}" in text_of(paper)
    assert paper.declares_archive
    assert paper.remark == (
        "No font at hand has these letters, so they stand as their Unicode numbers; the HTML file has them: "
        "U+5B57, U+6F22."
    )
    assert paper.remark in text_of(paper)


@pytest.mark.parametrize(
    ("refused", "said"),
    [
        ("漢字", "the words “漢字” cannot be set as that standard asks. Written in other letters they can be."),
        ("", "a part of it cannot be set as that standard asks. Which one was not found; it is whole all the same."),
    ],
)
def test_where_the_archive_standard_cannot_be_kept_the_file_says_so_and_why(
    refused: str, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    from typst import TypstError

    class Forbidden(TypstError):
        def __str__(self) -> str:
            return "PDF/A-2a error: something it forbids"

    compiled = typesetting._compile

    def refusing(root, data, fonts, stamp, standards):  # type: ignore[no-untyped-def]
        if standards:
            raise Forbidden("", "")
        return compiled(root, data, fonts, stamp, standards)

    monkeypatch.setattr(typesetting, "_compile", refusing)
    monkeypatch.setattr(typesetting, "_letters_without_font", lambda *_: frozenset())
    monkeypatch.setattr(typesetting, "_can_set", lambda _root, words, _fonts: words != [refused])

    paper = pdf_document(workmanship_document(small_report(terminals=(terminal(note="a word of 漢字"),))))

    assert not paper.declares_archive
    assert paper.remark == f"This file does not declare PDF/A: {said}"
    assert paper.remark in text_of(paper)


def test_a_picture_that_keeps_a_file_from_its_standard_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(outlines, "outline_words", lambda svg: svg)
    monkeypatch.setattr(typesetting, "_compile", refusing_pictures_of("word", typesetting._compile))

    paper = pdf_document(workmanship_document(small_report(terminals=(terminal(spans=(plotted("word"),)),))))

    assert paper.remark == (
        "This file does not declare PDF/A: the words in a picture cannot be set as that standard asks. "
        "Written in other letters they can be."
    )


def plotted(words: str) -> SpanEntry:
    """A span with a plot that holds some words."""
    text = (
        f"<text style=\"font-size: 9px; font-family: 'DejaVu Sans', sans-serif; text-anchor: end; fill: #22262a\" "
        f'x="505" y="273" transform="rotate(-0 505 273)">{words}</text></svg>'
    )
    return span("C12A/crimp", "creeping", picture=PLOT.replace("</svg>", text))


def refusing_pictures_of(words: str, compiled: Callable[..., bytes]) -> Callable[..., bytes]:
    """A typesetter that refuses a standard to pictures with these words."""
    from typst import TypstError

    class Forbidden(TypstError):
        def __str__(self) -> str:
            return "PDF/A-2a error: something it forbids"

    def compile_or_refuse(root, data, fonts, stamp, standards):  # type: ignore[no-untyped-def]
        if standards and f">{words}</text>" in str(data):
            raise Forbidden("", "")
        return compiled(root, data, fonts, stamp, standards)

    return compile_or_refuse


@pytest.mark.parametrize("letters", ["漢字", "ﾊﾔﾌﾞｻ"])
def test_words_of_a_plot_in_scripts_no_font_has_are_spelled_and_the_standard_is_kept(
    letters: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    bare = typesetting._fonts
    monkeypatch.setattr(typesetting, "_fonts", lambda root, with_system: bare(root, with_system=False))
    monkeypatch.setattr(outlines, "families_for", lambda _: ("DejaVu Sans",))

    paper = pdf_document(workmanship_document(small_report(terminals=(terminal(spans=(plotted(letters),)),))))

    assert paper.declares_archive
    assert f"[U+{ord(letters[0]):04X}]" in text_of(paper)
