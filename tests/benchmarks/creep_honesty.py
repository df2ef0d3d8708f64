"""How honest the engine is: false alarms of its verdict, coverage of its rates, its claims, power at one look."""

import numpy as np
from creep_builds import BAD_WIDTH, GAIN_SD, OWN_SD, Builds, invent_builds

from looks_over_time import look_at_each_round
from lugbook.inference.looks import look_at_builds

RATES = (0.04, 0.08, 0.16)
SURE = 0.9
# What is stated of the noise, against what it is.
STATED = {
    "as it is": lambda builds: builds.own_sd,
    "30 % too small": lambda builds: 0.7 * builds.own_sd,
    "30 % too large": lambda builds: 1.3 * builds.own_sd,
    "equal, but is not": lambda builds: np.full_like(builds.own_sd, OWN_SD),
}
# The experiment on single looks: half-yearly, 20 spans, own noise 1.5 %, shared 2 %: readings, rate, creeping, bad.
SINGLE_LOOKS = {
    "A": (4, 0.04, 3, 0.0),
    "B": (6, 0.02, 3, 0.0),
    "E": (6, 0.02, 8, 0.0),
    "F": (6, 0.02, 3, 0.05),
}
SINGLE_OWN_SD, SINGLE_GAIN_SD, SINGLE_SPANS, SINGLE_BAD_WIDTH = 0.015, 0.02, 20, 8.0


def share_and_error(flags: np.ndarray) -> tuple[float, float]:
    """A share, and its standard error if all were independent."""
    share = float(flags.mean())
    return share, float(np.sqrt(share * (1 - share) / flags.size))


def false_alarms(seed: int, spans_in_all: int) -> list[dict[str, object]]:
    """Share of steady spans that the verdict ever calls creeping over ten yearly looks."""
    found = []
    for spans in (40, 12, 6):
        for bad_share in (0.0, 0.03):
            steady = invent_builds(
                (seed, 10, spans), builds=spans_in_all // spans, spans=spans, bad_share=bad_share
            )
            for stated, own_sd in STATED.items():
                looks = look_at_each_round(steady.day, steady.log_resistance, own_sd(steady), GAIN_SD)
                share, error = share_and_error(looks.creeping.max(axis=1) > 0)
                found.append(
                    {"spans": spans, "bad_share": bad_share, "stated": stated, "share": share, "error": error}
                )  # fmt: skip
    return found


def claims(seed: int, spans_in_all: int) -> list[dict[str, object]]:
    """Of spans given a chance of creep above SURE at any look: the share that creeps by then; rates 4, 8, 16 %."""
    found = []
    for bad_share in (0.0, 0.03):
        true, number = 0, 0
        for rate in RATES:
            made = invent_builds(
                (seed, 11, int(100 * rate)), builds=spans_in_all // 40, spans=40, rate=rate, bad_share=bad_share
            )  # fmt: skip
            looks = look_at_each_round(made.day, made.log_resistance, made.own_sd, GAIN_SD)
            sure = looks.creep_probability > SURE
            true += int((sure & (np.swapaxes(made.rise, 1, 2) > 0)).sum())
            number += int(sure.sum())
        found.append({"bad_share": bad_share, "share": true / number, "number": number})
    return found


def coverage(seed: int, creeping_spans: int) -> list[dict[str, object]]:
    """How often the 90 % interval of the rate holds the true one, after ten looks and when first called creeping."""
    found = []
    for bad_share in (0.0, 0.03):
        for rate in RATES:
            made = invent_builds(
                (seed, 12, int(100 * rate)), builds=creeping_spans // 4, spans=40, rate=rate, bad_share=bad_share
            )  # fmt: skip
            at_end, at_call = intervals_that_hold(made)
            found.append(
                {
                    "bad_share": bad_share,
                    "rate": rate,
                    "after_ten": share_and_error(at_end),
                    "when_called": share_and_error(at_call),
                }
            )
    return found


