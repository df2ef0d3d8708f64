"""What a picture of readings shows: finished arrays in, the bytes of an SVG, PNG or PDF out.

No state is shared with other users of matplotlib, and the same arrays give the same bytes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from lugbook.reports.picture_page import (
    BAND,
    FAINT,
    INK,
    LIMIT,
    SERIES_LOOKS,
    blank_page,
    place_axes,
    place_legend,
    print_page,
    write_corner,
    write_foot,
    write_title,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from lugbook.assessment.story import SpanStory

TICK_DOWN = 3
"""The plotting library's number of a marker that hangs below its point."""
HOW_TO_READ = "Corrected: the shift of its round is taken out; bars are twice the standard uncertainty."
DAYS_PER_YEAR = 365.25
FAR_TIMES = 1.8
"""A limit so many times beyond the readings is named at the edge, not drawn to scale."""
ODD_TIMES = 6.0
"""A reading so many times off the middle one is named at the edge."""


@dataclass(frozen=True, slots=True)
class Window:
    """The part of the plane that is shown: days since 1970-01-01 UTC, and microohm at 20 degC."""

    first_day: float
    last_day: float
    low: float
    high: float


def draw_span(story: SpanStory, file_format: str, *, joined: str = "") -> bytes:
    """The trend of one span over the years: as read, corrected, services, forecast band and limit.

    `joined` says how, where it is not crimped: "soldered". `file_format` is "svg", "png" or "pdf".
    Raises PictureFormatUnknown.
    """
    with blank_page(file_format) as figure:
        axes = place_axes(figure)
        write_title(figure, story.title, story.subtitle)
        write_corner(figure, ", ".join(filter(None, (story.build, story.place, joined))))
        axes.set_ylabel("resistance at 20 °C (µΩ)")
        axes.set_xlabel("year (ticks at 1 January)")
        if len(story.days) == 0:
            say_nothing_was_read(axes)
            return print_page(figure, file_format)
        window = window_of(story)
        axes.set_xlim(window.first_day, window.last_day)
        axes.set_ylim(window.low, window.high)
        axes.yaxis.set_major_formatter(plain_numbers())
        mark_years(axes, window)
        draw_band(axes, story)
        draw_services(axes, story)
        draw_limit(axes, story.limit_microohm, window)
        draw_readings(axes, story)
        point_out(axes, story, window)
        place_legend(figure, axes)
        write_foot(figure, HOW_TO_READ)
        return print_page(figure, file_format)


def window_of(story: SpanStory) -> Window:
    """Room for every reading that is near the others, for the band, and for a limit that is not far off."""
    days = [float(day) for column in (story.days, story.service_days, story.band_days) for day in column]
    days = [day for day in days if math.isfinite(day)]
    first, last = min(days), max(days)
    margin = max(0.04 * (last - first), (2.2 * DAYS_PER_YEAR - (last - first)) / 2)
    low, high = reach_of(story)
    limit = story.limit_microohm
    if limit is not None and high < limit <= FAR_TIMES * high:
        high = limit
    if limit is not None and low > limit >= low / FAR_TIMES:
        low = limit
    room = max(high - low, 0.2 * abs(high + low) / 2, 1e-6)
    middle = (high + low) / 2
    bottom = middle - 0.62 * room
    return Window(
        first - margin, last + margin, max(0.0, bottom) if low >= 0 else bottom, middle + 0.62 * room
    )


