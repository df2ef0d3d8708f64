"""The sheets of Sallowmere that hold no reading: its parts, its wiring, its pulls."""

import csv
import io
from collections.abc import Sequence
from dataclasses import astuple, dataclass
from datetime import date, datetime, timedelta
from random import Random

from sample_boat_wiring import (
    ADDED_IN_2025,
    BUILD,
    CABLES,
    DESCRIPTION,
    HARDWARE,
    LANDINGS,
    MAKES,
    PROBE_MILLIMETRE,
    TORQUE_NEWTON_METRE,
    WINDLASS,
    WINDLASS_CABLES,
    ZONE,
    Cable,
    Watched,
)

Row = tuple[object, ...]

PRESS = "hydraulic press"
SEAL = "adhesive heat shrink"
OPERATORS = {"owner": "", "yard electrician": "did the engine bay and the thruster", "mate": ""}
LOGGER_HEADINGS = {
    "drop_millivolt": "drop (mV)",
    "current_ampere": "current (A)",
    "joint_celsius": "joint (°C)",
    "zero_millivolt": "zero (mV)",
}
# Loads held for a minute on made terminals: recipe, cable end, when, newtons, note.
PROOF_PULLS = (
    ("R2", "C01A", "2021-03-06 16:20", 1330, "no movement at the ink mark"),
    ("R1", "C14B", "2021-03-15 11:05", 2000, "no movement at the ink mark"),
    ("R3", "C41A", "2021-04-02 15:40", 900, "load sagged to 890, lug did not move"),
)


@dataclass(frozen=True, slots=True)
class Meter:
    """An instrument as its maker states it; one count is the resolution."""

    kind: str
    percent_of_reading: str
    counts: int
    resolution: str
    unit: str
    calibrated_on: str
    calibration_due: str
    note: str

    def show(self, value: float) -> str:
        """The value on its display: rounded to its last digit."""
        places = len(self.resolution.partition(".")[2])
        return f"{round(value, places) + 0.0:.{places}f}"


INSTRUMENTS = {
    "MV1": Meter("millivoltmeter", "0.5", 3, "0.01", "mV", "2021-03-02", "2024-03-01", "hand meter"),
    "CL1": Meter("clamp", "2", 3, "0.1", "A", "2021-03-02", "2024-03-01", "DC clamp"),
    "MV2": Meter("millivoltmeter", "0.1", 5, "0.001", "mV", "2024-02-19", "2027-02-18", "logging meter"),
    "SH2": Meter("shunt", "1", 3, "0.1", "A", "2024-02-19", "2027-02-18", "shunt read by the logging meter"),
    "TH1": Meter("thermometer", "0", 5, "0.1", "degC", "2021-03-02", "2027-03-01", "contact probe"),
    "PT1": Meter("pull tester", "1", 2, "10", "N", "2021-01-11", "2027-01-10", "bench pull tester"),
    "TW1": Meter("torque wrench", "4", 1, "0.1", "N m", "2021-01-11", "2027-01-10", "click wrench"),
}


def parts_logs() -> dict[str, bytes]:
    """What the cables are made of, with what, by whom, measured with what."""
    dies = "dies named by their width across flats in mm"
    return {
        "01_builds.csv": bench_sheet("build description zone", [(BUILD, DESCRIPTION, ZONE)]),
        "02_conductors.csv": bench_sheet(
            "conductor size tinned strands insulation_celsius area_mm2",
            [(make.conductor, make.size, "yes", make.strands, "105", make.area_mm2) for make in MAKES],
        ),
        "03_lugs.csv": bench_sheet(
            "lug barrel_size stud_millimetre material plating",
            [(make.lug, make.size, make.stud_millimetre, "copper tube", "tin") for make in MAKES],
        ),
        "04_tools.csv": bench_sheet("tool kind note", [(PRESS, "hand hydraulic, hex dies", dies)]),
        "05_operators.csv": bench_sheet("operator note", list(OPERATORS.items())),
        "06_instruments.csv": bench_sheet(
            "instrument kind percent_of_reading counts resolution unit calibrated_on calibration_due note",
            [(name, *astuple(meter)) for name, meter in INSTRUMENTS.items()],
        ),
        "07_recipes.csv": bench_sheet(
            "recipe conductor_size lug tool die presses strip_millimetre sealing compound pull_standard",
            [
                (
                    make.recipe,
                    make.size,
                    make.lug,
                    PRESS,
                    make.die,
                    make.presses,
                    make.strip_millimetre,
                    SEAL,
                    "none",
                    "UL 486A-486B" if "AWG" in make.size else "IEC 61238-1",
                )
                for make in MAKES
            ],
        ),
    }


