"""What would have been said after each round of many builds."""

from dataclasses import fields

import numpy as np

from lugbook.inference.creep import FEWEST_READINGS
from lugbook.inference.looks import Looks, look_at_builds
from lugbook.inference.series import Floats


def look_at_each_round(
    day: Floats, log_resistance: Floats, own_sd: Floats, gain_sd: float, spans: slice = slice(None)
) -> Looks:
    """What look_at_builds says after each of the first n rounds, n = 1 .. T, day rising: (B, T, S)."""
    gain = np.full(day.shape, gain_sd)
    asked = log_resistance[:, spans, 0].shape
    nothing = (
        np.full(asked, -np.inf),
        np.zeros(asked),
        np.zeros(asked),
        np.full(asked, np.nan),
        np.full(asked, np.nan),
    )
    looks = [Looks(*nothing) for _ in day[: FEWEST_READINGS - 1]]
    for n in range(FEWEST_READINGS, len(day) + 1):
        looks.append(look_at_builds(day[:n], log_resistance[..., :n], own_sd[..., :n], gain[:n], spans))
    return Looks(*(np.stack([getattr(look, f.name) for look in looks], axis=1) for f in fields(Looks)))
