"""What a crimp adds to its cable, by hand arithmetic."""

from math import sqrt

import numpy as np
import pytest

from lugbook.assessment.lug import CableInside, lug_share, placement_sd, word_lug_share

# 2/0 AWG: 0.2557 microohm a millimetre (equal-length table, 255.7 microohm/m), known to 1.7 %.
CABLE = CableInside(0.2557, 0.017, placement_millimetre=1.0, probe_millimetre=25.0)


def test_what_is_left_without_the_cable_is_the_lugs() -> None:
    share = lug_share(14.3, 0.2, CABLE)

    # 25 mm x 0.2557 = 6.39; 14.3 - 6.39 = 7.91, as much as 7.91 / 0.2557 = 30.9 mm.
    assert share is not None
    assert share.cable_microohm == pytest.approx(6.39, abs=0.005)
    assert share.added_microohm == pytest.approx(7.91, abs=0.005)
    assert share.worth_millimetre == pytest.approx(30.9, abs=0.05)


def test_its_uncertainty_has_the_cable_and_the_ruler_in_it() -> None:
    share = lug_share(14.3, 0.2, CABLE)

    # Length: a ruler's +/- 1 mm, 0.577 mm. Cable: 25 x 0.2557 x 1.7 % = 0.109 and 0.577 x 0.2557 = 0.148, together
    # 0.183. All in: sqrt(0.2^2 + 0.183^2) = 0.271. Worth: 14.3/0.2557 = 55.9 mm x sqrt((0.2/14.3)^2 + 0.017^2) = 1.23;
    # with the length sqrt(1.23^2 + 0.577^2).
    assert share is not None
    assert share.u_cable_microohm == pytest.approx(0.183, abs=0.001)
    assert share.u_added_microohm == pytest.approx(0.271, abs=0.001)
    assert share.u_worth_millimetre == pytest.approx(sqrt(1.23**2 + 0.577**2), abs=0.01)


def test_its_uncertainty_is_the_scatter_of_simulated_readings() -> None:
    rng = np.random.default_rng(20262)
    added, per_mm, between_marks = 8.0, 0.2557 * (1 + rng.normal(0, 0.017, 200_000)), 25.0
    probes, ruler, meter = rng.uniform(-1, 1, 200_000), rng.uniform(-1, 1, 200_000), rng.normal(0, 0.1, 200_000)

    # The probes stand on a little more cable or less than between their marks; the ruler errs about the marks.
    read = added + per_mm * (between_marks + probes) + meter
    taken_off = 0.2557 * (between_marks + ruler)
    share = lug_share(float(read.mean()), sqrt(0.1**2 + placement_sd(CABLE) ** 2), CABLE)

    assert share is not None
    assert share.u_added_microohm == pytest.approx(float((read - taken_off).std()), rel=0.01)


def test_it_is_said_in_its_own_cable() -> None:
    assert word_lug_share(lug_share(14.3, 0.2, CABLE), "crimp") == (
        "The crimp adds 7.91 ± 0.27 µΩ, as much as 30.9 ± 1.4 mm of its own cable."
    )


def test_a_span_that_reads_less_than_its_cable_is_doubted() -> None:
    assert word_lug_share(lug_share(5.0, 0.1, CABLE), "crimp") == (
        "The span reads less than the cable between its probes should (6.39 ± 0.18 µΩ): look again at the distance "
        "of the probes, the size of the cable, or the current."
    )


def test_without_the_distance_of_the_probes_nothing_is_claimed() -> None:
    unmeasured = CableInside(0.2557, 0.017, 1.0, None)

    assert lug_share(14.3, 0.2, unmeasured) is None
    assert word_lug_share(None, "crimp") == (
        "What the crimp adds to its cable is not known: measure the bare cable between the probes and say it with "
        '`lugbook span amend SPAN "probe_millimetre=25 mm" --reason measured`.'
    )


def test_a_probe_a_millimetre_off_reads_a_millimetre_of_cable() -> None:
    assert placement_sd(CABLE) == pytest.approx(0.2557 / sqrt(3))
    assert placement_sd(None) == 0.0