def intervals_that_hold(made: Builds) -> tuple[np.ndarray, np.ndarray]:
    """Of the creeping spans: after ten looks, all; at the look at which each was first called, those called."""
    spans = slice(0, 4)
    creeps = made.creeps[:, spans]
    holds_at_call, called, holds = np.zeros(creeps.shape, bool), np.zeros(creeps.shape, bool), creeps
    for n in range(3, len(made.day) + 1):
        seen = look_at_builds(
            made.day[:n], made.log_resistance[..., :n], made.own_sd[..., :n], np.full(n, GAIN_SD), spans
        )
        holds = (seen.rate_low < made.rate) & (made.rate < seen.rate_high)
        now = (seen.creeping > 0) & ~called & (made.rise[:, spans, n - 1] > 0)
        holds_at_call |= now & holds
        called |= now
    return holds[creeps], holds_at_call[called]


def power_at_one_look(seed: int, builds: int) -> list[dict[str, object]]:
    """Share of creeping spans whose score passes what 1 % of steady spans pass, at a single look."""
    found = []
    for name, (readings, rate, creeping, bad_share) in SINGLE_LOOKS.items():
        steady = single_look(seed, builds, readings, 0.0, 0, bad_share)
        ramps = single_look(seed, builds, readings, rate, creeping, bad_share)
        share, error = share_and_error(ramps[:, :creeping] > np.quantile(steady, 0.99))
        found.append({"case": name, "power": share, "error": error})
    return found


def single_look(
    seed: int, builds: int, readings: int, rate: float, creeping: int, bad_share: float
) -> np.ndarray:
    """Scores (B, J) of builds whose first spans creep from the first reading on."""
    rng = np.random.default_rng((seed, 13, readings, creeping))
    shape = (builds, SINGLE_SPANS, readings)
    year = np.arange(readings) / 2
    wide = np.where(rng.random(shape) < bad_share, SINGLE_BAD_WIDTH, 1.0)
    y = rng.normal(size=shape) * SINGLE_OWN_SD * wide + rng.normal(0, SINGLE_GAIN_SD, (builds, 1, readings))
    y[:, :creeping] += rate * year
    own_sd, gain_sd = np.full(shape, SINGLE_OWN_SD), np.full(readings, SINGLE_GAIN_SD)
    return look_at_builds(year * 365.25, y, own_sd, gain_sd).score


def described(honesty: dict[str, list[dict[str, object]]]) -> list[str]:
    """The lines of the table."""
    lines = [
        f"{r['spans']:3d} spans  {r['bad_share']:4.0%} bad  noise stated {r['stated']:18s} "
        f"false alarms {r['share']:.4f} +- {r['error']:.4f}"
        for r in honesty["false_alarms"]
    ]
    lines += [
        f"{r['bad_share']:4.0%} bad ({BAD_WIDTH:g} times)  chance above {SURE}: {r['share']:.3f} of {r['number']} creep"
        for r in honesty["claims"]
    ]
    lines += [
        f"{r['bad_share']:4.0%} bad  {r['rate']:4.0%}/yr  90 % interval holds {r['after_ten'][0]:.3f} +- "
        f"{r['after_ten'][1]:.3f} after ten looks, {r['when_called'][0]:.3f} when first called"
        for r in honesty["coverage"]
    ]
    lines += [
        f"one look, case {r['case']}: power {r['power']:.3f} +- {r['error']:.3f}" for r in honesty["power"]
    ]
    return lines


def examine(seed: int, spans_in_all: int) -> dict[str, list[dict[str, object]]]:
    """All of it."""
    return {
        "false_alarms": false_alarms(seed, spans_in_all),
        "claims": claims(seed, spans_in_all // 4),
        "coverage": coverage(seed, spans_in_all // 10),
        "power": power_at_one_look(seed, spans_in_all // 8),
    }
