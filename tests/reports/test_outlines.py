"""Words of a picture in other scripts become outlines in their place, and other words stay words."""

import re

import pytest

from lugbook.reports.outlines import outline_words

SHIP = "سفينة"
"""Its letters join, and our own font has them."""


def picture(words: str, anchor: str = "end") -> str:
    """One text as our plots write it."""
    return (
        f"<svg><text style=\"font-size: 20px; font-family: 'DejaVu Sans', sans-serif; text-anchor: {anchor}; "
        f'fill: #22262a" x="505.4" y="273.5" transform="rotate(-0 505.4 273.5)">{words}</text></svg>'
    )


def across(svg: str) -> tuple[float, float]:
    """From where to where on the page the outline reaches."""
    found = re.search(r'translate\(([-\d.]+) [-\d.]+\) scale\(1 -1\)" fill="#22262a" d="([^"]+)"', svg)
    assert found is not None
    points = re.findall(r"(-?[\d.]+) -?[\d.]+", found[2])
    return float(found[1]) + min(map(float, points)), float(found[1]) + max(map(float, points))


@pytest.mark.parametrize("words", ["Tern, engine", "µΩ ± 2 → 1\u202f000", "Ναυς Дніпро Łukasz"])
def test_words_that_our_fonts_set_letter_by_letter_stay_words(words: str) -> None:
    assert outline_words(picture(words)) == picture(words)


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_words_whose_letters_join_are_drawn_where_they_stood(anchor: str) -> None:
    drawn = outline_words(picture(SHIP, anchor))

    assert "<text" not in drawn
    left, right = across(drawn)
    at = {"start": left, "middle": (left + right) / 2, "end": right}[anchor]
    assert at == pytest.approx(505.4, abs=3.0)
    # Five letters of 20 units, most of them about half as wide as high.
    assert 20 < right - left < 80


def test_words_with_a_letter_that_no_font_has_stay_words() -> None:
    assert outline_words(picture("\U000e0fff漢")) == picture("\U000e0fff漢")
