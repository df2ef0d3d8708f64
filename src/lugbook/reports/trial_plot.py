"""What a picture of a trial shows: pull and resistance against die setting, with the minima asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from lugbook.assessment.pull_minima import force_stated
from lugbook.reports.picture_page import (
    BOTTOM,
    FAINT,
    INK,
    LEFT,
    LIMIT,
    RIGHT,
    SERIES_LOOKS,
    TOP,
    blank_page,
    print_page,
    shortened,
    write_foot,
    write_title,
)

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from lugbook.assessment.trial_story import TrialStory, TriedSetting

# Each way to fail has its colour and its shape.
FAILURE_LOOKS = {
    "conductor broke": SERIES_LOOKS[2],
    "pulled out": SERIES_LOOKS[0],
    "lug cracked": SERIES_LOOKS[1],
    "not to failure": (FAINT, "v"),
}
GAP, SPREAD, HALF = 0.105, 0.22, 0.33


def draw_trial(story: TrialStory, file_format: str) -> bytes:
    """Pull at the left, resistance at the right, one place on the axis for each die setting.

    `file_format` is "svg", "png" or "pdf". Raises PictureFormatUnknown.
    """
    with blank_page(file_format) as figure:
        write_title(figure, story.title, story.subtitle)
        wide = (RIGHT - LEFT - GAP) / 2
        pull = figure.add_axes((LEFT, BOTTOM, wide, TOP - BOTTOM - 0.01))
        length = figure.add_axes((LEFT + wide + GAP, BOTTOM, wide, TOP - BOTTOM - 0.01))
        draw_pulls(pull, story.settings)
        draw_ratios(length, story.settings)
        name_settings(pull, story.settings, looks=True)
        name_settings(length, story.settings)
        place_marks(figure, pull)
        share, sure = story.share_percent, story.confidence_percent
        write_foot(
            figure,
            f"Thin line: mean of a setting. Thick line: what {share:g} % of such crimps hold, {sure:g} % sure, "
            "from its own samples alone.",
        )
        return print_page(figure, file_format)


def draw_pulls(axes: Axes, settings: Sequence[TriedSetting]) -> None:
    """Each sample by the way it failed, mean, lower bound and minimum of each setting; kilonewton from zero."""
    for failure, (colour, shape) in FAILURE_LOOKS.items():
        points = [
            (x, pull.newton / 1000)
            for place, setting in enumerate(settings)
            for x, pull in zip(beside(place, len(setting.pulls)), setting.pulls, strict=True)
            if pull.failure == failure
        ]
        if points:
            axes.plot(*zip(*points, strict=True), shape, color=colour, markersize=5, label=failure)
    for place, setting in enumerate(settings):
        if setting.mean_newton is not None:
            axes.hlines(setting.mean_newton / 1000, place - HALF, place + HALF, color=INK, linewidth=1.0)
        if setting.bound_newton is not None and setting.bound_newton > 0:
            axes.hlines(setting.bound_newton / 1000, place - 0.16, place + 0.16, color=INK, linewidth=3.0)
    draw_minima(axes, settings)
    highest = max((pull.newton for setting in settings for pull in setting.pulls), default=1000.0)
    asked = max((setting.minimum.newton for setting in settings if setting.minimum), default=0.0)
    axes.set_ylim(0, 1.12 * max(highest, asked) / 1000)
    axes.set_ylabel("pull (kN)")


def draw_minima(axes: Axes, settings: Sequence[TriedSetting]) -> None:
    """The minimum of the chosen standard over each setting, its name once for each that differs."""
    told: set[tuple[str, float]] = set()
    for place, setting in enumerate(settings):
        if setting.minimum is None:
            continue
        asked = setting.minimum.newton / 1000
        axes.hlines(asked, place - 0.5, place + 0.5, color=LIMIT, linewidth=1.4, linestyle="-.")
        key = (setting.minimum.standard, setting.minimum.newton)
        if key not in told:
            told.add(key)
            mark = ", from memory" if setting.minimum.from_memory else ""
            text = f"{setting.minimum.standard}, {force_stated(setting.minimum)}{mark}"
            name_limit(axes, place - 0.5, asked, text)
    if not told:
        axes.text(0.02, 0.02, "no pull standard chosen", transform=axes.transAxes, color=LIMIT, fontsize=8)


def draw_ratios(axes: Axes, settings: Sequence[TriedSetting]) -> None:
    """Each sample's resistance over that of an equal length of its conductor, and the limit."""
    colour, shape = SERIES_LOOKS[3]
    every = [ratio for setting in settings for ratio in setting.ratios]
    for place, setting in enumerate(settings):
        axes.plot(beside(place, len(setting.ratios)), setting.ratios, shape, color=colour, markersize=4.5)
        if not setting.ratios:
            axes.text(
                place, 0.03 if every else 0.4, "not measured", transform=axes.get_xaxis_transform(), ha="center",
                va="bottom", color=FAINT, fontsize=7.5, rotation=0 if len(settings) <= 4 else 90,
            )  # fmt: skip
            continue
        mean = sum(setting.ratios) / len(setting.ratios)
        axes.hlines(mean, place - HALF, place + HALF, color=INK, linewidth=1.0)
    limit = settings[0].ratio_limit
    low, high = min([*every, limit]), max([*every, limit])
    room = max(high - low, 0.1)
    axes.set_ylim(max(0.0, low - 0.25 * room), high + 0.25 * room)
    axes.axhline(limit, color=LIMIT, linewidth=1.4, linestyle="-.")
    name_limit(axes, -0.5, limit, f"limit {limit:g} times")
    axes.set_ylabel("resistance (times an equal length)")


def name_limit(axes: Axes, x: float, y: float, text: str) -> None:
    """The name of a limit, just above its line."""
    axes.annotate(
        shortened(text, 40), (x, y), xytext=(3, 2.5), textcoords="offset points", color=LIMIT, fontsize=7.5
    )


def name_settings(axes: Axes, settings: Sequence[TriedSetting], *, looks: bool = False) -> None:
    """Die setting and recipe under each place; where asked for, how many of those looked at showed a fault."""
    room = min(14, max(4, 62 // max(len(settings), 1)))
    labels = [f"{shortened(one.die, room)}\n{shortened(one.recipe, room)}" for one in settings]
    if looks:
        labels = [
            f"{label}\n" + (f"{one.faulty}/{one.looked_at} faulty" if one.looked_at else "not seen")
            for label, one in zip(labels, settings, strict=True)
        ]
    axes.set_xticks(range(len(settings)), labels, fontsize=7.5 if len(settings) <= 4 else 5.5)
    axes.set_xlim(-0.5, len(settings) - 0.5)


def beside(place: int, count: int) -> list[float]:
    """Places for so many samples side by side around a setting, in the order they were entered."""
    if count < 2:
        return [float(place)] * count
    return [place - SPREAD + 2 * SPREAD * number / (count - 1) for number in range(count)]


def place_marks(figure: Figure, axes: Axes) -> None:
    """Which mark is which way to fail, in the lower margin."""
    handles, labels = axes.get_legend_handles_labels()
    if handles:
        figure.legend(
            handles, labels, loc="lower left", bbox_to_anchor=(LEFT - 0.085, 0.03), ncols=4, fontsize=7.5,
            frameon=False,
        )  # fmt: skip
