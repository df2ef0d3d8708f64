"""What a reading typed by hand takes over where it does not say: its time, its round and its meters."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from itertools import chain, count

from lugbook.errors import Refusal, TakenAfterClosing
from lugbook.jobs.desk import Desk
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.meters import usual_meter
from lugbook.jobs.readings_in import CURRENT_KINDS, VOLTAGE_KINDS, zones_of_lines
from lugbook.jobs.rounds import RoundFacts, facts_of_round, local_day, open_rounds, utc_text
from lugbook.records.questions import last_row
from lugbook.records.tables import Reading, Round, RoundClosing, Span
from lugbook.units.instants import read_instant, read_zone

SAME_ROUND = timedelta(days=3)
"""A reading this soon after the last one, or after the opening of a round, belongs to the same round unless another is
named."""


def with_defaults(desk: Desk, cells: Mapping[str, str], now: datetime) -> dict[str, str]:
    """The cells of a reading with time, round and instruments filled in: from the round that is open, where the
    reading is of now or of the days after its opening, else from the last reading.

    Raises TakenAfterClosing.
    """
    directory = desk.directory
    last = last_row(desk.logbook.connection, Reading)
    whole = {"taken_at": utc_text(now), **cells}
    if "round" in whole:
        refuse_after_closing(directory, whole)
    opened = None if "round" in whole else _open_round_of(directory, cells)
    if opened is not None and ("taken_at" not in cells or _is_of(opened, cells["taken_at"])):
        whole = {**_as_opened(opened, with_temperature="joint_celsius" in cells), **whole}
    elif "round" not in whole:
        whole["round"] = _round_of(directory, whole, last)
    for column, kinds, option in (
        ("voltage_instrument", VOLTAGE_KINDS, "--voltmeter"),
        ("current_instrument", CURRENT_KINDS, "--ammeter"),
    ):
        if column not in whole:
            whole[column] = usual_meter(directory, last, f"{column}_id", kinds, option)["name"]
    return whole


def _open_round_of(directory: Directory, cells: Mapping[str, str]) -> RoundFacts | None:
    """The open round of the build of a span; None where there is none, or no such span."""
    build_id = _build_of(directory, cells)
    return None if build_id is None else next(iter(open_rounds(directory, build_id)), None)


def _build_of(directory: Directory, cells: Mapping[str, str]) -> int | None:
    """The build of a span; None where there is no such span, for which the line will be refused."""
    try:
        build_id = directory.build(cells["build"])["id"] if "build" in cells else None
        return directory.build_of(Span, directory.need(Span, "span", cells["span"], build_id))
    except Mismatch:
        return None


def _is_of(opened: RoundFacts, typed: str) -> bool:
    """Whether a time as typed is of the day on which a round was opened, or soon after its opening."""
    taken_at = _moment(typed, opened.zone)
    assert opened.opened_at is not None
    if taken_at is None:
        return False  # the line will be refused for its time
    since = taken_at - datetime.fromisoformat(opened.opened_at)
    return timedelta(0) <= since < SAME_ROUND or local_day(utc_text(taken_at), opened.zone) == opened.opened_on()


def refuse_after_closing(directory: Directory, cells: Mapping[str, str]) -> None:
    """Raises TakenAfterClosing for a reading of a closed round that was taken on a day after its closing."""
    build_id = _build_of(directory, cells)
    row = None if build_id is None else directory.round_named(build_id, cells["round"])
    facts = None if row is None else facts_of_round(directory, row)
    if facts is None or facts.closed_at is None:
        return
    taken_at = _moment(cells["taken_at"], facts.zone)
    closed = local_day(facts.closed_at, facts.zone)
    if taken_at is not None and (taken := local_day(utc_text(taken_at), facts.zone)) > closed:
        raise TakenAfterClosing(facts.name, closed.isoformat(), taken.isoformat())


def _moment(typed: str, zone: str) -> datetime | None:
    """The instant that a time as typed means; None where it cannot be read."""
    try:
        return datetime.fromisoformat(read_instant(typed.strip(), zone).utc_text)
    except Refusal:
        return None


def _as_opened(opened: RoundFacts, *, with_temperature: bool) -> dict[str, str]:
    """What was said when a round was opened, as cells of a reading."""
    thermometer = ("thermometer",) if with_temperature else ()
    names = ("voltage_instrument", "current_instrument", "operator", *thermometer)
    said = {name: getattr(opened, name) for name in names}
    return {"round": opened.name, **{name: text for name, text in said.items() if text}}


def _round_of(directory: Directory, cells: Mapping[str, str], last: Row | None) -> str:
    """The round of the last reading where this one was taken within days of it, else its own local day; not one that
    is closed."""
    builds = [cells["build"]] if "build" in cells else None
    (zone,) = zones_of_lines(directory, [cells["span"]], builds)
    taken_at = _moment(cells["taken_at"], zone)
    if taken_at is None:
        return "?"  # the line will be refused for its time
    if (
        last is not None
        and abs(taken_at - datetime.fromisoformat(last["taken_at"])) < SAME_ROUND
        and facts_of_round(directory, directory.row(Round, last["round_id"])).closed_at is None
    ):
        return directory.name(Round, last["round_id"])
    return _not_closed(directory, taken_at.astimezone(read_zone(zone)).date().isoformat())


def _not_closed(directory: Directory, day: str) -> str:
    """The name of a round of that day: "2031-04-18", or "2031-04-18 (2)" where the one so called is closed."""
    closed = {directory.name(Round, row["round_id"]) for row in directory.rows(RoundClosing).values()}
    return next(name for name in chain([day], (f"{day} ({n})" for n in count(2))) if name not in closed)
