"""Makes the logs of Sallowmere from a seed and a known truth: `python tests/sample_boat.py sample_logs`.

A reading is the true resistance at the joint's temperature, times the round's shared instrument error, plus
the noise of the meters as stated and of probes that never land twice on the same place, rounded to the last
digit of the display.
"""

import math
import sys
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random

from sample_boat_sheets import (
    INSTRUMENTS,
    Meter,
    Row,
    bench_sheet,
    logger_export,
    parts_logs,
    pull_logs,
    spread,
    wiring_logs,
)
from sample_boat_trial import trial_logs
from sample_boat_wiring import (
    ADDED_IN_2025,
    BUILD,
    CABLES,
    JOINTS,
    PROBE_MILLIMETRE,
    SMALL,
    WATCHED_CABLES,
    WATCHED_LANDINGS,
    Cable,
    Watched,
)

SEED = 20210417
COPPER_OHM_MM2_PER_METRE = 0.0172414 * 1.025 * 1.02
"""At 20 degC: annealed copper (IACS), tinned and stranded."""
COPPER_PER_KELVIN = 0.00393
PROBE_TO_BARREL_METRE = PROBE_MILLIMETRE / 1000
PLACEMENT_SD = 0.015
MILDEST_FIRST = ("dry", "engine", "bilge", "exposed")

# The truth hidden in the logs: growth per year from the day it began.
CREEPING = {
    "C05A/landing": (0.09, date(2022, 6, 1)),
    "C36B/crimp": (0.14, date(2022, 10, 1)),
    "C26A/crimp": (0.20, date(2023, 1, 15)),
}
# A nut worked loose; nobody has touched it since.
STEPPED = {"C03A/landing": (1.9, date(2023, 11, 20))}
# Found high in 2024, taken apart, cleaned, re-torqued; steady since.
SERVICED = "C29A/landing"
FOUND_TIMES, LEFT_TIMES = 1.6, 0.97
WETTED_ON = date(2023, 9, 10)
SERVICED_AT = datetime(2024, 4, 21, 17, 10)
AS_LEFT_AT = datetime(2024, 4, 21, 17, 45)
# Volts typed for millivolts: a thousand times too much.
MISTYPED = ("2025", "C16B/crimp")
NEVER_READ = ("C41B/crimp",)
NOT_REACHED = {
    *(("2022", "C38B/crimp"), ("2022", "C39A/crimp"), ("2024", "C44A/crimp")),
    *(("2025", "SP1/joint"), ("2026", "C12B/crimp")),
}
NO_TEMPERATURE = {("2021", "C25A/crimp"), ("2022", "C06/cable")}
REMARKS = {
    ("2021", "C01A/crimp"): "as made; engine not run since the evening before",
    ("2022", "C26B/crimp"): "windlass breaker off",
    ("2024", "C03A/landing"): "higher than last year",
    ("2026", "C24B/crimp"): "salt on the box lid",
}
# Landings are read both ways in 2026, which makes a reading at zero current needless.
UNUSED_HEADINGS = {"2024": {"polarity"}, "2026": {"stage", "zero_millivolt"}}


@dataclass(frozen=True, slots=True)
class Outing:
    """One yearly round: its days, its instruments, and by how much those read wrong on that day."""

    name: str
    days: tuple[date, ...]
    meter: str
    current_by: str
    meter_error: float
    current_error: float
    operator: str


ROUNDS = (
    Outing("2021", (date(2021, 4, 17), date(2021, 4, 18)), "MV1", "CL1", +0.001, +0.008, "owner"),
    Outing("2022", (date(2022, 4, 30), date(2022, 5, 1)), "MV1", "CL1", -0.002, -0.009, "owner"),
    # The clamp read 4 % high all weekend, so every resistance came out 4 % low.
    Outing("2023", (date(2023, 4, 22), date(2023, 4, 23)), "MV1", "CL1", +0.001, +0.040, "mate"),
    Outing("2024", (date(2024, 4, 20), date(2024, 4, 21)), "MV2", "SH2", +0.0003, -0.003, "yard electrician"),
    Outing("2025", (date(2025, 5, 3), date(2025, 5, 4)), "MV2", "SH2", -0.0002, +0.005, "owner"),
    Outing("2026", (date(2026, 4, 25),), "MV2", "SH2", +0.0004, +0.002, "owner"),
)


