"""Prints how soon creep is found by us, by general methods and by a clairvoyant, at the same false-alarm rate.

Run: PYTHONPATH=tests python tests/benchmarks/creep.py [--quick] [--seed N] [--json FILE]; without --quick some
minutes on one core. Times are ratios measured in one run; no limits are asserted here.
"""

import argparse
import json
import resource
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from creep_builds import (
    GAIN_SD,
    OWN_SD,
    ROUNDS,
    Builds,
    caught_within,
    excess_at_flag,
    flag_looks,
    invent_builds,
    threshold_for,
)
from creep_honesty import described, examine
from creep_methods import CLAIRVOYANT, FAST, OURS, SIMPLE, SLOW, Score, clairvoyant, ours

FALSE_ALARMS = 0.02  # per span over all ten looks
SEASONS = 2.0
NULL, CREEPING = 0, 1  # second number of a seed: no simulation shares its draws with another
CASES = [
    (spans, bad_share, rate) for spans in (40, 12) for bad_share in (0.0, 0.03) for rate in (0.04, 0.08, 0.16)
]
CASE_FACTS = ("spans", "bad_share", "rate")
LONG, QUICK = 16_000, 1_200  # spans simulated, steady for the threshold and in all for the ramps
SLOW_SPANS, SLOW_BUILD, SLOW_RATE = 400, 40, 0.08


def compare(
    seed: int, spans_in_all: int, methods: dict[str, Score], cases: list[tuple[int, float, float]] = CASES
) -> Iterator[dict[str, object]]:
    """One row per case and method: mean excess at the flag, its ratio to the clairvoyant's, share caught soon."""
    for spans, bad_share, rate in cases:
        number = CASES.index((spans, bad_share, rate))
        builds = spans_in_all // spans
        steady = invent_builds((seed, NULL, number), builds=builds, spans=spans, bad_share=bad_share)
        ramps = invent_builds(
            (seed, CREEPING, number), builds=builds, spans=spans, bad_share=bad_share, rate=rate
        )
        told = Builds(**{**vars(steady), "rate": rate})  # the clairvoyant's rate, though nothing creeps
        reference = None
        for name, score in methods.items():
            threshold = threshold_for(score(told), FALSE_ALARMS)
            looks = flag_looks(score(ramps), threshold, ramps)
            excess = np.nanmean(excess_at_flag(looks, ramps), axis=1)
            reference = excess if name == CLAIRVOYANT else reference
            yield {
                "spans": spans,
                "bad_share": bad_share,
                "rate": rate,
                "method": name,
                "excess": float(excess.mean()),
                "excess_se": float(excess.std(ddof=1) / np.sqrt(len(excess))),
                "to_clairvoyant": None if reference is None else float(excess.mean() / reference.mean()),
                "to_clairvoyant_se": None if reference is None else ratio_error(excess, reference),
                "caught": caught_within(looks, ramps, SEASONS),
                "threshold": threshold,
            }


def slowly(seed: int) -> list[dict[str, object]]:
    """The libraries that take one build or one span at a time, on fewer builds and at one rate."""
    cases = [case for case in CASES if case[0] == SLOW_BUILD and case[2] == SLOW_RATE]
    return list(compare(seed, SLOW_SPANS, {CLAIRVOYANT: clairvoyant, OURS: ours, **SLOW}, cases))


def ratio_error(one: np.ndarray, other: np.ndarray) -> float:
    """Standard error of a ratio of means over the same builds (delta method)."""
    ratio = one.mean() / other.mean()
    return float(np.std(one - ratio * other, ddof=1) / np.sqrt(len(one)) / other.mean())


def against_simple(rows: list[dict[str, object]]) -> list[dict[str, object]]:
    """Our excess over that of the best simple peer, case by case."""
    found = []
    for case in CASES:
        excess = {row["method"]: row["excess"] for row in rows if case_of(row) == case}
        best = min(SIMPLE, key=lambda name: excess[name])
        ratio = excess[OURS] / excess[best]
        found.append(dict(zip(CASE_FACTS, case, strict=True)) | {"best_simple": best, "ratio": ratio})
    return found


def case_of(row: dict[str, object]) -> tuple[object, ...]:
    """Spans, share of bad readings and rate of a row."""
    return tuple(row[fact] for fact in CASE_FACTS)


