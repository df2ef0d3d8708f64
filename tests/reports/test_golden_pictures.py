"""Golden pictures: each large plot as it was last looked at and found right; `--renew-golden` draws them anew."""

from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from test_plots import a_story, with_band
from test_round_plot import ROUNDS
from test_trial_plot import evidence

from lugbook.assessment.trial_story import tell_trial
from lugbook.reports.plots import draw_span
from lugbook.reports.round_plot import draw_rounds
from lugbook.reports.trial_plot import draw_trial

FOLDER = Path(__file__).parents[1] / "golden"
COARSER = 4  # pixels to one: another version of a library sets letters a hair aside
CLEARLY = 48  # of 255: a difference that an eye sees
MOST_CLEARLY = 0.0006  # share of the coarser pixels: less than one mark that moved


def a_span(last: float = 26.0) -> bytes:
    """A span with a band, a service and a limit."""
    story = replace(
        with_band(a_story((20.1, 20.3, 22.4, last)), 21, 25, 29),
        service_days=a_story().days[1:2] + 10,
        series_number=np.array([0, 0, 1, 1]),
        limit_microohm=28.0,
    )
    return draw_span(story, "png")


def a_trial() -> bytes:
    """Two settings, one of them not measured."""
    settings = [
        ("R12", "12 hex", evidence(8000, 8200, 8100, 7900, 8050)),
        ("R13", "13 hex", evidence(9900, 10300, 10100, 10000, 10200, measured=False)),
    ]
    return draw_trial(tell_trial(settings), "png")


def clearly_other(one: bytes, other: bytes) -> float:
    """Share of the pixels that differ clearly; 1 for pictures of another size."""
    pixels = [np.asarray(Image.open(BytesIO(png)).convert("L").reduce(COARSER), int) for png in (one, other)]
    if pixels[0].shape != pixels[1].shape:
        return 1.0
    return float((np.abs(pixels[0] - pixels[1]) > CLEARLY).mean())


@pytest.mark.parametrize(
    ("name", "draw"),
    [("span.png", a_span), ("rounds.png", lambda: draw_rounds("Sallowmere", ROUNDS, "png")), ("trial.png", a_trial)],
)  # fmt: skip
def test_a_plot_looks_as_it_did(name: str, draw: Callable[[], bytes], renew_golden: bool) -> None:
    drawn = draw()

    if renew_golden:
        (FOLDER / name).write_bytes(drawn)
    assert clearly_other(drawn, (FOLDER / name).read_bytes()) < MOST_CLEARLY


def test_a_plot_of_another_reading_looks_other() -> None:
    assert clearly_other(a_span(27.5), (FOLDER / "span.png").read_bytes()) > MOST_CLEARLY
