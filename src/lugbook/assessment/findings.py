"""All that was computed of a build before any verdict, and where in it each span lies."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from lugbook.assessment.bracketing import Bracket, brackets_of
from lugbook.assessment.evidence import CHECK_STANDARD, BuildEvidence, Flags, Floats, Whole
from lugbook.assessment.layout import Layout, lay_out
from lugbook.assessment.weighing import weigh_readings
from lugbook.inference.creep import CreepAssessment, assess_creep


@dataclass(frozen=True)
class Findings:
    """Arrays with one entry per span where not said otherwise."""

    evidence: BuildEvidence
    layout: Layout
    creep: CreepAssessment  # one row per series
    row: Whole  # row of the current series of each span
    count: Whole  # readings of the current series: rounds in which it was read
    first_column: Whole  # of the current series; 0 where it has no reading
    last_column: Whole
    ever_read: Flags  # in any series
    limit_microohm: Floats  # NaN where none was stated
    is_check: Flags
    read_count: Whole  # (T,) series read in each column, but not at a service alone: they say what the round did
    check_count: Whole  # (T,) check standards among them
    brackets: tuple[Bracket | None, ...]  # (T,) how each column lies between check standards


def examine(evidence: BuildEvidence) -> Findings | None:
    """Weigh, lay out and assess the readings; None where the build has no usable reading."""
    if len(evidence.readings.day) == 0 or not evidence.spans:
        return None
    worth = weigh_readings(evidence.readings)
    layout = lay_out(evidence, worth)
    read = ~np.isnan(layout.microohm_20c)
    if not read.any():
        return None
    is_check = np.array([span.kind == CHECK_STANDARD for span in evidence.spans])
    row_is_check = np.repeat(is_check, np.diff(layout.first_row))
    creep = assess_creep(
        layout.day, layout.log_resistance, layout.own_sd, layout.gain_sd,
        check_standard=row_is_check, votes=layout.votes,
    )  # fmt: skip
    row = layout.first_row[1:] - 1
    limits = [np.nan if span.limit_microohm is None else span.limit_microohm for span in evidence.spans]
    return Findings(
        evidence=evidence,
        layout=layout,
        creep=creep,
        row=row,
        count=np.count_nonzero(read, axis=1)[row],
        first_column=np.argmax(read, axis=1)[row],
        last_column=(read.shape[1] - 1 - np.argmax(read[:, ::-1], axis=1))[row],
        ever_read=np.add.reduceat(read.any(axis=1), layout.first_row[:-1]) > 0,
        limit_microohm=np.array(limits, float),
        is_check=is_check,
        read_count=np.count_nonzero(layout.votes, axis=0),
        check_count=np.count_nonzero(layout.votes & row_is_check[:, None], axis=0),
        brackets=brackets_of(evidence, worth, layout.column, len(layout.day)),
    )


def percent(log_change: Floats) -> Floats:
    """A change in ln resistance as percent: 0.0953 is 10 %."""
    return np.asarray(100 * np.expm1(log_change))
