"""A drifted meter moves every steady span of its round by the same part."""

import numpy as np
import pytest
from invented_build import build_of, noisy

from lugbook.assessment.round_story import tell_rounds


def test_every_steady_span_says_how_far_a_round_was_off() -> None:
    microohm = noisy(np.random.default_rng(3), 12, 5, shift_sd=0.0)
    microohm[:, 3] *= 1.04

    stories = tell_rounds(build_of(microohm))

    assert [story.shift.round for story in stories] == ["2024", "2025", "2026", "2027", "2028"]
    assert all(len(story.deviations_percent) == 12 for story in stories)
    # Each span's level takes a fifth of the 4 % along.
    off = [np.mean(story.deviations_percent) for story in stories]
    assert off[3] - np.mean([off[0], off[1], off[2], off[4]]) == pytest.approx(4.0, abs=0.8)


def test_nothing_read_tells_nothing() -> None:
    assert tell_rounds(build_of(np.full((2, 2), np.nan))) == ()
