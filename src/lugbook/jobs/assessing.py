"""What the book says of every span today: verdicts, and the story of one span."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from lugbook.errors import SayMore, UnknownSpan
from lugbook.jobs.directory import Directory, Mismatch
from lugbook.jobs.evidence import end_of, gather_evidence
from lugbook.jobs.joinings import not_crimped, tags_not_crimped
from lugbook.records.questions import instruments, readings_of_spans
from lugbook.records.store import Book
from lugbook.records.tables_build import Build, Span
from lugbook.records.tables_measuring import Round

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lugbook.assessment.evidence import BuildEvidence
    from lugbook.assessment.judging import BuildJudgement, SpanVerdict
    from lugbook.assessment.lug import LugShare
    from lugbook.assessment.round_story import RoundStory
    from lugbook.assessment.story import SpanStory


@dataclass(frozen=True)
class Standing:
    """Where one build stands."""

    build: str
    judgement: BuildJudgement
    not_crimped: Mapping[str, str]
    """Spans whose joint is soldered or clamped, and which of the two."""


@dataclass(frozen=True)
class SpanReading:
    """One reading of a span, as seen and as it weighs."""

    identity: int
    round: str
    taken_at: str
    drop_millivolt: float
    current_ampere: float
    joint_celsius: float | None
    polarity: str
    stage: str | None
    voltage_instrument: str
    current_instrument: str
    operator: str
    confirmed: bool
    note: str | None
    microohm_20c: float
    u_microohm: float
    series: int
    """0 as made, one more after each service."""


@dataclass(frozen=True)
class SpanView:
    """One span: what it is, its verdict, every reading in force by time."""

    build: str
    zone: str
    verdict: SpanVerdict
    readings: tuple[SpanReading, ...]
    joining: str
    """Soldered or clamped; '' where the joint is crimped, or nothing is known of it."""
    lug_share: LugShare | None
    """What the lug adds to its cable, by the latest reading; None where that cannot be told."""
    has_cable: bool
    """There is cable between the probes, and what a millimetre of it adds is known."""


def judge_book(
    book: Book,
    on: date,
    *,
    build: str | None = None,
    accepted_risk: float | None = None,
    with_open_rounds: bool = True,
) -> tuple[Standing, ...]:
    """The verdict on every span of the book, or of one build. Raises NothingCalled.

    accepted_risk: that a span is over its limit at a test, in fifty years of it; that of the policy, if None.
    with_open_rounds: the readings of rounds that are still open count too.
    """
    with book.reading() as connection:
        gathered = gather_evidence(connection, on, build)
        if not with_open_rounds:
            gathered = _before_open_rounds(connection, gathered)
        other = {evidence.build: tags_not_crimped(connection, evidence.build) for evidence in gathered}
    if not gathered:
        return ()
    from lugbook.assessment.judging import judge_build
    from lugbook.assessment.standing import Policy

    policy = Policy() if accepted_risk is None else Policy().accepting(accepted_risk)
    return tuple(
        Standing(evidence.build, judge_build(on, evidence, policy), other[evidence.build])
        for evidence in gathered
    )


def _before_open_rounds(connection: Connection, gathered: Sequence[BuildEvidence]) -> list[BuildEvidence]:
    """The same builds without the readings of the round that is open on each."""
    from lugbook.assessment.expecting import before_round
    from lugbook.jobs.rounds import open_rounds

    opened = {one.build: one.name for one in open_rounds(Directory(connection))}
    return [
        before_round(evidence, opened[evidence.build]) if evidence.build in opened else evidence
        for evidence in gathered
    ]


def view_span(book: Book, on: date, tag: str, *, build: str | None = None) -> SpanView:
    """One span with its verdict and readings. Raises UnknownSpan."""
    from lugbook.assessment.judging import judge_build
    from lugbook.assessment.lug import lug_share
    from lugbook.assessment.weighing import weigh_readings
    from lugbook.records.tables_parts import Operator  # status, which loads this file, does without

    with book.reading() as connection:
        directory = Directory(connection)
        span = _span(directory, tag, build)
        build_row = directory.row(Build, span["build_id"])
        (evidence,) = gather_evidence(connection, on, build_row["name"])
        same = [span["id"], *(old for old, new in directory.history.heirs.items() if new == span["id"])]
        rows = [row for row in readings_of_spans(connection, same) if row["taken_at"] <= end_of(on)]
        names = {identity: str(row["name"]) for identity, row in instruments(connection).items()}
        rounds = {row["round_id"]: directory.name(Round, row["round_id"]) for row in rows}
        operators = {row["operator_id"]: directory.name(Operator, row["operator_id"]) for row in rows}
        joining = not_crimped(directory).get(span["id"], "")
    place = _place(evidence, tag)
    verdict = judge_build(on, evidence).verdicts[place]
    worth = weigh_readings(evidence.readings)
    mine = [index for index, at in enumerate(evidence.readings.span) if at == place]
    by_id = sorted(rows, key=lambda row: row["id"])  # the order of the evidence
    weighed = {
        row["id"]: (
            float(worth.microohm_20c[index]), float(worth.u_microohm[index]), int(evidence.readings.series[index])
        )
        for row, index in zip(by_id, mine, strict=True)
    }  # fmt: skip
    readings = tuple(
        SpanReading(
            row["id"], rounds[row["round_id"]], row["taken_at"], row["drop_millivolt"], row["current_ampere"],
            row["joint_celsius"], row["polarity"], row["stage"], names[row["voltage_instrument_id"]],
            names[row["current_instrument_id"]], operators[row["operator_id"]], bool(row["confirmed"]),
            row["note"], *weighed[row["id"]],
        )
        for row in rows
    )  # fmt: skip
    cable = evidence.spans[place].cable
    latest, u_latest = verdict.microohm_20c, verdict.u_microohm
    known = cable is not None and latest is not None and u_latest is not None
    share = lug_share(latest, u_latest, cable) if known else None  # type: ignore[arg-type]  # known says so
    return SpanView(
        build_row["name"], build_row["zone"], verdict, readings, joining, share, cable is not None
    )


def tell_span(book: Book, on: date, tag: str, *, build: str | None = None) -> SpanStory:
    """The life of one span as finished arrays for a picture. Raises UnknownSpan."""
    from lugbook.assessment.story import tell_story

    with book.reading() as connection:
        directory = Directory(connection)
        span = _span(directory, tag, build)
        (evidence,) = gather_evidence(connection, on, directory.name(Build, span["build_id"]))
    return tell_story(on, evidence, tag)


def tell_build_rounds(
    book: Book, on: date, *, build: str | None = None
) -> tuple[str, tuple[RoundStory, ...]]:
    """The build and what its rounds did. Raises NothingCalled; SayMore where there are several and none is named."""
    from lugbook.assessment.round_story import tell_rounds

    with book.reading() as connection:
        gathered = gather_evidence(connection, on, build)
    if len(gathered) != 1:
        raise SayMore(
            "--build", "which build: " + (", ".join(one.build for one in gathered) or "none has spans")
        )
    return gathered[0].build, tell_rounds(gathered[0])


def needs_a_person(standings: Sequence[Standing]) -> bool:
    """Whether any span is creeping, stepped or over its limit."""
    serious = {"creeping", "stepped", "over limit"}
    return any(v.verdict in serious for standing in standings for v in standing.judgement.verdicts)


def _span(directory: Directory, tag: str, build: str | None):  # type: ignore[no-untyped-def]
    build_id = directory.named_build(build)["id"] if build else None
    try:
        return directory.need(Span, "span", tag, build_id)
    except Mismatch as wrong:
        raise UnknownSpan(tag, wrong.expected) from wrong


def _place(evidence: BuildEvidence, tag: str) -> int:
    return next(place for place, span in enumerate(evidence.spans) if span.tag == tag)
