"""Prints what ten seasons of simulated fleets come to: spans over their limit between tests, readings taken, and how
often a forecast of so many percent came true; by our dates and by fixed rounds. Run: python tests/benchmarks/seasons.py

Everything goes the way of the product: invented readings to judge_build, its next_test to the next visit.
"""

from __future__ import annotations

import argparse
import json
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from lugbook.assessment.evidence import BuildEvidence, ReadingColumns, WatchedSpan
from lugbook.assessment.findings import examine
from lugbook.assessment.judging import judge_findings
from lugbook.assessment.scheduling import ACCEPTED_RISK, CODES, ONSETS_PER_YEAR
from lugbook.assessment.standing import Policy, Standing, take_stand
from lugbook.inference.causes import RATE_LOG_SD, RATE_MEDIAN
from lugbook.inference.evidence import STEP_SIZES
from lugbook.inference.forecast import (
    JUMPS_PER_YEAR,
    chance_over,
)

YEAR = 365.25
SEASONS = 10.0
START = 18_262.0  # 2020-01-01
OWN, GAIN = 0.02, 0.01
AMPERE = 100.0
FORECAST, FAR_YEARS = 0.20, 12.0


@dataclass
class Truth:
    """What really happens to each span of a build; times in years since the start."""

    rng: np.random.Generator
    place: list[str]
    level: np.ndarray
    log_limit: np.ndarray
    factor: float  # creeps begin so many times as often as the program assumes
    onset: np.ndarray = field(init=False)
    rate: np.ndarray = field(init=False)
    jump_at: np.ndarray = field(init=False)
    jump: np.ndarray = field(init=False)

    def __post_init__(self) -> None:
        self.onset, self.rate, self.jump_at, self.jump = (np.zeros(len(self.place)) for _ in range(4))
        for span in range(len(self.place)):
            self.renew(span, 0.0)

    def renew(self, span: int, now: float) -> None:
        """As new from now on."""
        often = ONSETS_PER_YEAR[self.place[span]] * self.factor
        self.onset[span] = now + self.rng.exponential(1 / often)
        self.rate[span] = RATE_MEDIAN * np.exp(self.rng.normal(0, RATE_LOG_SD))
        self.jump_at[span] = now + self.rng.exponential(1 / JUMPS_PER_YEAR)
        self.jump[span] = self.rng.normal(0, self.rng.choice(STEP_SIZES))

    def at(self, now: float) -> np.ndarray:
        """ln resistance of every span."""
        crept = self.rate * np.maximum(now - self.onset, 0.0)
        return self.level + crept + np.where(self.jump_at <= now, self.jump, 0.0)


@dataclass
class Log:
    """The readings taken so far, as columns."""

    rows: list[tuple[int, int, int, float, float]] = field(default_factory=list)
    series: dict[int, int] = field(default_factory=dict)
    started: dict[int, float] = field(default_factory=dict)
    rounds: int = 0

    def evidence(self, truth: Truth) -> BuildEvidence:
        """What the product knows."""
        span, series, round_, day, microohm = (np.array(part) for part in zip(*self.rows, strict=True))
        count = len(span)
        drop = microohm * AMPERE / 1000
        readings = ReadingColumns(
            span=span, series=series, round=round_, day=day, drop_millivolt=drop,
            current_ampere=np.full(count, AMPERE), joint_celsius=np.full(count, 20.0),
            zero_millivolt=np.full(count, np.nan), polarity=np.ones(count, np.int64),
            voltage_gain_sd=np.zeros(count), voltage_own_millivolt=OWN * drop,
            current_gain_sd=np.full(count, GAIN), current_own_ampere=np.zeros(count),
        )  # fmt: skip
        spans = tuple(
            WatchedSpan(
                f"S{number:02d}", "crimp", place, float(np.exp(truth.log_limit[number])),
                self.started.get(number), 1 + self.series.get(number, 0),
            )
            for number, place in enumerate(truth.place)
        )  # fmt: skip
        return BuildEvidence("fleet", spans, tuple(str(n) for n in range(self.rounds)), readings)