def make_logs(seed: int = SEED) -> dict[str, bytes]:
    """Every log of the sample boat: file name and content; the same seed gives the same bytes."""
    chance = Random(seed)
    spans = watch_spans(chance)
    logs = (
        parts_logs() | wiring_logs(spans) | pull_logs(chance) | service_log() | trial_logs(Random(seed + 1))
    )
    for number, outing in enumerate(ROUNDS, start=21):
        headings, rows = read_round(outing, spans, chance)
        write = logger_export if outing.name == "2024" else bench_sheet
        logs[f"{number}_readings_{outing.name}.csv"] = write(headings, rows)
    return logs


def watch_spans(chance: Random) -> list[Watched]:
    """The spans in the order in which the owner walks the boat."""
    spans = [span for cable in CABLES for span in watch_cable(cable, chance)]
    return [*spans, *JOINTS]


def watch_cable(cable: Cable, chance: Random) -> list[Watched]:
    """The spans of one cable: both crimps, and where wanted its landings and the whole length."""
    make, spans = cable.make, []
    microohm_per_metre = COPPER_OHM_MM2_PER_METRE / make.area_mm2 * 1e6
    crimps = [make.crimp_microohm * spread(chance, 0.10) for _ in "AB"]
    for side, landing, place, crimp in zip("AB", cable.landings, cable.places, crimps, strict=True):
        end = cable.tag + side
        true = PROBE_TO_BARREL_METRE * microohm_per_metre + crimp
        spans.append(Watched(f"{end}/crimp", "crimp", place, end, "", str(make.crimp_limit_microohm), true))
        if end in WATCHED_LANDINGS:
            true, limit = make.landing_microohm * spread(chance, 0.18), str(make.landing_limit_microohm)
            spans.append(Watched(f"{end}/landing", "landing", place, end, landing, limit, true))
    if cable.tag in WATCHED_CABLES:
        true = float(cable.length_metre) * microohm_per_metre + sum(crimps)
        place = max(cable.places, key=MILDEST_FIRST.index)
        spans.append(Watched(f"{cable.tag}/cable", "cable", place, f"{cable.tag}A", "", "", true))
    return spans


def true_microohm(span: Watched, at: datetime) -> float:
    """The span's resistance at 20 degC at that moment, whatever has happened to it by then."""
    day = at.date()
    if span.tag in CREEPING:
        rate, onset = CREEPING[span.tag]
        years = max(0, (day - onset).days) / 365.25
        return span.microohm_20c * math.exp(years * math.log1p(rate))
    if span.tag in STEPPED:
        times, loosened_on = STEPPED[span.tag]
        return span.microohm_20c * (times if day >= loosened_on else 1.0)
    if span.tag == SERVICED and day >= WETTED_ON:
        return span.microohm_20c * (FOUND_TIMES if at < SERVICED_AT else LEFT_TIMES)
    return span.microohm_20c


def read_round(outing: Outing, spans: list[Watched], chance: Random) -> tuple[str, list[Row]]:
    """One round as headings and rows: what was read, where and when, in order of time."""
    headings = "build span round taken_at drop_millivolt current_ampere joint_celsius zero_millivolt"
    headings += " polarity stage voltage_instrument current_instrument operator note"
    unused = UNUSED_HEADINGS.get(outing.name, {"polarity", "stage"})
    headings = " ".join(heading for heading in headings.split() if heading not in unused)
    rows: list[Row] = []
    for span, at in walk(outing, spans, chance):
        both_ways = outing.name == "2026" and span.kind == "landing"
        for minute, sign in enumerate((1, -1) if both_ways else (1,)):
            moment = at + timedelta(minutes=minute)
            cells = take_reading(outing, span, moment, sign=sign, chance=chance)
            rows.append(tuple(cells[heading] for heading in headings.split()))
    return headings, rows


