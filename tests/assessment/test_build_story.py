"""The story of a whole build is the story of each of its spans."""

from dataclasses import fields
from datetime import date

import numpy as np
from invented_build import build_of, noisy, watch

from lugbook.assessment.judging import judge_build
from lugbook.assessment.story import tell_build, tell_story

DAY = date(2033, 6, 1)


def test_each_span_is_told_as_it_is_told_alone() -> None:
    microohm = noisy(np.random.default_rng(4), 6, 5)
    microohm[2, 3:] *= 2.0
    microohm[5] = np.nan
    evidence = build_of(microohm)

    told = tell_build(DAY, evidence)

    assert told.judgement == judge_build(DAY, evidence)
    assert [story.span for story in told.spans] == [span.tag for span in evidence.spans]
    for story in told.spans:
        alone = tell_story(DAY, evidence, story.span)
        for field in fields(story):
            np.testing.assert_array_equal(getattr(story, field.name), getattr(alone, field.name), field.name)


def test_a_build_that_nobody_read_is_told_as_unread() -> None:
    evidence = build_of(np.full((2, 3), np.nan), [watch("C01/crimp"), watch("C02/crimp")])

    told = tell_build(DAY, evidence)

    assert [story.verdict.verdict for story in told.spans] == ["not judged", "not judged"]
    assert [len(story.days) for story in told.spans] == [0, 0]
