"""Pictures of spans and rounds: their bytes, their words, and what they refuse to squash."""

import re
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from html import unescape
from io import BytesIO
from typing import cast
from xml.etree import ElementTree

import numpy as np
import pytest
from pypdf import PdfReader

from lugbook.assessment.judging import SpanVerdict
from lugbook.assessment.story import SpanStory
from lugbook.errors import PictureFormatUnknown
from lugbook.reports import machine_fonts
from lugbook.reports.plots import draw_span, plain_microohm, window_of

FORMATS = ("svg", "png", "pdf")


def april(year: int) -> float:
    return float((date(year, 4, 18) - date(1970, 1, 1)).days)


def a_story(microohm: Sequence[float] = (20.1, 20.3, 19.9, 20.2), first_year: int = 2021) -> SpanStory:
    """A steady span read once a year, with no limit and nothing claimed of its future."""
    readings, nothing = np.array(microohm, dtype=float), np.array([], dtype=float)
    years = range(first_year, first_year + len(readings))
    return SpanStory(
        build="Sallowmere",
        span="C12A/crimp",
        kind="crimp",
        place="bilge",
        title="C12A/crimp: steady",
        subtitle="It has not changed by more than its own noise.",
        days=np.array([april(year) for year in years]),
        rounds=tuple(str(year) for year in years),
        raw_microohm=readings * 1.01,
        expanded_microohm=readings * 0.03,
        corrected_microohm=readings,
        corrected_expanded_microohm=readings * 0.02,
        series_number=np.zeros(len(readings), dtype=np.int64),
        service_days=nothing,
        limit_microohm=None,
        band_days=nothing,
        band_mid_microohm=nothing,
        band_low_microohm=nothing,
        band_high_microohm=nothing,
        verdict=cast(SpanVerdict, None),  # a picture takes only finished arrays and words
    )


def with_band(story: SpanStory, low: float, middle: float, high: float) -> SpanStory:
    days = np.array([story.days[0], april(2027)])
    return replace(
        story,
        band_days=days,
        band_low_microohm=np.full(2, low),
        band_mid_microohm=np.full(2, middle),
        band_high_microohm=np.full(2, high),
    )


def words_of(svg: bytes) -> list[str]:
    """Every text in the picture, in the order in which it is drawn."""
    return [unescape(found) for found in re.findall(r"<text[^>]*>([^<]*)</text>", svg.decode("utf-8"))]


@pytest.mark.parametrize(
    ("file_format", "start"), [("svg", b"<?xml"), ("png", b"\x89PNG\r\n\x1a\n"), ("pdf", b"%PDF-")]
)
def test_a_picture_begins_as_its_format_demands(file_format: str, start: bytes) -> None:
    assert draw_span(a_story(), file_format).startswith(start)


@pytest.mark.parametrize("file_format", FORMATS)
def test_the_same_story_gives_the_same_bytes(file_format: str) -> None:
    story = with_band(replace(a_story(), limit_microohm=28.0), 19, 20, 21)

    assert draw_span(story, file_format) == draw_span(story, file_format)


@pytest.mark.parametrize("file_format", FORMATS)
def test_no_day_and_no_version_gets_into_the_bytes(file_format: str) -> None:
    picture = draw_span(a_story(), file_format)

    assert not re.search(rb"CreationDate|<dc:date>|Software|Matplotlib v|matplotlib\.org", picture)


def test_another_format_is_refused_by_name() -> None:
    with pytest.raises(PictureFormatUnknown) as refusal:
        draw_span(a_story(), "gif")

    assert str(refusal.value) == "No picture can be drawn as 'gif'; name the file with one of svg, png, pdf."


def test_the_picture_says_span_verdict_units_build_and_limit() -> None:
    words = words_of(draw_span(replace(a_story(), limit_microohm=28.0), "svg"))

    assert {"C12A/crimp: steady", "It has not changed by more than its own noise.", "Sallowmere, bilge"} <= {
        *words
    }
    assert {"resistance at 20 °C (µΩ)", "year (ticks at 1 January)", "limit 28 µΩ", "2022", "2024"} <= {
        *words
    }
    assert {"as read", "as made, corrected"} <= {*words}


