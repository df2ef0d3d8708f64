"""The story of a span is its verdict, drawn out over time."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from invented_build import FIRST_ROUND, YEAR, build_of, noisy, watch

from lugbook.assessment.judging import judge_build
from lugbook.assessment.story import tell_story
from lugbook.errors import UnknownSpan

DAY = date(2033, 6, 1)


def test_every_round_is_a_point_as_read_and_corrected() -> None:
    microohm = noisy(np.random.default_rng(1), 8, 6)
    microohm[:, 2] *= 1.05

    story = tell_story(DAY, build_of(microohm), "C03/crimp")

    np.testing.assert_allclose(story.raw_microohm, microohm[3])
    assert story.rounds == ("2024", "2025", "2026", "2027", "2028", "2029")
    assert story.corrected_microohm[2] < story.raw_microohm[2]  # the shift of that round taken out
    assert np.ptp(story.corrected_microohm) < np.ptp(story.raw_microohm)
    assert story.title == "C03/crimp: steady"


def test_a_creep_is_a_band_that_rises_and_widens_from_its_onset() -> None:
    microohm = noisy(np.random.default_rng(2), 12, 8)
    microohm[3] *= np.exp(0.09 * np.maximum(np.arange(8) - 3, 0))
    evidence = build_of(microohm)

    story = tell_story(DAY, evidence, "C03/crimp")

    assert story.verdict == judge_build(DAY, evidence).verdicts[3]
    assert story.band_mid_microohm[0] == pytest.approx(np.median(microohm[3, :4]), rel=0.03)
    assert story.band_mid_microohm[-1] > story.band_mid_microohm[0] * 1.3
    width = story.band_high_microohm / story.band_low_microohm
    assert width[-1] > width[0]
    assert story.band_days[-1] >= story.days[-1] + 365


def test_the_band_of_a_creep_that_began_between_two_looks_meets_the_readings_on_both_sides() -> None:
    """20 microohm until four months before the fourth look, then 18 % a year; the meters 0.4 % alone."""
    microohm = noisy(np.random.default_rng(2), 12, 8, shift_sd=0.002)
    microohm[3] = 20 * np.exp(np.log(1.18) * np.maximum(np.arange(8) - 2.67, 0))

    story = tell_story(DAY, build_of(microohm), "C03/crimp")

    middle = np.interp(story.days, story.band_days, story.band_mid_microohm)
    assert story.verdict.verdict == "creeping"
    assert middle == pytest.approx(story.corrected_microohm, rel=0.03)
    low, high = (np.interp(story.days, story.band_days, band) for band in (story.band_low_microohm,
                                                                            story.band_high_microohm))  # fmt: skip
    assert (low <= middle).all()
    assert (middle <= high).all()


def test_a_service_is_a_mark_and_the_band_is_of_the_current_series_only() -> None:
    evidence = build_of(noisy(np.random.default_rng(3), 4, 8))
    serviced_on = FIRST_ROUND + 3.5 * YEAR
    spans = tuple(
        watch(s.tag, series_count=2, series_started_day=serviced_on) if n == 1 else s
        for n, s in enumerate(evidence.spans)
    )
    later = (evidence.readings.span == 1) & (evidence.readings.round > 3)
    readings = replace(evidence.readings, series=later.astype(np.int64))

    story = tell_story(DAY, replace(evidence, spans=spans, readings=readings), "C01/crimp")

    assert story.service_days.tolist() == [serviced_on]
    assert story.series_number.tolist() == [0, 0, 0, 0, 1, 1, 1, 1]
    assert story.band_days[0] == pytest.approx(FIRST_ROUND + 4 * YEAR)


def test_with_two_readings_nothing_is_claimed() -> None:
    story = tell_story(DAY, build_of(np.full((3, 2), 50.0)), "C00/crimp")

    assert len(story.days) == 2
    assert len(story.band_days) == 0


def test_a_span_never_read_has_an_empty_story() -> None:
    alone = tell_story(DAY, build_of(np.full((1, 2), np.nan)), "C00/crimp")
    beside_others = tell_story(DAY, build_of(np.array([[np.nan, np.nan], [50.0, 51.0]])), "C00/crimp")

    for story in (alone, beside_others):
        assert len(story.days) == 0
        assert story.verdict.verdict == "not judged"


def test_an_unknown_span_is_refused() -> None:
    with pytest.raises(UnknownSpan) as refused:
        tell_story(DAY, build_of(np.full((3, 2), 50.0)), "C99/crimp")

    assert str(refused.value) == (
        "Span C99/crimp: expected one of the 3 spans of build Kittiwake; list them with `lugbook span list`."
    )
