"""Whether what was read at the stops of a round is as it should be, and whether two were swapped."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection

from lugbook.jobs.directory import Directory
from lugbook.jobs.reading_doubts import doubted_rows
from lugbook.jobs.round_stops import Stop
from lugbook.jobs.round_words import UNREAD_CELSIUS
from lugbook.physics.joints import microohm_at_20_celsius
from lugbook.records.questions import JUDGED, judged_readings


@dataclass(frozen=True)
class Taken:
    """What one reading comes to."""

    microohm: float
    """As read."""
    microohm_20c: float


def taken(drop_millivolt: float, ampere: float, celsius: float | None) -> Taken:
    """Resistance of a drop at a current, as read and at 20 degC."""
    microohm = 1000 * abs(drop_millivolt) / ampere
    warm = UNREAD_CELSIUS if celsius is None else celsius
    return Taken(microohm, float(microohm_at_20_celsius(microohm, warm)))


def is_expected(stop: Stop, microohm_20c: float) -> bool:
    """Whether a reading lies where its own history puts it; a span without history takes anything."""
    return stop.expected is None or stop.expected.holds(microohm_20c)


def doubts_of(
    connection: Connection, directory: Directory, readings: Mapping[int, Mapping[int, float]]
) -> dict[int, str]:
    """By row: why a resistance is not believable, as `reading add` would say it.

    `readings`: microohm as read, by span and row.
    """
    known: dict[int, list[float]] = {}
    span, drop, ampere = (JUDGED.index(name) for name in ("span_id", "drop_millivolt", "current_ampere"))
    for row in judged_readings(connection):  # the fast way: asked after every line that is typed
        span_id = directory.history.current(row[span])
        known.setdefault(span_id, []).append(1000 * abs(row[drop]) / row[ampere])
    rows = 1 + max((row for one in readings.values() for row in one), default=0)
    return doubted_rows(directory, readings, known, [0] * rows)


def swapped_pairs(odd: Sequence[tuple[Stop, float]]) -> list[tuple[Stop, Stop]]:
    """Pairs of stops that both read wrong [microohm at 20 degC] and would both be right the other way round."""
    return [
        (one, other)
        for place, (one, one_microohm) in enumerate(odd)
        for other, other_microohm in odd[place + 1 :]
        if one.span_id != other.span_id and _fits(one, other_microohm) and _fits(other, one_microohm)
    ]


def _fits(stop: Stop, microohm_20c: float) -> bool:
    return stop.expected is not None and stop.expected.holds(microohm_20c)
