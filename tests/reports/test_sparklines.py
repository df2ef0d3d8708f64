"""The small trends: where their points stand, what is drawn beside them, and that they stay light."""

import re
from xml.etree import ElementTree

import pytest

from lugbook.reports.sparklines import HEIGHT, MARGIN, WIDTH, Trend, draw_trend


def drawn(*microohm: float, series: tuple[int, ...] = (), limit: float | None = None) -> str:
    trend = Trend(tuple(range(len(microohm))), microohm, series or (0,) * len(microohm), limit)
    drawing = draw_trend(trend, 0, max(len(microohm) - 1, 1), "words")
    assert drawing is not None
    return drawing.svg


def points(svg: str) -> list[tuple[float, float]]:
    """The corners of the first line drawn."""
    line = re.search(r'<path d="M([^"]*)" stroke="#123a5c" stroke-width="1.1"', svg)
    assert line is not None
    return [(float(x), float(y)) for x, y in (pair.split() for pair in line[1].split("L"))]


def test_a_trend_as_it_has_always_been_drawn() -> None:
    """A golden picture: two values 10 % apart, on an axis of two days, 16 % either side of the first."""
    assert drawn(20, 22) == (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 30" fill="none">'
        '<rect x="0" y="8.1" width="120" height="13.8" fill="#d9e1e8"/>'
        '<path d="M4.0 15.0L116.0 8.1" stroke="#123a5c" stroke-width="1.1" stroke-linejoin="round"/>'
        '<path d="M4.0 15.0h0M116.0 8.1h0" stroke="#123a5c" stroke-width="2.8" stroke-linecap="round"/>'
        '<circle cx="116.0" cy="8.1" r="2.6" fill="#ffffff" stroke="#123a5c" stroke-width="1.2"/></svg>'
    )


def test_the_first_and_last_day_stand_at_the_ends() -> None:
    corners = points(drawn(20, 21, 20))

    assert [x for x, _ in corners] == [MARGIN, WIDTH / 2, WIDTH - MARGIN]


def test_a_rise_goes_up_the_page() -> None:
    (_, before), (_, after) = points(drawn(20, 40))

    assert after < before


def test_noise_of_one_percent_stays_within_a_tenth_of_the_height() -> None:
    heights = [y for _, y in points(drawn(20, 20.2, 19.8, 20.1))]

    assert max(heights) - min(heights) < 0.1 * HEIGHT


@pytest.mark.parametrize(("limit", "is_drawn"), [(24.0, True), (65.0, False), (None, False)])
def test_a_limit_is_drawn_where_it_is_near(limit: float | None, is_drawn: bool) -> None:
    assert ("#8a1c2b" in drawn(20, 21, limit=limit)) is is_drawn


def test_a_service_breaks_the_line_and_ends_it_in_a_square() -> None:
    svg = drawn(20, 30, 19, 19.5, series=(0, 0, 1, 1))

    assert points(svg) == points(drawn(20, 30, 19, 19.5, series=(0, 0, 1, 1)))
    assert len(points(svg)) == 2
    assert 'stroke-dasharray="1 2"' in svg
    assert "<circle" not in svg


def test_no_value_gives_no_picture() -> None:
    assert draw_trend(Trend((), (), ()), 0, 1, "words") is None
    assert draw_trend(Trend((1.0,), (float("nan"),), (0,)), 0, 1, "words") is None


@pytest.mark.parametrize("microohm", [(0.0, 0.0), (1e-9, 1e9), (-5.0, 5.0), (20.0,)])
def test_odd_values_still_give_a_picture_of_plain_numbers(microohm: tuple[float, ...]) -> None:
    svg = drawn(*microohm)

    ElementTree.fromstring(svg)
    assert "nan" not in svg
    assert "inf" not in svg
    assert not re.search(r"\de[+-]?\d", re.sub("#[0-9a-f]{6}", "", svg))


def test_a_trend_of_twenty_readings_is_under_two_kilobytes() -> None:
    assert len(drawn(*(20 + 0.1 * n for n in range(20)))) < 2000