def test_a_trend_band_is_named() -> None:
    words = words_of(draw_span(with_band(a_story(), 19, 20, 21), "svg"))

    assert "trend, 5 % to 95 %, to the next test" in words


def test_a_limit_far_above_is_named_at_the_edge_and_squashes_nothing() -> None:
    far = replace(a_story(), limit_microohm=1_000_000.0)

    assert window_of(far) == window_of(a_story())
    assert "limit 1\u202f000\u202f000 µΩ ↑" in words_of(draw_span(far, "svg"))


def test_a_limit_far_below_is_named_at_the_lower_edge() -> None:
    assert "limit 5 µΩ ↓" in words_of(draw_span(replace(a_story(), limit_microohm=5.0), "svg"))


@pytest.mark.parametrize(("limit", "is_to_scale"), [(30.0, True), (45.0, False)], ids=["1.4 times", "twice"])
def test_a_limit_is_to_scale_up_to_some_distance(limit: float, is_to_scale: bool) -> None:
    assert (window_of(replace(a_story(), limit_microohm=limit)).high > limit) is is_to_scale


def test_a_reading_a_thousand_times_too_high_is_named_and_squashes_nothing() -> None:
    slipped = a_story([14.0, 14.2, 14.1, 13960.0, 14.3])

    window = window_of(slipped)

    assert window.high < 20
    assert "▲ 13\u202f960 µΩ" in words_of(draw_span(slipped, "svg"))


def test_noise_is_not_blown_up_to_fill_the_picture() -> None:
    window = window_of(a_story([20.00, 20.01, 19.99]))

    assert window.high - window.low > 0.2 * 20


def test_a_bar_wider_than_its_reading_stops_at_zero() -> None:
    story = replace(a_story([20.0, 25.0]), corrected_expanded_microohm=np.array([30.0, 35.0]))

    assert window_of(story).low == 0.0


def test_one_reading_is_shown_with_a_year_on_either_side() -> None:
    window = window_of(a_story([20.0]))

    assert window.last_day - window.first_day == pytest.approx(2.2 * 365.25)
    assert window.first_day < april(2021) < window.last_day
    assert draw_span(a_story([20.0]), "png")


def test_no_reading_says_so() -> None:
    words = words_of(draw_span(replace(a_story([]), limit_microohm=28.0), "svg"))

    assert "no reading yet" in words
    assert not [word for word in words if "limit" in word or "Corrected" in word]


def test_a_service_starts_a_series_with_a_mark_of_its_own() -> None:
    serviced = replace(
        a_story(), series_number=np.array([0, 0, 1, 1]), service_days=np.array([april(2022) + 200])
    )

    words = words_of(draw_span(serviced, "svg"))

    assert {"service: a new series", "as made, corrected", "after service 1, corrected"} <= {*words}


HOSTILE = {
    "dollars are no formula": "C$_{12}$A/$\\frac{1}{0}$",
    "markup": "<script>alert(1)</script> & \"quotes\" 'n' ]]>",
    "greek": "ΔΩµ-κύριος/crimp",
    "a script the font lacks": "船の端子/crimp",
    "right to left": "מצבר/crimp",
    "a backslash at the end": "C12A\\",
    "percent": "%d %s {0} 100 %",
}


@pytest.mark.parametrize("file_format", FORMATS)
@pytest.mark.parametrize("name", HOSTILE.values(), ids=HOSTILE.keys())
def test_any_name_is_drawn_as_it_is(name: str, file_format: str) -> None:
    picture = draw_span(replace(a_story(), title=name, subtitle=name, build=name), file_format)

    if file_format == "svg":
        ElementTree.parse(BytesIO(picture))
        assert words_of(picture).count(name) == 2


def test_control_characters_do_not_break_the_svg() -> None:
    picture = draw_span(replace(a_story(), title="C12A\x00\x07\n/crimp\ud800"), "svg")

    ElementTree.parse(BytesIO(picture))
    assert "C12A\ufffd\ufffd /crimp\ufffd" in words_of(picture)


def test_a_long_title_keeps_its_beginning_and_its_end() -> None:
    words = words_of(draw_span(replace(a_story(), title="C12" * 80 + "/crimp: steady"), "svg"))

    (title,) = (word for word in words if "…" in word)
    assert title.startswith("C12C12")
    assert title.endswith("/crimp: steady")
    assert len(title) == 120


