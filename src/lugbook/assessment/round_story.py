"""What every span says of each round, as finished numbers for a picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lugbook.assessment.evidence import BuildEvidence
from lugbook.assessment.findings import examine, percent
from lugbook.assessment.judging import RoundShift, round_shifts
from lugbook.inference.creep import STEADY
from lugbook.inference.series import median_of_rows


@dataclass(frozen=True)
class RoundStory:
    """One round with one pair of instruments."""

    shift: RoundShift
    deviations_percent: tuple[
        float, ...
    ]  # of each steady span from its own level, as read; check standards too


def tell_rounds(evidence: BuildEvidence) -> tuple[RoundStory, ...]:
    """The rounds of a build in order of time; none where nothing usable was read."""
    found = examine(evidence)
    if found is None:
        return ()
    steady = np.array([word == STEADY for word in found.creep.verdict])
    level = median_of_rows(found.creep.corrected)  # not dragged by one reading that was bad
    off = percent(found.layout.log_resistance - level[:, None])[steady]
    return tuple(
        RoundStory(shift, tuple(column[~np.isnan(column)].tolist()))
        for shift, column in zip(round_shifts(found), off.T[found.read_count > 0], strict=True)
    )
