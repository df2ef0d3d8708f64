"""The uncertainty budget of one value read: what may be out, by how much, and the interval that follows.

After JCGM 100:2008 (GUM) for the standard uncertainties, their combination (5.1.2) and degrees of freedom (G.4).
The interval is not taken from a normal distribution: a budget in which one rectangular part outweighs the others
would then cover everything. The parts' distributions are folded together instead, as JCGM 101:2008 does by Monte
Carlo; the coverage factor is what that comes to. Clause numbers are from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from lugbook.assessment.evidence import Floats, ReadingColumns
from lugbook.assessment.together import Together, rows_of_value, value_of
from lugbook.assessment.weighing import (
    COEFFICIENT,
    FEWEST_REPEATS,
    PARTS,
    REPEATS,
    SHARED,
    THERMOMETER,
    UNREAD_CELSIUS,
    ReadingWorth,
    place_of,
)
from lugbook.inference.tolerance import student_quantile
from lugbook.units.uncertainty import effective_freedom

COVERAGE = 0.95
RECTANGULAR, TRIANGULAR, NORMAL, ONE_SIDED = SHAPES = (
    "rectangular", "triangular", "normal", "one-sided rectangular",
)  # fmt: skip
# Where each part comes from: a data sheet, a convention of ours, or the readings themselves.
SOURCES = dict(
    zip(
        PARTS,
        (
            "its accuracy statement", "its accuracy statement", "its accuracy statement", "its accuracy statement",
            "our allowance", "its accuracy statement", "its accuracy statement", "said of the span, or our allowance",
            "the readings on the spot", "the thermometer, or our allowance", "copper or film, GUM 4.3.8",
        ),
        strict=True,
    )
)  # fmt: skip
_GRID = 1 << 13  # points of the folded distribution, over +/- _REACH standard uncertainties
_REACH = 10.0


@dataclass(frozen=True)
class Component:
    """One line of a budget."""

    part: str  # one of lugbook.assessment.weighing.PARTS
    relative_sd: float  # over the resistance at 20 degC
    u_microohm: float
    kind: str  # "A" from repeated readings, "B" from anything else (GUM 2.3)
    shape: str  # one of SHAPES
    shared: bool  # by all readings of a round with these instruments
    variance_share: float  # of u^2, 0 to 1
    degrees_of_freedom: float  # inf for bounds that are taken as sure (GUM G.4.3)
    source: str


@dataclass(frozen=True)
class Budget:
    """What one reading is worth, or one and those of the other way with it."""

    rows: tuple[int, ...]  # places of the readings it is the mean of, among all that were weighed
    microohm_20c: float
    u_microohm: float  # standard uncertainty, all in
    own_u_microohm: float  # the part of these readings alone
    shared_u_microohm: float  # the part shared by all readings of the round with these instruments
    degrees_of_freedom: float  # effective, Welch and Satterthwaite (GUM G.4.1)
    coverage_factor: float  # half the interval over u
    low_microohm: float  # the interval holds the value COVERAGE of the time
    high_microohm: float
    components: tuple[Component, ...]  # weightiest first; those of nothing left out


def budget_of(readings: ReadingColumns, worth: ReadingWorth, row: int) -> Budget:
    """The budget of one reading among all that were weighed; `row` is its place there.

    Where the current was also read the other way, on the same outing with the same instruments, it is that of the
    mean of both ways, whichever of them is asked for: one value was measured, and neither way alone is rid of the
    thermal voltage.

    The coefficient of the joint is one-sided: the value stays where copper's coefficient puts it, and the interval
    reaches to the side on which a film would put it, so that it is not centred on the value.
    """
    value = value_of(readings, worth, rows_of_value(readings, worth, row))
    microohm, relative_u = value.microohm_20c, value.relative_sd
    celsius = float(np.nan_to_num(readings.joint_celsius[row], nan=UNREAD_CELSIUS))
    components = [
        Component(
            part,
            sd,
            sd * abs(microohm),
            "A" if part == REPEATS else "B",
            _shape_of(part, value, unread=bool(np.isnan(readings.joint_celsius[row]))),
            part in SHARED,
            (sd / relative_u) ** 2,
            _freedom_of_repeats(readings, value) if part == REPEATS else math.inf,
            SOURCES[part],
        )
        for part, sd in value.parts.items()
        if sd > 0
    ]
    components.sort(key=lambda one: -one.variance_share)
    freedom = effective_freedom(
        [one.variance_share for one in components], [one.degrees_of_freedom for one in components]
    )
    low, high = _interval(components, relative_u, warm=celsius > 20)
    wider = _student(freedom) / _student(math.inf)
    centre, half = (low + high) / 2, (high - low) / 2 * wider
    return Budget(
        tuple(value.rows.tolist()),
        microohm,
        relative_u * abs(microohm),
        math.sqrt(sum(one.u_microohm**2 for one in components if not one.shared)),
        math.sqrt(sum(one.u_microohm**2 for one in components if one.shared)),
        freedom,
        half / relative_u,
        microohm * (1 + centre - half),
        microohm * (1 + centre + half),
        tuple(components),
    )


def _shape_of(part: str, value: Together, *, unread: bool) -> str:
    if part == COEFFICIENT:
        return ONE_SIDED
    if part == REPEATS or (part == THERMOMETER and unread):
        return NORMAL
    errors = round(value.alike.get(part, 1.0))
    return (RECTANGULAR, TRIANGULAR)[errors - 1] if errors < 3 else NORMAL  # 95 % of 3 rectangles: 1.94 s.d.


def _freedom_of_repeats(readings: ReadingColumns, value: Together) -> float:
    """One less than there are repeats, of each way that has enough of them to say how they scatter."""
    place, row = place_of(readings), value.rows[0]
    ways = [
        np.count_nonzero((place == place[row]) & (readings.polarity == way))
        for way in np.unique(readings.polarity[value.rows])
    ]
    return float(sum(count - 1 for count in ways if count >= FEWEST_REPEATS))


def _student(freedom: float) -> float:
    """Half width of Student's distribution that holds COVERAGE; of the whole number below (GUM G.4.1, note 1)."""
    upper = (1 + COVERAGE) / 2
    if math.isinf(freedom):
        return NormalDist().inv_cdf(upper)
    return student_quantile(upper, max(1, int(freedom)))