def reach_of(story: SpanStory) -> tuple[float, float]:
    """Lowest and highest microohm worth room."""
    corrected, bar = story.corrected_microohm, story.corrected_expanded_microohm
    shown = [float(r) for r in (*story.raw_microohm, *corrected) if math.isfinite(r)] or [0.0]
    middle = sorted(shown)[len(shown) // 2]
    near = [r for r in shown if is_near(r, middle)] or [middle]
    ends = [*(corrected - bar), *(corrected + bar), *story.band_low_microohm, *story.band_high_microohm]
    # A wide bar or band may take some room, not all of it.
    floor, ceiling = min(near) - 1.5 * abs(middle), max(near) + 1.5 * abs(middle)
    kept = [min(max(float(end), floor), ceiling) for end in ends if is_near(float(end), middle)]
    low = min(near + kept)
    return (max(low, 0.0) if min(near) >= 0 else low), max(near + kept)


def is_near(microohm: float, middle: float) -> bool:
    """Whether a number can share an axis with the middle reading."""
    return math.isfinite(microohm) and abs(microohm) <= ODD_TIMES * abs(middle)


def say_nothing_was_read(axes: Axes) -> None:
    """An empty frame that says why it is empty."""
    axes.set_xticks([])
    axes.set_yticks([])
    axes.text(0.5, 0.5, "no reading yet", transform=axes.transAxes, ha="center", color=FAINT, fontsize=11)


def mark_years(axes: Axes, window: Window) -> None:
    """A tick at each first of January, as many as fit, and small ones each quarter where all fit."""
    first, last = year_of(window.first_day), year_of(window.last_day)
    step = max(1, math.ceil((last - first) / 10))
    years = {new_year_day(year): str(year) for year in range(first, last + 1) if year % step == 0}
    shown = {day: year for day, year in years.items() if is_inside(day, window)}
    axes.set_xticks(list(shown), list(shown.values()))
    if step == 1:
        quarters = [day + part * DAYS_PER_YEAR / 4 for day in years for part in (1, 2, 3)]
        shown_quarters = [day for day in quarters if is_inside(day, window)]
        # As one row of marks: the library's own small ticks cost a third of the whole picture's time.
        axes.plot(
            shown_quarters,
            [0.0] * len(shown_quarters),
            transform=axes.get_xaxis_transform(),
            color=INK,
            linestyle="none",
            marker=TICK_DOWN,
            markersize=2,
            markeredgewidth=0.6,
            clip_on=False,
            label="_",
        )


def plain_numbers() -> Any:
    """Ticks without powers of ten or offsets. (Any: the library has no type for it.)"""
    from matplotlib.ticker import ScalarFormatter

    formatter = ScalarFormatter(useOffset=False)
    formatter.set_scientific(False)
    return formatter


def year_of(day: float) -> int:
    """The calendar year of a day since 1970-01-01."""
    return date.fromordinal(date(1970, 1, 1).toordinal() + math.floor(day)).year


def new_year_day(year: int) -> float:
    """1 January of a year, in days since 1970-01-01."""
    return float((date(year, 1, 1) - date(1970, 1, 1)).days)


def is_inside(day: float, window: Window) -> bool:
    """Whether a day is shown at all."""
    return window.first_day <= day <= window.last_day


def draw_band(axes: Axes, story: SpanStory) -> None:
    """The trend and where 90 % of it lies, up to the next test."""
    if len(story.band_days) == 0:
        return
    axes.fill_between(
        story.band_days,
        story.band_low_microohm,
        story.band_high_microohm,
        color=BAND,
        linewidth=0,
        label="trend, 5 % to 95 %, to the next test",
    )
    axes.plot(
        story.band_days, story.band_mid_microohm, color=SERIES_LOOKS[0][0], linestyle="--", linewidth=1.1
    )


def draw_services(axes: Axes, story: SpanStory) -> None:
    """An upright line where a new series starts."""
    for number, day in enumerate(story.service_days):
        axes.axvline(
            day, color=INK, linestyle=":", linewidth=1.2, label="_" if number else "service: a new series"
        )


def draw_limit(axes: Axes, limit_microohm: float | None, window: Window) -> None:
    """The limit to scale, or its name with an arrow at the edge beyond which it lies."""
    if limit_microohm is None:
        return
    text = f"limit {plain_microohm(limit_microohm)}"
    if window.low <= limit_microohm <= window.high:
        axes.axhline(limit_microohm, color=LIMIT, linewidth=1.4, linestyle="-.")
        height, transform = limit_microohm, axes.get_yaxis_transform()
    elif limit_microohm > window.high:
        text, height, transform = f"{text} ↑", 1.0, axes.transAxes
    else:
        text, height, transform = f"{text} ↓", 0.0, axes.transAxes
    axes.annotate(
        text,
        (1.0, height),
        xycoords=transform,
        xytext=(-2, 3),
        textcoords="offset points",
        ha="right",
        va="bottom",
        color=LIMIT,
        fontsize=8,
    )


def plain_microohm(microohm: float) -> str:
    """Four digits, thousands apart, never a power of ten."""
    digits = max(0, 3 - math.floor(math.log10(abs(microohm)))) if microohm else 0
    text = f"{microohm:,.{digits}f}".replace(",", "\u202f")
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} µΩ"


def draw_readings(axes: Axes, story: SpanStory) -> None:
    """As read, hollow and faint; corrected, solid with bars; a shape and a colour for each series."""
    latest = int(story.series_number.max())
    for number in sorted({int(series) for series in story.series_number}):
        colour, shape = SERIES_LOOKS[number % len(SERIES_LOOKS)]
        mine = story.series_number == number
        axes.plot(
            story.days[mine],
            story.raw_microohm[mine],
            color="none",
            markeredgecolor=FAINT,
            marker=shape,
            markersize=7.5,
            label="as read" if number == latest else "_",
        )
        axes.errorbar(
            story.days[mine],
            story.corrected_microohm[mine],
            yerr=story.corrected_expanded_microohm[mine],
            color=colour,
            fmt=shape,
            markersize=4.5,
            capsize=2.5,
            linewidth=1.1,
            label=series_name(number) if number in (0, latest) else "_",
        )


def series_name(number: int) -> str:
    """What the person calls a series."""
    return "as made, corrected" if number == 0 else f"after service {number}, corrected"


def point_out(axes: Axes, story: SpanStory, window: Window) -> None:
    """Readings beyond the edge, named at the edge where they would be."""
    for day, microohm in zip(story.days, story.corrected_microohm, strict=True):
        if window.low <= microohm <= window.high or not math.isfinite(microohm):
            continue
        is_above = microohm > window.high
        axes.annotate(
            f"{'▲' if is_above else '▼'} {plain_microohm(microohm)}",
            (day, window.high if is_above else window.low),
            xytext=(0, -3 if is_above else 3),
            textcoords="offset points",
            ha="center",
            va="top" if is_above else "bottom",
            fontsize=7.5,
        )