@dataclass
class Tally:
    """What a fleet came to."""

    spans: int = 0
    crossed: set[tuple[int, int]] = field(default_factory=set)
    readings: int = 0
    services: int = 0
    visits: int = 0
    forecasts: list[tuple[float, bool]] = field(default_factory=list)


def read(truth: Truth, log: Log, now: float, spans: list[int], tally: Tally) -> None:
    """One outing: its own error of the meters, and each span's own noise."""
    shift = truth.rng.normal(0, GAIN)
    true = truth.at(now)
    for span in spans:
        seen = np.exp(true[span] + shift + truth.rng.normal(0, OWN))
        log.rows.append((span, log.series.get(span, 0), log.rounds, START + now * YEAR, float(seen)))
    log.rounds += 1
    tally.readings += len(spans)
    tally.visits += 1


def serve(truth: Truth, log: Log, now: float, spans: list[int], tally: Tally) -> None:
    """Made as new, and read as left."""
    for span in spans:
        truth.renew(span, now)
        log.series[span] = log.series.get(span, 0) + 1
        log.started[span] = START + now * YEAR
    if spans:
        read(truth, log, now, spans, tally)
        tally.services += len(spans)


def invent(rng: np.random.Generator, spans: int, factor: float) -> Truth:
    """A build of spans in all places, with limits 35 to 170 % above."""
    place = [str(one) for one in rng.choice(list(ONSETS_PER_YEAR), spans)]
    level = np.log(rng.uniform(8, 60, spans))
    return Truth(rng, place, level, level + rng.uniform(0.3, 1.0, spans), factor)


def run(seed: int, *, fixed_years: float | None, factor: float, spans: int, policy: Policy) -> Tally:
    """Ten seasons of one build, by our dates, or by rounds of everything at a fixed interval."""
    rng = np.random.default_rng(seed)
    truth = invent(rng, spans, factor)
    log, tally, now = Log(), Tally(spans), 0.0
    read(truth, log, now, list(range(spans)), tally)
    while True:
        due = decide(truth, log, now, fixed_years, policy, tally)
        upcoming = min(due)
        if upcoming >= SEASONS:
            note_crossings(truth, SEASONS, list(range(spans)), tally, seed)
            return tally
        now = max(upcoming, now + 1 / YEAR)
        going = [span for span, day in enumerate(due) if day <= now + 0.5 / YEAR]
        note_crossings(truth, now, going, tally, seed)
        read(truth, log, now, going, tally)


def note_crossings(truth: Truth, now: float, spans: list[int], tally: Tally, seed: int) -> None:
    """Who went over its limit since it was last read."""
    over = truth.at(now) > truth.log_limit
    tally.crossed |= {(seed, span) for span in spans if over[span]}


def decide(
    truth: Truth, log: Log, now: float, fixed_years: float | None, policy: Policy, tally: Tally
) -> list[float]:
    """Look again, mend, and say when each span is to be read next, in years."""
    for turn in range(3):
        evidence = log.evidence(truth)
        found = examine(evidence)
        assert found is not None
        standing = take_stand(START + now * YEAR, found, policy)
        horizon = fixed_years or 0.0
        risky = chance_over(standing.outlook, np.full(len(truth.place), horizon))
        again, mend = [], []
        for span, code in enumerate(standing.due.code.tolist()):
            last = found.layout.day[found.last_column[span]] if found.count[span] else np.nan
            if abs(last - START - now * YEAR) > 0.5:
                continue  # not read on this outing
            word = CODES[code]
            if word == "look again" and turn == 0:
                again.append(span)
            elif word in ("now", "mend") or (fixed_years and risky[span] > standing.due.accepted[span]):
                mend.append(span)
        if again:
            read(truth, log, now, again, tally)
        elif mend:
            serve(truth, log, now, mend, tally)
        else:
            break
    if fixed_years:
        return [now + fixed_years] * len(truth.place)
    epoch = date(1970, 1, 1).toordinal()
    today = date.fromordinal(epoch + int(START + now * YEAR))
    verdicts = judge_findings(today, evidence, found, policy).verdicts
    return [
        (verdict.next_test.toordinal() - epoch - START) / YEAR if verdict.next_test else SEASONS
        for verdict in verdicts
    ]


