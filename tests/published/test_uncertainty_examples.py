"""Uncertainty arithmetic against examples printed in the GUM and in meter data."""

import csv
from math import cos, sin, sqrt
from pathlib import Path
from statistics import correlation, fmean, stdev

import pytest

from lugbook.physics.instruments import Accuracy, gain_sd, own_sd
from lugbook.physics.joints import joint_microohm
from lugbook.units.uncertainty import combined_sd, covariance, effective_freedom, rectangular_sd

# JCGM 100:2008 H.2, simultaneous resistance and reactance measurement: the five readings of Table H.2.
READINGS = csv.DictReader(
    (Path(__file__).parent / "data" / "gum_h2_impedance.csv").read_text(encoding="utf-8").splitlines()
)
COLUMNS = list(zip(*([float(cell) for cell in row.values()] for row in READINGS), strict=True))
VOLT, AMPERE, PHASE = fmean(COLUMNS[0]), fmean(COLUMNS[1]) / 1000, fmean(COLUMNS[2])
SDS = [stdev(column) / sqrt(5) for column in COLUMNS]
SDS[1] /= 1000
CORRELATIONS = {(i, j): correlation(COLUMNS[i], COLUMNS[j]) for i, j in ((0, 1), (0, 2), (1, 2))}


def test_the_readings_of_annex_h2_correlate_as_printed() -> None:
    assert list(CORRELATIONS.values()) == pytest.approx([-0.36, 0.86, -0.65], abs=0.006)


def test_the_resistance_of_annex_h2_has_its_printed_uncertainty() -> None:
    sensitivities = (cos(PHASE) / AMPERE, -VOLT * cos(PHASE) / AMPERE**2, -VOLT * sin(PHASE) / AMPERE)

    assert VOLT / AMPERE * cos(PHASE) == pytest.approx(127.732, abs=0.0005)
    assert combined_sd(sensitivities, SDS, CORRELATIONS) == pytest.approx(0.071, abs=0.0005)


def test_the_reactance_of_annex_h2_has_its_printed_uncertainty() -> None:
    sensitivities = (sin(PHASE) / AMPERE, -VOLT * sin(PHASE) / AMPERE**2, VOLT * cos(PHASE) / AMPERE)

    assert VOLT / AMPERE * sin(PHASE) == pytest.approx(219.847, abs=0.0005)
    # Printed 0.295, cut and not rounded: the readings give 0.29558.
    assert combined_sd(sensitivities, SDS, CORRELATIONS) == pytest.approx(0.29558, abs=0.000005)


def test_the_impedance_of_annex_h2_has_its_printed_uncertainty() -> None:
    sensitivities = (1 / AMPERE, -VOLT / AMPERE**2, 0.0)
    impedance_ohm = VOLT / AMPERE

    assert impedance_ohm == pytest.approx(254.260, abs=0.0005)
    assert combined_sd(sensitivities, SDS, CORRELATIONS) == pytest.approx(0.236, abs=0.0005)


def test_the_results_of_annex_h2_correlate_as_printed() -> None:
    resistance = (cos(PHASE) / AMPERE, -VOLT * cos(PHASE) / AMPERE**2, -VOLT * sin(PHASE) / AMPERE)
    reactance = (sin(PHASE) / AMPERE, -VOLT * sin(PHASE) / AMPERE**2, VOLT * cos(PHASE) / AMPERE)
    impedance = (1 / AMPERE, -VOLT / AMPERE**2, 0.0)

    def correlate(one: tuple[float, ...], other: tuple[float, ...]) -> float:
        sds = [combined_sd(each, SDS, CORRELATIONS) for each in (one, other)]
        return covariance(one, other, SDS, CORRELATIONS) / (sds[0] * sds[1])

    # Table H.4 prints -0.588, -0.485, 0.993; at full precision -0.5884, -0.4853, 0.9925.
    assert correlate(resistance, reactance) == pytest.approx(-0.588, abs=0.001)
    assert correlate(resistance, impedance) == pytest.approx(-0.485, abs=0.001)
    assert correlate(reactance, impedance) == pytest.approx(0.993, abs=0.001)


def test_the_gauge_study_of_the_handbook_has_its_printed_uncertainty_and_freedom() -> None:
    # NIST/SEMATECH e-Handbook 2.6.1.7 and 2.6.3: probe 2362 on silicon wafers. Day-to-day s.d. 0.03617 (50 degrees
    # of freedom) with coefficient sqrt(5/6), run-to-run 0.0196 (5), probe 0.0162 (4) with sqrt(1/10); printed
    # u = 0.0388 ohm cm (0.038 758 from unrounded parts) and 42 degrees of freedom.
    sensitivities, sds = (sqrt(5 / 6), 1.0, sqrt(1 / 10)), (0.03617, 0.0196, 0.0162)

    u = combined_sd(sensitivities, sds)
    shares = [(c * sd / u) ** 2 for c, sd in zip(sensitivities, sds, strict=True)]

    assert u == pytest.approx(0.0388, abs=0.0001)
    assert int(effective_freedom(shares, (50, 5, 4))) == 42


def test_bounds_alone_give_the_uncertainty_of_clause_4_3_7() -> None:
    # Thermal expansion of copper, 16.52e-6 per degC, handbook bounds of 0.40e-6.
    assert rectangular_sd(0.40e-6) == pytest.approx(0.23e-6, abs=0.005e-6)


# Error of the meter alone in percent of the reading, by hand, from 0.5 % + 2 counts of 0.1 mV and from
# 0.15 % + 10 counts of 0.01 mV. First row: 20 microohm x 20 A = 0.4 mV; 0.5 + 100 x 0.2/0.4 = 50.5 %.
@pytest.mark.parametrize(
    ("microohm", "ampere", "coarse", "fine"),
    [
        (20, 20, 50.5, 25.1),
        (20, 50, 20.5, 10.2),
        (20, 100, 10.5, 5.2),
        (20, 200, 5.5, 2.7),
        (50, 50, 8.5, 4.2),
        (100, 100, 2.5, 1.1),
    ],
)
def test_a_meter_is_out_by_what_its_data_sheet_allows(
    microohm: float, ampere: float, coarse: float, fine: float
) -> None:
    drop_millivolt = microohm * ampere / 1000

    errors = []
    for accuracy in (Accuracy(0.5, 2, 0.1), Accuracy(0.15, 10, 0.01)):
        # Bounds are sqrt 3 standard uncertainties; half a digit of rounding is not in the data sheet.
        percent = 100 * sqrt(3) * gain_sd(accuracy)
        counts = sqrt(3 * own_sd(accuracy) ** 2 - (accuracy.resolution / 2) ** 2)
        errors.append(percent + 100 * counts / drop_millivolt)

    assert errors == pytest.approx([coarse, fine], abs=0.0501)


def test_the_drop_allowed_on_a_stud_terminal_is_its_published_resistance() -> None:
    # A military 1/4 in stud terminal: at most 7.5 mV at 43 A (seen in a quoted copy), about 174 microohm.
    assert joint_microohm(7.5, 43.0) == pytest.approx(174, abs=0.5)
