"""The budget against brute force: a million draws of everything that may be out, and how often intervals hold."""

from dataclasses import dataclass, replace

import numpy as np
import pytest

from lugbook.assessment.budget import budget_of
from lugbook.assessment.evidence import Floats, ReadingColumns
from lugbook.assessment.weighing import weigh_readings

COPPER = 0.00393


@dataclass(frozen=True)
class Truth:
    """One configuration: what is read, and bounds of everything that may be out."""

    microohm_20c: float
    ampere: float
    celsius: float
    zeroed: bool
    temperature_read: bool
    volt_percent: float
    volt_counts: float  # mV, counts times resolution
    volt_digit: float
    volt_offset: float
    ampere_percent: float
    ampere_counts: float
    ampere_digit: float
    thermometer: float  # K, bound
    placement: float  # microohm, bound

    @property
    def millivolt(self) -> float:
        warm = self.microohm_20c * (1 + COPPER * (self.celsius - 20))
        return warm * self.ampere / 1000


def drawn(rng: np.random.Generator) -> Truth:
    """A configuration as a boat might have it, the meters good enough for the current."""
    ampere = rng.uniform(20, 200)
    microohm = np.exp(rng.uniform(np.log(8), np.log(200)))
    drop = microohm * ampere / 1000
    digit = max(0.0001, drop * 10 ** rng.uniform(-3, -1.8))
    return Truth(
        microohm, ampere, rng.uniform(-5, 45), bool(rng.random() < 0.5), bool(rng.random() < 0.7),
        rng.uniform(0.05, 1), rng.choice([0, 1, 2, 5]) * digit, digit, rng.choice([0, 2]) * digit,
        rng.uniform(0.3, 3), ampere * rng.uniform(0, 0.01), ampere * 0.001, rng.uniform(0.2, 2),
        rng.choice([0.0, 0.3]),
    )  # fmt: skip


def readings_of(truth: Truth, millivolt: Floats, ampere: Floats, celsius: Floats, zero: Floats) -> ReadingColumns:
    """What was shown, as the columns that are weighed."""
    count, root3 = len(millivolt), 3**-0.5
    ones = np.ones(count)
    return ReadingColumns(
        span=np.arange(count), series=np.zeros(count, np.int64), round=np.zeros(count, np.int64), day=ones,
        drop_millivolt=millivolt, current_ampere=ampere,
        joint_celsius=celsius if truth.temperature_read else np.full(count, np.nan),
        zero_millivolt=zero if truth.zeroed else np.full(count, np.nan), polarity=np.ones(count, np.int64),
        voltage_gain_sd=ones * truth.volt_percent / 100 * root3,
        voltage_own_millivolt=ones * np.hypot(truth.volt_counts, truth.volt_digit / 2) * root3,
        current_gain_sd=ones * truth.ampere_percent / 100 * root3,
        current_own_ampere=ones * np.hypot(truth.ampere_counts, truth.ampere_digit / 2) * root3,
        voltage_offset_millivolt=ones * truth.volt_offset,
        current_offset_ampere=np.zeros(count),
        thermometer_sd_kelvin=ones * truth.thermometer * root3,
        placement_microohm=ones * truth.placement * root3,
    )  # fmt: skip


@dataclass(frozen=True)
class Errors:
    """Draws of everything that may be out; the true value is what was shown, cleared of them."""

    truth: Truth
    rng: np.random.Generator
    count: int

    def within(self, bound: float) -> Floats:
        return self.rng.uniform(-bound, bound, self.count)

    def show(self) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """True resistance at 20 degC where exactly the nominal values were shown: millivolt, ampere, celsius, zero."""
        t = self.truth
        unread = not t.temperature_read
        true_celsius = (
            20 + self.rng.normal(0, 8, self.count) if unread else t.celsius + self.within(t.thermometer)
        )
        # The coefficient is anything from none to that of copper at the temperature that was read.
        share = self.rng.uniform(0, 1, self.count)
        emf = 0.0 if t.zeroed else self.within(0.005) + self.within(t.volt_offset)
        zero = self.within(t.volt_counts) + self.within(t.volt_digit / 2) if t.zeroed else 0.0
        shown = t.millivolt
        volt = shown - self.within(t.volt_counts) - self.within(t.volt_digit / 2) - emf - zero
        volt = volt / (1 + self.within(t.volt_percent / 100))
        ampere = t.ampere - self.within(t.ampere_counts) - self.within(t.ampere_digit / 2)
        ampere = ampere / (1 + self.within(t.ampere_percent / 100))
        microohm = 1000 * volt / ampere
        if unread:
            true_20 = microohm / (1 + COPPER * (true_celsius - 20))
        else:
            by_copper = 1 + COPPER * (true_celsius - 20)
            doubt = share * COPPER * (t.celsius - 20)  # a film keeps some of what copper's coefficient takes off
            true_20 = microohm / by_copper * (1 + doubt)
        ones = np.ones(1)
        true_20 = true_20 + self.within(t.placement)  # cable, and so copper for sure
        return true_20, ones * t.millivolt, ones * t.ampere, ones * t.celsius, np.zeros(1)


