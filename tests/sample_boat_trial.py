"""The trial of Sallowmere's new press: which die for the 2/0 lug; and the two cables it is wanted for."""

from dataclasses import dataclass
from random import Random

from sample_boat_sheets import Row, bench_sheet, spread
from sample_boat_wiring import BUILD, HEAVY

NEW_PRESS = "new press"
STANDARD = "UL 486A-486B"
SAMPLES_EACH = 5
BETWEEN_MILLIMETRE = 76
EQUAL_LENGTH_MICROOHM = 20.33
"""Of 76 mm of tinned strands of 67.4 mm2 at 20 degC: 0.017241 x 1.025 x 1.02 x 0.076 / 67.4 ohm."""


@dataclass(frozen=True, slots=True)
class Setting:
    """One die of the new press, and what a crimp made with it is like: the truth hidden in the logs."""

    recipe: str
    die_millimetre: int
    pull_newton: float
    times_equal_length: float
    failure: str
    ears: int
    """So many of the five show them."""
    strands_cut: int


SETTINGS = (
    Setting("N12", 12, 8700, 1.01, "conductor broke", 4, 3),
    Setting("N13", 13, 10100, 1.02, "pulled out", 0, 0),
    Setting("N14", 14, 8800, 1.04, "pulled out", 0, 0),
    Setting("N15", 15, 6300, 1.17, "pulled out", 0, 0),
)
BEST = "N13"
PLANNED = (
    ("C47", "2.35", "2.10", "2", "62.00", "charger positive to positive bus"),
    ("C48", "2.55", "2.30", "2", "64.50", "charger negative to negative bus"),
)


def trial_logs(chance: Random) -> dict[str, bytes]:
    """The trial, what it was for, the reels in the locker and the prices paid."""
    return {
        "14_recipes_trial.csv": bench_sheet(
            "recipe conductor_size lug tool die presses strip_millimetre sealing press_order pull_standard",
            [
                (
                    *(one.recipe, HEAVY.size, HEAVY.lug, NEW_PRESS, f"die {one.die_millimetre} hex", 2, 26),
                    *("adhesive sleeve", "palm side first", STANDARD),
                )
                for one in SETTINGS
            ],
        ),
        **sample_logs(chance),
        "17_answers_trial.csv": bench_sheet(
            "item answer looked_at recipe sample operator",
            [
                (item, answer, "2026-05-16 15:30", BEST, f"{BEST}-{number}", "owner")
                for number in (1, 2)
                for item, answer in (("conductor seen", "yes"), ("no cracks", "yes"), ("sealed", "not applicable"))
            ],
        ),
        "18_cables_planned.csv": bench_sheet(
            "build cable conductor length_metre from_place to_place recipe route_metre service_loop_metre bends "
            "bend_radius_millimetre trim_millimetre loom_metre quoted_price circuit circuit_ampere system_volt "
            "drop_budget_percent note",
            [
                (
                    *(BUILD, tag, HEAVY.conductor, length, "dry", "dry", BEST, route, "0.15", bends, 80, 8, route),
                    *(f"{quoted} EUR", "charger", 120, 12, 3, note),
                )
                for tag, length, route, bends, quoted, note in PLANNED
            ],
        ),
        "19_reels.csv": bench_sheet(
            "reel conductor length_metre count",
            [("locker, 2/0", HEAVY.conductor, "3.10", 1), ("dealer, 2/0", HEAVY.conductor, "5", "")],
        ),
        "20_prices.csv": bench_sheet(
            "what price per",
            [
                (HEAVY.conductor, "14.80 EUR", "metre"),
                (HEAVY.lug, "3.20 EUR", "piece"),
                ("adhesive sleeve", "1.10 EUR", "piece"),
                ("loom", "2.40 EUR", "metre"),
            ],
        ),
    }  # fmt: skip


def sample_logs(chance: Random) -> dict[str, bytes]:
    """Five samples of each setting: measured and looked at first, then pulled."""
    seen: list[Row] = []
    pulled: list[Row] = []
    for day, one in enumerate(SETTINGS, start=14):
        for number in range(1, SAMPLES_EACH + 1):
            name, celsius = f"{one.recipe}-{number}", round(19.5 + 2 * chance.random(), 1)
            ampere = round(chance.uniform(98, 104), 1)
            microohm = EQUAL_LENGTH_MICROOHM * one.times_equal_length * spread(chance, 0.015)
            drop_millivolt = microohm * (1 + 0.00393 * (celsius - 20)) * ampere / 1000
            across = one.die_millimetre + round(chance.uniform(0.1, 0.3), 1)
            ears = "yes" if number <= one.ears else "no"
            cut = one.strands_cut if number == 1 else 0
            measured = (f"{drop_millivolt:.3f}", ampere, celsius, "MV2", "SH2", BETWEEN_MILLIMETRE)
            looked_at = (f"{across:.1f}", f"{across - 0.2:.1f}", ears, cut, "owner")
            at = f"2026-05-{day} 10:{10 * number - 5:02}"
            seen.append((one.recipe, name, at, *measured, *looked_at))
            pull_newton = 10 * round(one.pull_newton * spread(chance, 0.035) / 10)
            at = f"2026-05-{day} 15:{5 * number:02}"
            pulled.append((one.recipe, name, at, pull_newton, one.failure, "PT1", "owner"))
    return {
        "15_samples_trial.csv": bench_sheet(
            "recipe sample tested_at drop_millivolt current_ampere joint_celsius voltage_instrument "
            "current_instrument length_millimetre width_millimetre height_millimetre ears strands_cut operator",
            seen,
        ),
        "16_pulls_trial.csv": bench_sheet(
            "recipe sample pulled_at pull_newton failure instrument operator", pulled
        ),
    }
