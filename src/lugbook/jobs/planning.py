"""What to measure with before anyone crawls: current, way and repeats for one span; seasons until a creep shows."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from lugbook.errors import NothingCalled, NothingToPlanWith, SayMore, UnknownSpan
from lugbook.jobs.cables import length_between_millimetre
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.evidence import gather_evidence
from lugbook.jobs.meters import Meters, usual_meter
from lugbook.jobs.readings_in import CURRENT_KINDS, VOLTAGE_KINDS
from lugbook.records.questions import last_row
from lugbook.records.store import Book
from lugbook.records.tables import Build, Instrument, Reading, Span
from lugbook.units.fields import CURRENT_AMPERE, LIMIT_MICROOHM
from lugbook.units.parsing import read_measured

if TYPE_CHECKING:
    from lugbook.assessment.evidence import BuildEvidence
    from lugbook.assessment.findings import Findings
    from lugbook.assessment.planning import Setup
    from lugbook.inference.series import Floats
    from lugbook.physics.instruments import Meter


SEASONS = 10
ENOUGH_SPANS = 30
"""More spans than these know a round's shift no better than matters: 1/30 of the variance of one reading."""


@dataclass(frozen=True)
class Need:
    """A way of reading, and the current it takes for the change to show."""

    way: str
    repeats: int
    readings: int  # how often the probes are set
    ampere: float | None  # None: not with this ammeter


@dataclass(frozen=True)
class Sight:
    """What change shows at a current, read in a certain way."""

    ampere: float
    way: str
    repeats: int
    visible_percent: float


@dataclass(frozen=True)
class ReadingPlan:
    """How to read one span."""

    span: str
    expected_microohm: float
    expected_from: str  # "its last reading", "the cable between its probes", "what was said"
    voltmeter: str
    ammeter: str
    others: int  # other spans read in its last round
    change_percent: float
    most_ampere: float
    needs: tuple[Need, ...]
    sights: tuple[Sight, ...]  # at the current asked for, or at that of the last reading
    foremost: str  # what limits it most, in words
    resolution_millivolt: (
        float | None
    )  # last digit with which the change would show at that current, if finer than now


@dataclass(frozen=True)
class SeasonPlan:
    """Chance that a span which creeps from now on has been called creeping by each season."""

    build: str
    spans: int
    own_percent: float  # own noise of a reading, as the book's readings scatter
    gain_percent: float  # what the readings of a round share
    digits_percent: float  # what the last digits of the ammeter may be of the middle current of a round
    bad_percent: float  # readings that are bad, as the book's readings show it
    simulated_builds: int  # for each rate
    years_between: float
    rates_percent: tuple[float, ...]
    chances: tuple[tuple[float, ...], ...]  # per rate, per season 1, 2, ...


def plan_reading(
    book: Book, on: date, tag: str, *, change_percent: float, at: str | None = None,
    expected: str | None = None, most: str | None = None, voltmeter: str | None = None,
    ammeter: str | None = None, build: str | None = None,
) -> ReadingPlan:  # fmt: skip
    """How to read a span so that a change shows, and what shows at one current (`at`, as typed: "100 A").

    `expected` and `most`, as typed: what the span should read, and the most that can be drawn through it.

    Meters, where not named, are those of the book's last reading, or the only ones. Raises UnknownSpan, NothingCalled,
    SayMore, and the refusals of numbers.
    """
    with book.reading() as connection:
        directory = Directory(connection)
        build_id = directory.named_build(build)["id"] if build else None
        try:
            span = directory.need(Span, "span", tag, build_id)
        except Mismatch as wrong:
            raise UnknownSpan(tag, wrong.expected) from wrong
        last = last_row(connection, Reading)
        volt = _instrument(directory, voltmeter, VOLTAGE_KINDS, "--voltmeter", last, "voltage_instrument_id")
        ampere = _instrument(directory, ammeter, CURRENT_KINDS, "--ammeter", last, "current_instrument_id")
        (evidence,) = gather_evidence(connection, on, directory.name(Build, span["build_id"]))
        length = length_between_millimetre(directory, span)
        meters = Meters(directory)
        pair = meters.meter(volt["id"]), meters.meter(ampere["id"])
    names = str(volt["name"]), str(ampere["name"])
    return _reading_plan(evidence, tag, pair, names, length, change_percent, at, expected, most)


def _reading_plan(
    evidence: BuildEvidence, tag: str, pair: tuple[Meter, Meter], names: tuple[str, str], length: float | None,
    change_percent: float, at: str | None, expected: str | None, most: str | None,
) -> ReadingPlan:  # fmt: skip
    from lugbook.assessment.findings import examine
    from lugbook.assessment.lug import placement_sd
    from lugbook.assessment.planning import (
        BOTH_WAYS,
        MOST_AMPERE,
        REPEATS,
        WAYS,
        Setup,
        Way,
        foremost_part,
        needed_ampere,
        needed_resolution_millivolt,
        visible_change,
    )

    found = examine(evidence)
    place = [span.tag for span in evidence.spans].index(tag)
    cable = evidence.spans[place].cable
    microohm, whence = _expected(found, place, cable.microohm_per_millimetre * length if cable and length else None,
                                 expected)  # fmt: skip
    scale = max(1.0, found.creep.own_scale) if found else 1.0
    most_ampere = float(read_measured(most, CURRENT_AMPERE).value) if most else MOST_AMPERE
    setup = Setup(
        microohm, pair[0], pair[1], _others(found, place), placement_sd(cable), scale, most_ampere=most_ampere
    )
    needs = tuple(
        Need(
            way,
            repeats,
            Way(1, way, repeats).readings,
            needed_ampere(setup, change_percent / 100, way, repeats),
        )
        for way in WAYS
        for repeats in REPEATS
    )
    asked = float(read_measured(at, CURRENT_AMPERE).value) if at else _last_ampere(evidence, place, setup)
    sights = tuple(
        Sight(asked, way, repeats, 100 * visible_change(setup, Way(asked, way, repeats)))
        for way in WAYS
        for repeats in REPEATS
    )
    best = Way(asked, BOTH_WAYS, 1)
    digit = needed_resolution_millivolt(setup, change_percent / 100, best)
    now = pair[0].accuracy_at(microohm * asked / 1000).resolution
    return ReadingPlan(
        tag, microohm, whence, names[0], names[1], setup.others, change_percent, most_ampere, needs, sights,
        foremost_part(setup, best),
        digit if digit is not None and digit < now else None,
    )  # fmt: skip