def wiring_logs(spans: Sequence[Watched]) -> dict[str, bytes]:
    """The cables, where they are bolted, their terminals and the spans watched on them."""
    return {
        "08_cables.csv": bench_sheet(
            "build cable conductor length_metre from_place to_place circuit circuit_ampere system_volt "
            "drop_budget_percent note",
            [
                (
                    *(BUILD, it.tag, it.make.conductor, it.length_metre, *it.places),
                    *(WINDLASS if it.tag in WINDLASS_CABLES else ("",) * 4),
                    " to ".join(it.landings),
                )
                for it in CABLES
            ],
        ),
        "09_landings.csv": bench_sheet(
            "build landing kind hardware torque_newton_metre",
            [(BUILD, name, kind, HARDWARE[stud], TORQUE_NEWTON_METRE[stud]) for name, kind, stud in LANDINGS],
        ),
        "10_terminals.csv": bench_sheet(
            "build cable_end recipe made_at operator landing",
            [
                (BUILD, cable.tag + side, cable.make.recipe, made_on(cable), made_by(cable), landing)
                for cable in CABLES
                for side, landing in zip("AB", cable.landings, strict=True)
            ],
        ),
        "11_spans.csv": bench_sheet(
            "build span kind place cable_end landing limit_microohm probe_millimetre note",
            [
                (
                    BUILD,
                    one.tag,
                    one.kind,
                    one.place,
                    one.cable_end,
                    one.landing,
                    one.limit_microohm,
                    PROBE_MILLIMETRE if one.kind == "crimp" else "",
                    one.note,
                )
                for one in spans
            ],
        ),
    }


def made_on(cable: Cable) -> str:
    """The day both ends were crimped: a few cables a day through March 2021; the solar pair in 2025."""
    if cable.tag in ADDED_IN_2025:
        return "2025-04-12"
    return (date(2021, 3, 6) + timedelta(days=CABLES.index(cable) * 2 // 3)).isoformat()


def made_by(cable: Cable) -> str:
    """Who crimped it."""
    if "engine" in cable.places or cable.tag in ("C27", "C28", "C29"):
        return "yard electrician"
    return "mate" if cable.tag in ("C30", "C31", "C32", "C33") else "owner"


def pull_logs(chance: Random) -> dict[str, bytes]:
    """Samples pulled to failure before the good ones were made, and loads held on a few made terminals."""
    preamble = "Pull tester export\r\nSpeed mm/min;50\r\nPeak hold;on\r\n\r\n"
    headings = "recipe sample pulled_at pull_lbf failure kind instrument operator"
    tester = delimited(headings.split(), tester_samples(chance), delimiter=";", line_end="\r\n")
    return {
        "12_pulls_bench.csv": bench_sheet(
            "recipe sample pulled_at pull_newton failure kind hold_second cable_end build "
            "instrument operator note",
            [*bench_samples(chance), *proof_pulls()],
        ),
        "12_pulls_tester.csv": (preamble + tester).encode(),
    }


def tester_samples(chance: Random) -> list[Row]:
    """Five samples of each heavy recipe, in pounds-force."""
    rows: list[Row] = []
    for recipe, day, mean_lbf in (("R1", "2021-02-20", 3450), ("R2", "2021-02-21", 2280)):
        for number in range(1, 6):
            failure = "conductor broke" if (recipe, number) == ("R2", 3) else "pulled out"
            pull_lbf, at = round(mean_lbf * spread(chance, 0.05)), f"{day} 10:{10 + 7 * number}"
            rows.append((recipe, f"{recipe}-{number}", at, pull_lbf, failure, "sample", "PT1", "owner"))
    return rows


def bench_samples(chance: Random) -> list[Row]:
    """Four samples of the middle recipe, read off the dial in newtons."""
    rows: list[Row] = []
    for number in range(1, 5):
        pull_newton, at = 10 * round(610 * spread(chance, 0.05)), f"2021-02-27 10:{10 * number}"
        found = ("R3", f"R3-{number}", at, pull_newton, "pulled out", "sample", "")
        rows.append((*found, "", "", "PT1", "owner", ""))
    return rows


def proof_pulls() -> list[Row]:
    """The loads held on made terminals, none of which moved."""
    return [
        (recipe, f"{end} proof", at, newton, "not to failure", "proof", 60, end, BUILD, "PT1", "owner", note)
        for recipe, end, at, newton, note in PROOF_PULLS
    ]


def spread(chance: Random, sd: float) -> float:
    """A factor near one, never far from it: terminals made alike are not equal."""
    return 1 + sd * min(2.0, max(-2.0, chance.gauss(0, 1)))


def bench_sheet(headings: str, rows: Sequence[Row]) -> bytes:
    """A plain sheet as kept at the bench; the headings are given as one line of words."""
    return delimited(headings.split(), rows, delimiter=",", line_end="\n").encode()


def logger_export(headings: str, rows: Sequence[Row]) -> bytes:
    """What a logging meter writes: preamble, units in the headings, semicolons, decimal commas, day first."""
    preamble = "Logging meter export\r\nChannels;3\r\nReadings averaged;10\r\nDecimal sign;comma\r\n\r\n"
    shown = []
    for row in rows:
        cells = dict(zip(headings.split(), row, strict=True))
        cells |= {heading: str(cells[heading]).replace(".", ",") for heading in LOGGER_HEADINGS}
        cells["taken_at"] = f"{datetime.fromisoformat(str(cells['taken_at'])):%d.%m.%Y %H:%M}"
        shown.append(tuple(cells.values()))
    top = [LOGGER_HEADINGS.get(heading, heading) for heading in headings.split()]
    return (preamble + delimited(top, shown, delimiter=";", line_end="\r\n")).encode("utf-8-sig")


def delimited(headings: Sequence[str], rows: Sequence[Row], *, delimiter: str, line_end: str) -> str:
    """The table as text."""
    page = io.StringIO()
    csv.writer(page, delimiter=delimiter, lineterminator=line_end).writerows([headings, *rows])
    return page.getvalue()
