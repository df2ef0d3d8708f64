"""Somebody asks how many seasons of readings it takes until a creep is noticed, with their own boat's readings."""

import pytest

from conftest import Shell

ASKED = ("plan", "season", "--rate", "2 %", "--rate", "10 %", "--rate", "20 %")


def test_the_sample_boat_is_told_by_which_season_each_creep_is_noticed(sallowmere: Shell) -> None:
    said = sallowmere.does(*ASKED)
    (plan,) = sallowmere.tells(*ASKED)["plans"]

    slow, middle, fast = plan["chances"]
    assert (slow[:2], fast[:2]) == ([0, 0], [0, 0])  # two rounds are too few for anybody
    assert all(one == sorted(one) for one in plan["chances"]), "once noticed is noticed"
    assert slow[4] < middle[4] <= fast[4]
    # A fifth more each year against a few percent of noise: noticed by the fifth round for all but certain.
    assert fast[4] > 0.95
    assert 0 < plan["bad_percent"] < 10
    assert f"{plan['spans']} spans a round" in said
    assert "% of readings bad, a round every year." in said
    assert "From 1500 simulated builds a rate, judged as your readings are." in said


def test_half_yearly_rounds_notice_it_in_fewer_years(sallowmere: Shell) -> None:
    (yearly,) = sallowmere.tells("plan", "season", "--rate", "5 %")["plans"]
    (half_yearly,) = sallowmere.tells("plan", "season", "--rate", "5 %", "--every", "0.5")["plans"]

    # Three years: the fourth yearly round, the seventh half-yearly one.
    assert half_yearly["chances"][0][6] > yearly["chances"][0][3]


@pytest.mark.parametrize("rounds", [0, 1])
def test_before_the_second_round_there_is_nothing_to_plan_with(bench: Shell, rounds: int) -> None:
    for _ in range(rounds):
        bench.does("reading", "add", "C12A/crimp", "0.84 mV", "--at", "100 A", "--temp", "20 degC",
                   "--voltmeter", "bench meter", "--ammeter", "hand clamp")  # fmt: skip

    assert "two rounds" in bench.refuses("plan", "season")