def seconds(deed: Callable[[], object]) -> float:
    """Processor time of one call: other work on the machine does not count."""
    start = time.process_time()
    deed()
    return time.process_time() - start


def speed(spans: int) -> dict[str, float]:
    """Time of assess_creep over that of least-squares slopes on the same array, and memory.

    Two references: the slope alone by numpy.polyfit; slope and standard error of series with holes in plain numpy,
    which is the least that says anything of a creep.
    """
    from lugbook.inference.creep import assess_creep

    rng = np.random.default_rng(8)
    day = np.arange(ROUNDS) * 365.25
    y = (
        rng.normal(3.5, 0.3, (spans, 1))
        + rng.normal(0, GAIN_SD, ROUNDS)
        + rng.normal(0, OWN_SD, (spans, ROUNDS))
    )
    y[: spans // 100] += 0.08 * np.maximum(day / 365.25 - 4, 0)
    own_sd = np.full(y.shape, OWN_SD)
    slope = statistics.median(seconds(lambda: np.polyfit(day, y.T, 1)) for _ in range(7))
    tested = statistics.median(seconds(lambda: slope_with_error(day, y)) for _ in range(7))
    whole = statistics.median(seconds(lambda: assess_creep(day, y, own_sd, GAIN_SD)) for _ in range(3))
    return {
        "spans": spans,
        "slope_seconds": slope,
        "slope_with_error_seconds": tested,
        "ratio_to_slope_with_error": whole / tested,
        "assess_seconds": whole,
        "ratio": whole / slope,
        "peak_gigabyte": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6,
    }


def slope_with_error(day: np.ndarray, y: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Least-squares slope of every row and its standard error, NaN left out."""
    read = ~np.isnan(y)
    count = read.sum(axis=1)
    t = np.where(read, day, 0.0)
    z = np.where(read, y, 0.0)
    from_mean = np.where(read, t - (t.sum(axis=1) / count)[:, None], 0.0)
    off = np.where(read, z - (z.sum(axis=1) / count)[:, None], 0.0)
    spread = (from_mean**2).sum(axis=1)
    slope = (from_mean * off).sum(axis=1) / spread
    residual = ((off - slope[:, None] * from_mean) ** 2).sum(axis=1) / (count - 2)
    return slope, np.sqrt(residual / spread)


def printed(row: dict[str, object]) -> str:
    """One line of the table."""
    ratio = (
        ""
        if row["to_clairvoyant"] is None
        else f"{row['to_clairvoyant']:.3f} +- {row['to_clairvoyant_se']:.3f}"
    )
    excess = f"{row['excess']:.4f} +- {row['excess_se']:.4f}"
    return f"{headed(row)}{row['method']:34s}{excess}   {ratio:16s} caught {row['caught']:.2f}"


def headed(row: dict[str, object]) -> str:
    """The case at the head of a line."""
    return f"{row['spans']:3d} spans  {row['bad_share']:4.0%} bad  {row['rate']:4.0%}/yr  "


def main(arguments: list[str]) -> None:
    """Runs it and prints."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="few replicates, no slow libraries")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--json", type=Path, help="write all numbers to this file too")
    chosen = parser.parse_args(arguments)
    rows = []
    for row in compare(chosen.seed, QUICK if chosen.quick else LONG, FAST):
        rows.append(row)
        print(printed(row), flush=True)
    simple = against_simple(rows)
    for row in simple:
        print(f"{headed(row)}ours / {row['best_simple']}: {row['ratio']:.2f}")
    honesty = examine(chosen.seed, QUICK if chosen.quick else LONG)
    print("\n".join(described(honesty)), flush=True)
    fast = speed(10_000 if chosen.quick else 100_000)
    print(
        f"{fast['spans']} spans: {fast['assess_seconds']:.2f} s, slopes {fast['slope_seconds']:.4f} s: "
        f"{fast['ratio']:.0f} times; with their errors {fast['slope_with_error_seconds']:.4f} s: "
        f"{fast['ratio_to_slope_with_error']:.1f} times; peak {fast['peak_gigabyte']:.2f} GB"
    )
    slow = [] if chosen.quick else slowly(chosen.seed)
    for row in slow:
        print(printed(row), flush=True)
    if chosen.json:
        found = {
            "seed": chosen.seed,
            "methods": rows + slow,
            "against_simple": simple,
            "speed": fast,
            **honesty,
        }
        chosen.json.write_text(json.dumps(found, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
