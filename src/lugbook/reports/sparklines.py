"""The small trend beside a measurement, drawn by hand as light SVG paths.

All trends of a report share one time axis, so that a round stands below itself from entry to entry. Each has its own
height; the grey band, 10 % either side of the first value, is what makes them comparable.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from lugbook.reports.blocks import Drawing

WIDTH, HEIGHT = 120.0, 30.0
MARGIN = 4.0
BAND_SHARE = 0.10
SHOWN_SHARE = 0.16
"""At least so much above and below the first value is shown: noise must not look like news."""
LINE, BAND, LIMIT, PAPER = "#123a5c", "#d9e1e8", "#8a1c2b", "#ffffff"


@dataclass(frozen=True)
class Trend:
    """Values of one span by time: days since 1970-01-01, microohm at 20 degC, which series each belongs to."""

    days: tuple[float, ...]
    microohm: tuple[float, ...]
    series: tuple[int, ...]
    limit_microohm: float | None = None


def draw_trend(trend: Trend, first_day: float, last_day: float, words: str) -> Drawing | None:
    """The trend between two days that all trends share; None where there is no value to draw."""
    points = [
        point
        for point in zip(trend.days, trend.microohm, trend.series, strict=True)
        if math.isfinite(point[1])
    ]
    if not points:
        return None
    first = points[0][1]
    values = [value for _, value, _ in points]
    reach = SHOWN_SHARE * abs(first) or 1.0
    low, high = min(*values, first - reach), max(*values, first + reach)
    limit = trend.limit_microohm
    if limit is not None and high < limit <= high + 0.6 * (high - low):
        high = limit
    across = _scale(first_day, last_day, MARGIN, WIDTH - MARGIN)
    up = _scale(low, high, HEIGHT - MARGIN, MARGIN)
    band_top, band_bottom = up(first + BAND_SHARE * abs(first)), up(first - BAND_SHARE * abs(first))
    parts = [
        f'<rect x="0" y="{band_top:.1f}" width="{WIDTH:g}" height="{band_bottom - band_top:.1f}" fill="{BAND}"/>'
    ]
    if limit is not None and low <= limit <= high:
        parts.append(
            f'<path d="M0 {up(limit):.1f}H{WIDTH:g}" stroke="{LIMIT}" stroke-width="1" stroke-dasharray="5 2 1 2"/>'
        )
    for number in dict.fromkeys(series for _, _, series in points):
        mine = [(across(day), up(value)) for day, value, series in points if series == number]
        parts += _series(mine)
        if number != points[0][2]:
            parts.append(
                f'<path d="M{mine[0][0]:.1f} 1V{HEIGHT - 1:g}" stroke="{LINE}" stroke-width="0.9" '
                'stroke-dasharray="1 2"/>'
            )
    parts.append(_last(across(points[-1][0]), up(points[-1][1]), is_remade=points[-1][2] != points[0][2]))
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {HEIGHT:g}" fill="none">'
        f"{''.join(parts)}</svg>"
    )
    return Drawing(svg, words, 38.0, 9.5)


def _series(points: Sequence[tuple[float, float]]) -> list[str]:
    """A line through the points and a small dot on each."""
    path = "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    dots = "".join(f"M{x:.1f} {y:.1f}h0" for x, y in points)
    return [
        f'<path d="M{path}" stroke="{LINE}" stroke-width="1.1" stroke-linejoin="round"/>',
        f'<path d="{dots}" stroke="{LINE}" stroke-width="2.8" stroke-linecap="round"/>',
    ]


def _last(x: float, y: float, *, is_remade: bool) -> str:
    """The newest value: a ring, or a square in a series after a service."""
    if is_remade:
        shape = f'<rect x="{x - 2.4:.1f}" y="{y - 2.4:.1f}" width="4.8" height="4.8"'
    else:
        shape = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.6"'
    return f'{shape} fill="{PAPER}" stroke="{LINE}" stroke-width="1.2"/>'


class _scale:
    """A straight line from one range to another; the middle where the first range is a point."""

    def __init__(self, low: float, high: float, start: float, end: float) -> None:
        self._low, self._start = low, start
        self._slope = (end - start) / (high - low) if high > low else 0.0
        if high <= low:
            self._start = (start + end) / 2

    def __call__(self, value: float) -> float:
        return self._start + (value - self._low) * self._slope