def forecasts(builds: int, seed: int, *, factor: float, spans: int, policy: Policy) -> dict[str, float]:
    """Builds read every year for three to eight years and never mended: of every span, once, by when its chance of
    being over is 20 %, and whether it then truly is."""
    tally = Tally()
    for number in range(builds):
        rng = np.random.default_rng([seed, number])
        truth = invent(rng, spans, factor)
        log, seasons = Log(), int(rng.integers(3, 9))
        for year in range(seasons):
            read(truth, log, float(year), list(range(spans)), tally)
        found = examine(log.evidence(truth))
        assert found is not None
        note_forecasts(truth, seasons - 1.0, take_stand(START + (seasons - 1) * YEAR, found, policy), tally)
    return forecast_of(tally.forecasts)


def note_forecasts(truth: Truth, now: float, standing: Standing, tally: Tally) -> None:
    """The day on which the chance passes FORECAST, between two tried, and what comes true."""
    tried = np.linspace(0.1, FAR_YEARS, 60)
    chances = np.array([chance_over(standing.outlook, np.full(len(truth.place), years)) for years in tried])
    for span in np.flatnonzero((chances[0] < FORECAST) & (chances[-1] >= FORECAST)).tolist():
        years = float(np.interp(FORECAST, chances[:, span], tried))
        over = truth.at(now + years)[span] > truth.log_limit[span]
        tally.forecasts.append((FORECAST, bool(over)))


def fleet(builds: int, seed: int, **how: object) -> dict[str, float]:
    """Many builds, summed."""
    tallies = [run(seed + number, **how) for number in range(builds)]  # type: ignore[arg-type]
    spans = sum(tally.spans for tally in tallies)
    crossed = sum(len(tally.crossed) for tally in tallies)
    return {
        "crossed_percent": 100 * crossed / spans,
        "se_percent": 100 * np.sqrt(crossed) / spans,
        "readings_per_span": sum(tally.readings for tally in tallies) / spans,
        "services_per_span": sum(tally.services for tally in tallies) / spans,
        "visits_per_build": sum(tally.visits for tally in tallies) / builds,
    }


def forecast_of(forecasts: list[tuple[float, bool]]) -> dict[str, float]:
    """Mean chance given, and share that came true."""
    if not forecasts:
        return {}
    given, true = (np.array(part, float) for part in zip(*forecasts, strict=True))
    return {
        "given_percent": 100 * float(given.mean()),
        "came_true_percent": 100 * float(true.mean()),
        "forecasts": float(len(true)),
    }


def main() -> None:
    """Print the table and JSON."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--builds", type=int, default=40)
    parser.add_argument("--spans", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--factor", type=float, default=1.0)
    parser.add_argument("--risk", type=float, default=ACCEPTED_RISK)
    args = parser.parse_args()
    policy = replace(Policy(), accepted_risk=args.risk)
    common = {"factor": args.factor, "spans": args.spans, "policy": policy}
    found = {"ours": fleet(args.builds, args.seed, fixed_years=None, **common)}
    for years in (1.0, 1.5, 2.0):
        found[f"every {years:g} years"] = fleet(args.builds, args.seed, fixed_years=years, **common)
    for name, numbers in found.items():
        print(f"{name:16s}", "  ".join(f"{key} {value:6.2f}" for key, value in numbers.items()))
    found["forecasts"] = forecasts(10 * args.builds, args.seed, **common)
    print("forecasts       ", found["forecasts"])
    print(json.dumps(found))


if __name__ == "__main__":
    main()
