"""An invented build, read round by round with one meter and one clamp."""

from dataclasses import replace
from datetime import date

import numpy as np

from lugbook.assessment.evidence import BuildEvidence, ReadingColumns, WatchedSpan

EPOCH = date(1970, 1, 1).toordinal()
READ_AT_AMPERE = 100.0
FIRST_ROUND = date(2024, 5, 1).toordinal() - EPOCH
YEAR = 365.25
OWN_MILLIVOLT = 0.02  # 0.4 % of the 5 mV that a 50 microohm joint drops at 100 A
GAIN_SD = 0.0087  # a 1.5 % clamp


def read_spans(
    microohm: np.ndarray, *, celsius: float = 20.0, current_ampere: float = READ_AT_AMPERE
) -> ReadingColumns:
    """Readings of a (spans, rounds) table of true resistances at 20 degC, yearly; NaN: not read."""
    span, round_ = np.nonzero(~np.isnan(microohm))
    count = len(span)
    warm = microohm[span, round_] * (1 + 0.00393 * (celsius - 20.0))
    return ReadingColumns(
        span=span,
        series=np.zeros(count, np.int64),
        round=round_,
        day=FIRST_ROUND + round_ * YEAR,
        drop_millivolt=warm * current_ampere / 1000,
        current_ampere=np.full(count, current_ampere),
        joint_celsius=np.full(count, celsius),
        zero_millivolt=np.zeros(count),
        polarity=np.ones(count, np.int64),
        voltage_gain_sd=np.full(count, 0.0029),
        voltage_own_millivolt=np.full(count, OWN_MILLIVOLT),
        current_gain_sd=np.full(count, GAIN_SD),
        current_own_ampere=np.full(count, 0.1),
    )


def watch(tag: str, **facts: object) -> WatchedSpan:
    """A dry crimp without limit, never serviced, unless said otherwise."""
    span = WatchedSpan(tag, "crimp", "dry", limit_microohm=None, series_started_day=None, series_count=1)
    return replace(span, **facts)  # type: ignore[arg-type]


def build_of(microohm: np.ndarray, spans: list[WatchedSpan] | None = None, **reading: float) -> BuildEvidence:
    """A build whose spans read the given resistances."""
    watched = spans or [watch(f"C{number:02d}/crimp") for number in range(len(microohm))]
    rounds = tuple(str(2024 + number) for number in range(microohm.shape[1]))
    return BuildEvidence("Kittiwake", tuple(watched), rounds, read_spans(microohm, **reading))


def noisy(rng: np.random.Generator, spans: int, rounds: int, *, shift_sd: float = 0.01) -> np.ndarray:
    """Steady spans of about 50 microohm with a shared shift per round and 1 % noise of their own."""
    level = np.log(50) + rng.normal(0, 0.2, (spans, 1))
    return np.exp(level + rng.normal(0, shift_sd, rounds) + rng.normal(0, 0.01, (spans, rounds)))