def test_the_settings_of_the_person_do_not_change_the_picture() -> None:
    import matplotlib

    plain = draw_span(a_story(), "svg")
    with matplotlib.rc_context({"font.size": 30, "axes.facecolor": "black", "svg.fonttype": "path"}):
        assert draw_span(a_story(), "svg") == plain


def test_drawing_leaves_the_settings_of_the_person_alone() -> None:
    import matplotlib

    before = dict(matplotlib.rcParams)
    draw_span(a_story(), "svg")

    assert dict(matplotlib.rcParams) == before


def test_drawing_every_format_never_loads_pyplot() -> None:
    script = (
        "import sys; sys.path[:0] = sys.argv[1:]\n"
        "import lugbook.reports.round_plot as plots\n"
        "print('matplotlib' in sys.modules, 'numpy' in sys.modules)\n"
        "for kind in ('svg', 'png', 'pdf'): plots.draw_rounds('Sallowmere', [], kind)\n"
        "print('matplotlib.pyplot' in sys.modules)\n"
    )

    run = subprocess.run(
        [sys.executable, "-c", script, *sys.path], capture_output=True, text=True, check=True
    )

    assert run.stdout.split() == ["False", "False", "False"]


@pytest.mark.parametrize(
    ("microohm", "text"),
    [
        (0.0, "0 µΩ"),
        (0.84, "0.84 µΩ"),
        (8.5, "8.5 µΩ"),
        (45.0, "45 µΩ"),
        (999.96, "1\u202f000 µΩ"),
        (13960.4, "13\u202f960 µΩ"),
        (-8.04, "-8.04 µΩ"),
    ],
)
def test_a_resistance_is_written_without_powers_of_ten(microohm: float, text: str) -> None:
    assert plain_microohm(microohm) == text


def test_a_sentence_of_110_letters_stands_on_one_line_inside_the_picture() -> None:
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    from lugbook.reports.picture_page import blank_page, write_title

    sentence = (
        "Rising 19 % a year since about November 2022 (18 to 20), over 99 % sure; at this rate over its limit in 2029."
    )
    with blank_page("png") as figure:
        write_title(figure, "C26A/crimp: creeping", sentence)
        under = figure.texts[-1]
        box = under.get_window_extent(FigureCanvasAgg(figure).get_renderer())

    assert len(sentence) == 109
    assert under.get_text() == sentence
    assert box.x1 < figure.bbox.x1


def test_letters_that_no_font_has_are_spelled_in_a_picture_without_a_warning(
    monkeypatch: pytest.MonkeyPatch, recwarn: pytest.WarningsRecorder
) -> None:
    monkeypatch.setattr(machine_fonts, "families_for", lambda _: ("DejaVu Sans",))

    page = draw_span(replace(a_story(), title="電池A/crimp: steady"), "pdf")

    text = PdfReader(BytesIO(page)).pages[0].extract_text()
    assert "[U+96FB][U+6C60]A/crimp: steady" in text
    assert draw_span(replace(a_story(), title="電池A/crimp: steady"), "png").startswith(b"\x89PNG")
    assert not recwarn.list


def test_an_svg_holds_the_words_whatever_fonts_the_machine_has() -> None:
    page = draw_span(replace(a_story(), build="はやぶさ丸"), "svg")

    assert "はやぶさ丸, bilge" in words_of(page)
    assert set(re.findall(r"font-family: ([^;\"]+)", page.decode())) == {"'DejaVu Sans', sans-serif"}


def test_a_font_of_the_machine_is_borrowed_for_the_text_that_needs_it_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # A family that comes with the plotting library stands in for one of the machine.
    asked: list[frozenset[str]] = []

    def families(letters: frozenset[str]) -> tuple[str, ...]:
        asked.append(letters)
        return ("DejaVu Sans", "DejaVu Serif")

    monkeypatch.setattr(machine_fonts, "families_for", families)
    monkeypatch.setattr(machine_fonts, "letters_lacking", lambda *_: frozenset())

    draw_span(replace(a_story(), build="Χελιδόνι"), "png")

    assert [{sign for sign in letters if sign > "\u024f"} for letters in asked if "Χ" in letters] == [
        set("Χελιδόνι")
    ]
    assert all(max(letters) > "\u024f" for letters in asked)
