"""What a picture of rounds shows: by how much each moved all its readings, over what every span of it says."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from lugbook.reports.picture_page import (
    FAINT,
    INK,
    SERIES_LOOKS,
    blank_page,
    place_axes,
    place_legend,
    print_page,
    shortened,
    write_foot,
    write_title,
)

if TYPE_CHECKING:
    from lugbook.assessment.round_story import RoundStory

HOW_TO_READ = (
    "A ring is one steady span: how far it read from its own level. A meter that drifted moves them all."
)
SPREAD = 0.28
"""Half the width over which the spans of a round are laid out."""
FAR_TIMES = 3.0
"""Spans beyond so many times the largest shift and its bar are drawn at the edge."""


def draw_rounds(build: str, rounds: Sequence[RoundStory], file_format: str) -> bytes:
    """By how much each round moved all its readings, with twice the standard uncertainty, and every span's say.

    `file_format` is "svg", "png" or "pdf". Raises PictureFormatUnknown.
    """
    with blank_page(file_format) as figure:
        axes = place_axes(figure)
        write_title(
            figure, f"{build}: what each round did to all its readings", "Already taken out of the verdicts."
        )
        shifts = [one.shift for one in rounds]
        percent, bars = [one.percent for one in shifts], [2 * one.u_percent for one in shifts]
        reach = 1.15 * max((abs(p) + b for p, b in zip(percent, bars, strict=True)), default=1.0) or 1.0
        said = [abs(value) for one in rounds for value in one.deviations_percent]
        reach = max(reach, min(FAR_TIMES * reach, 1.1 * max(said, default=0.0)))
        axes.axhline(0.0, color=INK, linewidth=0.8)
        for place, one in enumerate(rounds):
            _draw_spans(axes, place, one.deviations_percent, reach, named=place == 0)
        colour, shape = SERIES_LOOKS[0]
        axes.errorbar(
            range(len(rounds)), percent, yerr=bars, color=colour, fmt=shape, capsize=3, linewidth=1.1,
            label="shift, ± 2 standard uncertainties", zorder=3,
        )  # fmt: skip
        axes.set_ylim(-reach, reach)
        axes.set_xlim(-0.6, max(len(rounds), 1) - 0.4)
        labels = [f"{shortened(one.round, 14)}\n{one.spans_read} spans" for one in shifts]
        axes.set_xticks(list(range(len(rounds))), labels, fontsize=8 if len(rounds) <= 10 else 6)
        axes.set_ylabel("read high or low (%)")
        axes.set_xlabel("round")
        place_legend(figure, axes)
        write_foot(figure, HOW_TO_READ)
        return print_page(figure, file_format)


def _draw_spans(axes, place: int, deviations: Sequence[float], reach: float, *, named: bool) -> None:  # type: ignore[no-untyped-def]  # matplotlib's own
    """The spans of one round side by side, in the order of the build."""
    count = max(len(deviations), 1)
    across = [place + SPREAD * (2 * (index + 0.5) / count - 1) for index in range(len(deviations))]
    inside = [max(-0.98 * reach, min(0.98 * reach, value)) for value in deviations]
    axes.plot(
        across, inside, linestyle="none", marker="o", markersize=2.2, markerfacecolor="none",
        markeredgecolor=FAINT, markeredgewidth=0.5, label="one span" if named else None, zorder=2,
    )  # fmt: skip