def compare(seed: int, draws: int) -> tuple[float, float, float]:
    """Budget's u over the draws' s.d., and the share of draws that its interval holds, for one configuration."""
    rng = np.random.default_rng(seed)
    truth = drawn(rng)
    values, *shown = Errors(truth, rng, draws).show()
    readings = readings_of(truth, *shown)
    budget = budget_of(readings, weigh_readings(readings), 0)
    inside = np.mean((values >= budget.low_microohm) & (values <= budget.high_microohm))
    return budget.u_microohm / float(values.std()), float(inside), budget.u_microohm / budget.microohm_20c


@pytest.mark.parametrize("seed", range(6))
def test_a_budget_agrees_with_the_scatter_of_simulated_truths(seed: int) -> None:
    ratio, inside, _ = compare(seed, 200_000)

    assert ratio == pytest.approx(1, abs=0.02)
    assert 0.93 <= inside <= 0.97


@dataclass(frozen=True)
class Outing:
    """How a span was read on one outing, and what the readings scatter more than any data sheet says."""

    ways: int  # 1 forward only, 2 reversed too
    repeats: int  # of each way
    zeroed: bool
    scatter: float  # relative


def show_outing(truth: Truth, outing: Outing, rng: np.random.Generator) -> tuple[float, ReadingColumns]:
    """One outing at 20 degC as it might go: the true resistance, and what the meters showed, signs and all."""
    t = replace(truth, celsius=20.0, zeroed=outing.zeroed, temperature_read=True)
    count = outing.ways * outing.repeats
    way = np.repeat([1.0, -1.0][: outing.ways], outing.repeats)

    def one(bound: float) -> float:
        return float(rng.uniform(-bound, bound))

    def each(bound: float) -> Floats:
        return rng.uniform(-bound, bound, count)

    true = t.microohm_20c
    warm = true * (1 + COPPER * one(t.thermometer))
    ampere = t.ampere * np.ones(count)
    drop = way * ampere * (warm + each(t.placement)) * (1 + outing.scatter * rng.standard_normal(count)) / 1000
    own = one(0.005) + one(t.volt_offset)  # what the probes and the meter show of nothing, whichever way
    gain, clamp = 1 + one(t.volt_percent / 100), 1 + one(t.ampere_percent / 100)
    shown = (drop + own) * gain + each(t.volt_counts) + each(t.volt_digit / 2)
    zero = own * gain + each(t.volt_counts) + each(t.volt_digit / 2)
    ampere = ampere * clamp + each(t.ampere_counts) + each(t.ampere_digit / 2)
    plain = readings_of(t, shown, ampere, np.full(count, t.celsius), zero)
    return true, replace(plain, span=np.zeros(count, np.int64), polarity=way.astype(np.int64))


def held_by_budgets(outing: Outing, seed: int, outings: int) -> float:
    """The share of outings whose budget, asked of the last reading, holds the truth."""
    rng = np.random.default_rng(seed)
    inside = 0
    for number in range(outings):
        if number % 20 == 0:
            truth = drawn(rng)
        true, readings = show_outing(truth, outing, rng)
        budget = budget_of(readings, weigh_readings(readings), len(readings.span) - 1)
        inside += budget.low_microohm <= true <= budget.high_microohm
    return inside / outings


OUTINGS = [
    pytest.param(Outing(2, 1, zeroed=False, scatter=0.0), id="both ways"),
    pytest.param(Outing(2, 1, zeroed=True, scatter=0.0), id="both ways with zeros"),
    pytest.param(Outing(2, 3, zeroed=False, scatter=0.0), id="both ways, three times"),
    pytest.param(Outing(2, 4, zeroed=False, scatter=0.03), id="both ways, four repeats that scatter"),
]


@pytest.mark.parametrize("outing", OUTINGS)
def test_the_budget_of_an_outing_holds_the_truth_nineteen_times_in_twenty(outing: Outing) -> None:
    assert 0.93 <= held_by_budgets(outing, 20262, 500) <= 0.97


@pytest.mark.slow
@pytest.mark.parametrize("outing", OUTINGS)
def test_four_thousand_outings_are_held_so_too(outing: Outing) -> None:
    assert 0.93 <= held_by_budgets(outing, 1, 4000) <= 0.97


def test_one_of_several_repeats_is_worth_no_less_than_said() -> None:
    # It is one of those whose scatter was taken, so that a reading far out widens its own interval: the safe side.
    assert 0.95 <= held_by_budgets(Outing(1, 4, zeroed=True, scatter=0.03), 20262, 500) <= 0.99


@pytest.mark.slow
def test_fifty_budgets_agree_with_a_million_draws_each() -> None:
    found = [compare(1000 + seed, 1_000_000) for seed in range(50)]

    assert max(abs(ratio - 1) for ratio, _, _ in found) <= 0.02
    assert all(0.93 <= inside <= 0.97 for _, inside, _ in found)
    assert max(u for _, _, u in found) > 0.03, "some of them must be poor readings"