def walk(outing: Outing, spans: list[Watched], chance: Random) -> list[tuple[Watched, datetime]]:
    """Which span is read when: the way through the boat, shared between the days of the round."""
    due = [span for span in spans if is_read(outing, span)]
    share = -(-len(due) // len(outing.days))
    stops = []
    for number, day in enumerate(outing.days):
        at = datetime(day.year, day.month, day.day, 8, 40) + timedelta(minutes=chance.randrange(25))
        for span in due[number * share : (number + 1) * share]:
            stops.append((span, at))
            at += timedelta(minutes=chance.choice((3, 4, 5, 6, 7) if len(outing.days) > 1 else (3, 4)))
    if outing.name == "2024":
        stops.append((next(span for span in spans if span.tag == SERVICED), AS_LEFT_AT))
    return sorted(stops, key=lambda stop: stop[1])


def is_read(outing: Outing, span: Watched) -> bool:
    """Whether somebody put probes on this span in this round."""
    added_later = span.tag[:3] in ADDED_IN_2025 and outing.name < "2025"
    return not (added_later or span.tag in NEVER_READ or (outing.name, span.tag) in NOT_REACHED)


def take_reading(outing: Outing, span: Watched, at: datetime, *, sign: int, chance: Random) -> dict[str, str]:
    """What the displays show, and is written down, for one span."""
    meter, current_by = INSTRUMENTS[outing.meter], INSTRUMENTS[outing.current_by]
    celsius = joint_celsius(span, at, chance)
    ampere = true_ampere(span, chance)
    shown_ampere = ampere * (1 + outing.current_error)
    microohm = true_microohm(span, at) * (1 + COPPER_PER_KELVIN * (celsius - 20))
    stray_millivolt = chance.gauss(0, 0.008)
    drop = microohm * ampere * 1e-3 * (1 + outing.meter_error) * (1 + PLACEMENT_SD * chance.gauss(0, 1))
    drop_text = meter.show(sign * drop + stray_millivolt + counts_off(meter, chance))
    if (outing.name, span.tag) == MISTYPED:
        drop_text += " V"
    return {
        "build": BUILD,
        "span": span.tag,
        "round": outing.name,
        "taken_at": f"{at:%Y-%m-%d %H:%M}",
        "drop_millivolt": drop_text,
        "current_ampere": current_by.show(shown_ampere + counts_off(current_by, chance)),
        "joint_celsius": "" if (outing.name, span.tag) in NO_TEMPERATURE else f"{celsius:.1f}",
        "voltage_instrument": outing.meter,
        "current_instrument": outing.current_by,
        "operator": outing.operator,
        "zero_millivolt": meter.show(stray_millivolt),
        "polarity": "forward" if sign > 0 else "reverse",
        "stage": stage_of(span, at),
        "note": REMARKS.get((outing.name, span.tag), "") if sign > 0 else "",
    }


def stage_of(span: Watched, at: datetime) -> str:
    """As found or as left, on the day of the service; else nothing."""
    if span.tag != SERVICED or at.date() != SERVICED_AT.date():
        return ""
    return "as found" if at < SERVICED_AT else "as left"


def counts_off(meter: Meter, chance: Random) -> float:
    """An error anywhere within the counts the maker allows, in the meter's unit."""
    return meter.counts * float(meter.resolution) * chance.uniform(-1, 1)


def joint_celsius(span: Watched, at: datetime, chance: Random) -> float:
    """Between 12 and 31 degC: by place, warmer in the afternoon, warmer in some years."""
    base = {"dry": 19.0, "engine": 24.5, "bilge": 14.5, "exposed": 18.0}[span.place]
    year = {2021: -1.0, 2022: 1.5, 2023: -0.5, 2024: 2.0, 2025: 0.5, 2026: -1.5}[at.year]
    afternoon = (at.hour - 8) * {"dry": 0.3, "engine": 0.4, "bilge": 0.1, "exposed": 0.6}[span.place]
    return round(min(31.0, max(12.0, base + year + afternoon + chance.gauss(0, 0.6))), 1)


def true_ampere(span: Watched, chance: Random) -> float:
    """The true test current: near 100 A, less through the small conductor and the shore plug."""
    if span.tag == "SP1/joint":
        return chance.uniform(28, 31)
    small = span.tag[:3] in {cable.tag for cable in CABLES if cable.make is SMALL}
    return chance.uniform(80, 90) if small else chance.uniform(92, 118)


def service_log() -> dict[str, bytes]:
    """The one joint that was taken apart."""
    headings = "build span serviced_at action operator torque_newton_metre note"
    note = "green film under the lug; brightened, greased, re-torqued"
    row = (BUILD, SERVICED, f"{SERVICED_AT:%Y-%m-%d %H:%M}", "cleaned", "yard electrician", "27", note)
    return {"13_services.csv": bench_sheet(headings, [row])}


def main(folder: str) -> None:
    """Write every log into the folder."""
    Path(folder).mkdir(parents=True, exist_ok=True)
    for name, content in make_logs().items():
        Path(folder, name).write_bytes(content)


if __name__ == "__main__":
    main(*sys.argv[1:])