def _expected(
    found: Findings | None, place: int, cable_microohm: float | None, said: str | None
) -> tuple[float, str]:
    if said:
        return float(read_measured(said, LIMIT_MICROOHM).value), "what was said"
    if found is not None and found.count[place]:
        return float(
            found.layout.microohm_20c[found.row[place], found.last_column[place]]
        ), "its last reading"
    if cable_microohm is not None:
        return cable_microohm, "the cable between its probes"
    raise SayMore("--expect", 'what the span should read, like "40 microohm"; it has not been read yet')


def _others(found: Findings | None, place: int) -> int:
    """Spans read in the span's last round beside it; in the build's last where it was not read yet."""
    if found is None:
        return 0
    column = found.last_column[place] if found.count[place] else len(found.read_count) - 1
    return max(0, int(found.read_count[column]) - 1)


def _last_ampere(evidence: BuildEvidence, place: int, setup: Setup) -> float:
    """The current of the span's last reading, rounded; 100 A, or what the ammeter can show of it, without one."""
    readings = evidence.readings
    mine = (readings.span == place).nonzero()[0]
    if len(mine) == 0:
        return min(100.0, setup.ammeter.greatest)
    return float(f"{readings.current_ampere[mine[readings.day[mine].argmax()]]:.2g}")


def _instrument(
    directory: Directory, name: str | None, kinds: tuple[str, ...], option: str, last: Row | None, column: str
) -> Row:
    if name is not None:
        known = [row for row in directory.rows(Instrument).values() if row["kind"] in kinds]
        row = next((row for row in known if row["name"] == name), None)
        if row is None:
            raise NothingCalled(" or ".join(kinds), name, "instrument", [row["name"] for row in known])
        return row
    return usual_meter(directory, last, column, kinds, option)


def plan_season(
    book: Book, on: date, *, rates_percent: tuple[float, ...], years_between: float = 1.0, build: str | None = None
) -> tuple[SeasonPlan, ...]:  # fmt: skip
    """How many seasons until a creep is noticed, with each build's own noise and spans.

    Raises NothingCalled; NothingToPlanWith where no build has been read in two rounds.
    """
    with book.reading() as connection:
        gathered = gather_evidence(connection, on, build)
    from lugbook.assessment.findings import examine

    plans = []
    for evidence in gathered:
        found = examine(evidence)
        if found is not None and len(found.layout.day) > 1:
            plans.append(_season_plan(evidence.build, found, rates_percent, years_between))
    if not plans:
        raise NothingToPlanWith
    return tuple(plans)


def _season_plan(
    build: str, found: Findings, rates_percent: tuple[float, ...], years_between: float
) -> SeasonPlan:
    import numpy as np

    from lugbook.inference.power import BUILDS, seasons_until_noticed
    from lugbook.inference.scatter import BAD_SHARE_PRIOR, BAD_SHARE_READINGS

    column = int(np.flatnonzero(found.read_count == found.read_count.max())[-1])
    own = found.layout.own_sd[:, column]
    own_sd = float(np.nanmedian(own)) * found.creep.own_scale
    gain, spans = float(found.layout.gain_sd[column]), int(found.read_count[column])
    bad = found.creep.bad_reading_probability
    bad_share = float(
        (np.nansum(bad) + BAD_SHARE_PRIOR * BAD_SHARE_READINGS) / (np.sum(~np.isnan(bad)) + BAD_SHARE_READINGS)
    )

    def chances(rate: float) -> Floats:
        log_rate, enough = float(np.log1p(rate / 100)), min(spans, ENOUGH_SPANS)
        return seasons_until_noticed(
            log_rate, own_sd, gain, enough, bad_share=bad_share, years_between=years_between, seasons=SEASONS
        )

    return SeasonPlan(
        build, spans, 100 * own_sd, 100 * gain, _digits_percent(found), 100 * bad_share, BUILDS, years_between,
        rates_percent,
        tuple(tuple(chances(rate).tolist()) for rate in rates_percent),
    )  # fmt: skip


def _digits_percent(found: Findings) -> float:
    """Bounds, sqrt(3) standard uncertainties (GUM 4.3.7), of the currents of the build's readings: the middle one."""
    import numpy as np

    readings = found.evidence.readings
    return 100 * float(np.median(np.sqrt(3) * readings.current_own_ampere / readings.current_ampere))
