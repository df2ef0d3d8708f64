"""Which series of a large table without holes are plainly steady, and what is to be said of them: quickly.

The same evidence as in evidence.py, with two liberties: a bad reading is weighed apart from a change, and the
rate on every second step of its grid. Right where neither is likely; the others are weighed in full. Rows lie
along the last axis, where arithmetic is fastest.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from lugbook.inference.evidence import BAD_CUT, STEP_SIZES, Shares, TurnInput, change_priors
from lugbook.inference.series import Floats

Numbers = NDArray[np.floating[Any]]  # single precision throughout
LARGEST_EXPONENT = np.float32(60.0)  # beyond it a series is anything but steady, however much


def is_regular(series: TurnInput) -> bool:
    """Whether all series were read in all rounds: then one set of shapes does for all."""
    return bool((series.count == series.z.shape[1]).all() and (series.year == series.year[:1]).all())


def screen(series: TurnInput, rate: Floats, log_prior: Floats) -> Shares:
    """Shares as weigh_turn gives them, of regular series; rate, log_prior (R,); log_total is not told (0)."""
    year = series.year[0]
    length, rows = len(year), len(series.z)
    w = np.ascontiguousarray(series.w.T, np.float32)
    sum_w = w.sum(axis=0)
    centre = np.einsum("jm,jm->j", series.w, series.z) / sum_w  # in full: z may be far from zero
    y = np.ascontiguousarray((series.z - centre[:, None]).T, np.float32)
    wy = w * y
    cut = np.float32(BAD_CUT) * wy
    w_x = sum_w - np.float32(BAD_CUT) * w
    bad = np.exp(np.minimum(0.5 * cut * (y + cut / w_x), LARGEST_EXPONENT)) * np.sqrt(sum_w / w_x)
    bad *= np.exp(series.log_bad[:, 1:].T).astype(np.float32)
    bad /= 1 + bad.sum(axis=0)

    creep_prior, step_prior = (
        prior[0].astype(np.float32) for prior in change_priors(year[None], np.array([length]))
    )
    ramp = np.maximum(year - year[:-1, None], 0.0).astype(np.float32)
    place = np.arange(length)
    creep, rate_share = _creep(*_sums(ramp, w, wy, sum_w), creep_prior, rate, log_prior)
    step = _step(*_sums((place >= place[1:, None]).astype(np.float32), w, wy, sum_w), step_prior)
    steady = max(1 - float(creep_prior.sum() + step_prior.sum()), 0.1)
    share = 1 / (steady + creep.sum(axis=0) + step.sum(axis=0))
    creep *= share
    step *= share
    steady_share = steady * share
    none = np.zeros((1, rows), np.float32)
    return Shares(
        steady=_doubles(steady_share),
        creep_onset=_doubles(np.concatenate([creep, none]).T),
        step_onset=_doubles(np.concatenate([none, step]).T),
        bad=_doubles(bad.T),
        last_alone=_doubles(steady_share * bad[-1] + step[-1] + creep[-1]),
        rate_share=_doubles((rate_share * share).T),
        log_total=np.zeros(rows),
    )


def _doubles(numbers: Numbers) -> Floats:
    return numbers.astype(np.float64, order="C")


def _sums(h: Numbers, w: Numbers, wy: Numbers, sum_w: Numbers) -> tuple[Numbers, Numbers]:
    """S_hh and S_hy (K, J) of shapes h (K, M) about their means."""
    sum_h = h @ w
    return (h * h) @ w - sum_h * sum_h / sum_w, h @ wy


def _creep(
    s_hh: Numbers, s_hy: Numbers, prior: Numbers, rate: Floats, log_prior: Floats
) -> tuple[Numbers, Numbers]:
    """Evidence of each onset (K, J) and of each rate (R, J)."""
    onset, rates = np.zeros_like(s_hh), np.empty((len(rate), s_hh.shape[1]), np.float32)
    for at, (b, mass) in enumerate(
        zip(rate.astype(np.float32), np.exp(log_prior).astype(np.float32), strict=True)
    ):
        cell = s_hh * (-0.5 * b)
        cell += s_hy
        cell *= b
        np.exp(np.minimum(cell, LARGEST_EXPONENT, out=cell), out=cell)
        cell *= mass
        rates[at] = prior @ cell
        onset += cell
    return onset * prior[:, None], rates


def _step(s_hh: Numbers, s_hy: Numbers, prior: Numbers) -> Numbers:
    """Evidence (K, J) of a jump of either sign."""
    found = np.zeros_like(s_hh)
    for sd in STEP_SIZES:
        wide = s_hh + np.float32(sd**-2)
        part = np.exp(np.minimum(0.5 * s_hy * s_hy / wide, LARGEST_EXPONENT))
        found += part / np.sqrt(wide * np.float32(sd**2))
    return found * (prior / len(STEP_SIZES))[:, None]
