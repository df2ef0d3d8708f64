"""When to go aboard next, what is read then, and what to bring."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from lugbook.assessment.visiting import visit_days
from lugbook.jobs.assessing import Standing, judge_book
from lugbook.jobs.directory import Directory, Row
from lugbook.jobs.meters import LAPSED, Meters
from lugbook.jobs.rounds import list_rounds, open_rounds
from lugbook.records.questions import JUDGED, judged_readings
from lugbook.records.store import Book
from lugbook.records.tables import Build, Instrument, Landing, Lug, Recipe, Span, Terminal

if TYPE_CHECKING:
    from lugbook.assessment.judging import SpanVerdict

MAY_BE_REMADE = ("over limit", "stepped", "creeping")
"""Verdicts for which a spare lug is worth bringing."""


@dataclass(frozen=True)
class DueSpan:
    """One span of a visit."""

    span: str
    verdict: str
    next_test: date
    reason: str
    joining: str
    """Soldered or clamped; '' where the joint is crimped, or nothing is known of it."""

    @property
    def said(self) -> str:
        """Its tag, and how it is joined where it is not crimped: "C90A/crimp (soldered)"."""
        return f"{self.span} ({self.joining})" if self.joining else self.span


@dataclass(frozen=True)
class Lugs:
    """Spare lugs for terminals that may have to be remade."""

    recipe: str
    lug: str
    count: int


@dataclass(frozen=True)
class Torque:
    """What a landing was tightened to."""

    landing: str
    torque_newton_metre: float


@dataclass(frozen=True)
class Bring:
    """What to bring on a visit."""

    meters: tuple[str, ...]
    """With what is to be said of their calibration."""
    check_standards: tuple[str, ...]
    torques: tuple[Torque, ...]
    """As applied, of the landings to be read."""
    lugs: tuple[Lugs, ...]


@dataclass(frozen=True)
class Visit:
    """One time aboard."""

    build: str
    number: int
    """One more than the rounds held before it."""
    purpose: str
    """What it is for: the first entry of the span due first, and how often that was read before."""
    day: date
    spans: tuple[DueSpan, ...]
    """The first due first."""
    bring: Bring


def plan_visits(
    book: Book,
    on: date,
    *,
    by: date | None = None,
    build: str | None = None,
    accepted_risk: float | None = None,
    with_open_rounds: bool = True,
) -> tuple[Visit, ...]:
    """The visits to come, the soonest first; only those until a day, where one is given. Raises NothingCalled.

    accepted_risk and with_open_rounds: as of `judge_book`.
    """
    standings = judge_book(
        book, on, build=build, accepted_risk=accepted_risk, with_open_rounds=with_open_rounds
    )
    if not standings:
        return ()
    held = _rounds_held(book)
    visits = []
    with book.reading() as connection:
        directory = Directory(connection)
        newest = _newest_readings(connection, directory)
        times_read = _times_read(connection, directory, with_open_rounds=with_open_rounds)
        for standing in standings:
            verdicts = [v for v in standing.judgement.verdicts if v.next_test is not None]
            days = visit_days([v.next_test for v in verdicts if v.next_test is not None], on)
            for number, day in enumerate(sorted(set(days)), start=1 + held.get(standing.build, 0)):
                mine = [v for v, its_day in zip(verdicts, days, strict=True) if its_day == day]
                if by is None or day <= by:
                    visits.append(_visit(directory, newest, times_read, standing, number, day, mine))
    return tuple(sorted(visits, key=lambda visit: (visit.day, visit.build)))


def first_entries_of_builds(directory: Directory, build: str | None) -> dict[str, int]:
    """The first entry of each build, or of the one named: the same whatever was put right since.

    Raises NothingCalled.
    """
    rows = [directory.named_build(build)] if build else list(directory.rows(Build).values())
    return {row["name"]: _first_entry(directory, row) for row in rows}


def _rounds_held(book: Book) -> dict[str, int]:
    """Rounds of each build that have readings and are not open."""
    return Counter(facts.build for facts, count, _ in list_rounds(book) if count and facts.state != "open")


def _visit(
    directory: Directory,
    newest: Mapping[int, Row],
    times_read: Mapping[int, int],
    standing: Standing,
    number: int,
    day: date,
    verdicts: Sequence[SpanVerdict],
) -> Visit:
    row = directory.named_build(standing.build)
    spans = [
        DueSpan(v.span, v.verdict, v.next_test, v.next_test_reason, standing.not_crimped.get(v.span, ""))
        for v in verdicts if v.next_test
    ]  # fmt: skip
    spans.sort(key=lambda one: (one.next_test, one.span))
    foremost = directory.need(Span, "span", spans[0].span, row["id"])
    purpose = f"{_first_entry(directory, foremost)} {times_read.get(foremost['id'], 0)}"
    bring = _bring(directory, newest.get(row["id"]), row, day, verdicts)
    return Visit(standing.build, number, purpose, day, tuple(spans), bring)


def _first_entry(directory: Directory, row: Row) -> int:
    """The entry that a row began as, before it was ever put right."""
    return int(min([row["id"], *(old for old, new in directory.history.heirs.items() if new == row["id"])]))


def _times_read(connection: Connection, directory: Directory, *, with_open_rounds: bool) -> dict[int, int]:
    """How many readings each span has."""
    left_out = set() if with_open_rounds else {one.identity for one in open_rounds(directory)}
    span_id, round_id = JUDGED.index("span_id"), JUDGED.index("round_id")
    current = directory.history.current
    return Counter(
        current(values[span_id])
        for values in judged_readings(connection)
        if current(values[round_id]) not in left_out
    )


def _bring(
    directory: Directory, newest: Row | None, build: Row, day: date, verdicts: Sequence[SpanVerdict]
) -> Bring:
    every = {
        row["tag"]: row
        for row in directory.rows(Span).values()
        if directory.build_of(Span, row) == build["id"]
    }
    rows = [every[verdict.span] for verdict in verdicts]
    landings = {
        row["landing_id"]: directory.row(Landing, row["landing_id"]) for row in rows if row["landing_id"]
    }
    torques = [
        Torque(one["tag"], one["torque_newton_metre"])
        for one in landings.values()
        if one["torque_newton_metre"] is not None
    ]
    weak = [every[verdict.span] for verdict in verdicts if verdict.verdict in MAY_BE_REMADE]
    return Bring(
        _meters(directory, newest, day),
        tuple(tag for tag, row in every.items() if row["kind"] == "check standard"),
        tuple(sorted(torques, key=lambda one: one.landing)),
        _lugs(directory, weak),
    )


def _newest_readings(connection: Connection, directory: Directory) -> dict[int, Row]:
    """The newest reading of each build."""
    newest: dict[int, Row] = {}
    for values in judged_readings(connection):
        row = dict(zip(JUDGED, values, strict=True))
        build_id = directory.build_of(Span, directory.row(Span, row["span_id"]))
        if build_id not in newest or newest[build_id]["taken_at"] <= row["taken_at"]:
            newest[build_id] = row
    return newest


def _meters(directory: Directory, newest: Row | None, day: date) -> tuple[str, ...]:
    """The meters of the build's newest reading, with the day on which a calibration lapses before the visit."""
    if newest is None:
        return ()
    meters = Meters(directory)
    words = []
    for column in ("voltage_instrument_id", "current_instrument_id", "thermometer_id"):
        if newest[column] is None:
            continue
        state, due = meters.calibration(newest[column], day.isoformat())
        name = directory.name(Instrument, newest[column])
        words.append(f"{name} (calibration due {due})" if state == LAPSED else name)
    return tuple(words)


def _lugs(directory: Directory, spans: Sequence[Row]) -> tuple[Lugs, ...]:
    """One for each end that may have to be remade, by the recipe of the terminal that is on it."""
    ends = {
        directory.history.current(row["cable_end_id"]) for row in spans if row["cable_end_id"] is not None
    }
    newest: dict[int, Row] = {}
    for row in directory.rows(Terminal).values():
        end = directory.history.current(row["cable_end_id"])
        if end in ends and (end not in newest or newest[end]["made_at"] <= row["made_at"]):
            newest[end] = row
    counted = Counter(directory.history.current(row["recipe_id"]) for row in newest.values())
    found = []
    for recipe_id, count in counted.items():
        recipe = directory.row(Recipe, recipe_id)
        found.append(Lugs(recipe["name"], directory.name(Lug, recipe["lug_id"]), count))
    return tuple(sorted(found, key=lambda one: one.recipe))