def _interval(components: list[Component], relative_u: float, *, warm: bool) -> tuple[float, float]:
    """Where the truth lies about the value, relative, with COVERAGE: the parts folded by their transforms.

    A rectangle of half width a has the transform sin(at)/(at), a normal one exp(-s^2 t^2 / 2), and a sum of
    independent parts the product of theirs. A warm joint through a film truly has more than copper's coefficient
    makes of it, a cold one less.
    """
    if relative_u == 0:
        return 0.0, 0.0
    step = 2 * _REACH * relative_u / _GRID
    place = np.asarray((np.arange(_GRID) - _GRID // 2) * step, float)
    angle = 2 * np.pi * np.fft.fftfreq(_GRID, step)
    transform = np.ones(_GRID, complex)
    for one in components:
        if one.shape == NORMAL:
            transform *= np.exp(-0.5 * (one.relative_sd * angle) ** 2)
        elif one.shape == TRIANGULAR:
            transform *= np.sinc(one.relative_sd * math.sqrt(1.5) * angle / np.pi) ** 2
        else:
            transform *= np.sinc(one.relative_sd * math.sqrt(3) * angle / np.pi)
        if one.shape == ONE_SIDED:
            shift = one.relative_sd * math.sqrt(3) * (1 if warm else -1)
            transform *= np.exp(-1j * shift * angle)
    density = np.fft.fftshift(np.fft.ifft(transform).real)
    share = np.asarray(np.cumsum(density) / density.sum(), float)
    return (_where(place, share, (1 - COVERAGE) / 2), _where(place, share, (1 + COVERAGE) / 2))


def _where(place: Floats, share: Floats, wanted: float) -> float:
    """The place up to which the distribution holds the share wanted."""
    at = int(np.argmax(share >= wanted))
    before, after = share[at - 1], share[at]
    return float(place[at - 1] + (place[at] - place[at - 1]) * (wanted - before) / (after - before))
