"""Where a round stops: its spans in walking order, what each last read, what it should read, what it has read."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from lugbook.assessment.walking import walking_order
from lugbook.jobs.directory import Directory, Row
from lugbook.jobs.evidence import gather_evidence
from lugbook.jobs.rounds import RoundFacts
from lugbook.records.questions import rows_in_force
from lugbook.records.tables import CableEnd, Landing, Reading, RoundSkip, Span

if TYPE_CHECKING:
    from lugbook.assessment.expecting import Expected

CHECK_STANDARD = "check standard"


@dataclass(frozen=True)
class Seen:
    """One reading as it was seen."""

    identity: int
    taken_at: str
    drop_millivolt: float
    current_ampere: float
    joint_celsius: float | None
    polarity: str
    repeat: int
    stage: str | None = None

    @property
    def moment(self) -> tuple[str, int]:
        """Sorts by time, and by the order of the book where a clock stood still."""
        return self.taken_at, self.identity


@dataclass(frozen=True)
class Stop:
    """One place where the round stops; a check standard is stopped at twice, first and last."""

    number: int
    """From 1, in walking order."""
    span_id: int
    span: str
    kind: str
    place: str
    where: str
    """Landing and the owner's word for the end's place; '' where the book knows neither."""
    last: Seen | None
    """The newest reading outside this round; of its round as left and forward where there is such a one."""
    expected: Expected | None
    readings: tuple[Seen, ...]
    """In this round, by time; of a check standard those of this stop."""
    skipped: str | None
    """The reason."""
    again: bool = False
    """The second stop at a check standard, after everything else."""
    put_off: bool = False
    """The first stop at a check standard, now that another span was read before it."""

    @property
    def is_done(self) -> bool:
        """Read, or skipped with a reason."""
        return bool(self.readings) or self.skipped is not None

    @property
    def is_check(self) -> bool:
        """Whether it should not change."""
        return self.kind == CHECK_STANDARD


def stops_of(
    connection: Connection, directory: Directory, facts: RoundFacts, now: datetime
) -> tuple[Stop, ...]:
    """The stops of a round of a build, in walking order, check standards first and again last.

    A check standard with which the round did not begin is put off: it is stopped at after the others, and again last.
    """
    spans = [row for row in directory.rows(Span).values() if directory.build_of(Span, row) == facts.build_id]
    if not spans:
        return ()
    before, taken = _readings(connection, directory, facts)
    walked = _walked(before, {row["id"] for row in spans})
    order = walking_order([row["place"] for row in spans], [walked.get(row["id"]) for row in spans])
    expected = _expected(connection, facts, now)
    skips = _skips(connection, directory, facts.identity)
    checks = [spans[place] for place in order if spans[place]["kind"] == CHECK_STANDARD]
    others = [spans[place] for place in order if spans[place]["kind"] != CHECK_STANDARD]
    between = [seen.moment for row in others for seen in taken.get(row["id"], ())]
    first, put_off, again = [], [], []
    for row in checks:
        mine = taken.get(row["id"], [])
        begun = [seen for seen in mine if not between or seen.moment < min(between)]
        ended = [seen for seen in mine if between and seen.moment > max(between)]
        if between and not begun:  # of several readings at the end the last one ends the round
            ended = ended[-1:]
            put_off.append((row, [seen for seen in mine if seen not in ended]))
        else:
            first.append((row, begun))
        again.append((row, ended))
    plan = [*first, *((row, taken.get(row["id"], [])) for row in others), *put_off, *again]
    return tuple(
        Stop(
            number, row["id"], row["tag"], row["kind"], row["place"], _where(directory, row),
            _newest(before.get(row["id"], ())), expected.get(row["tag"]), tuple(readings),
            skips.get(row["id"]), again=number > len(plan) - len(again),
            put_off=len(first) + len(others) < number <= len(plan) - len(again),
        )
        for number, (row, readings) in enumerate(plan, start=1)
    )  # fmt: skip


def _readings(
    connection: Connection, directory: Directory, facts: RoundFacts
) -> tuple[dict[int, list[tuple[str, int, Seen]]], dict[int, list[Seen]]]:
    """Readings by span: those of other rounds (time, round, reading), and those of this round."""
    before: dict[int, list[tuple[str, int, Seen]]] = {}
    taken: dict[int, list[Seen]] = {}
    for row in rows_in_force(connection, Reading):
        span_id, round_id = (directory.history.current(row[name]) for name in ("span_id", "round_id"))
        seen = Seen(*(row[name] for name in SEEN))
        if round_id == facts.identity:
            taken.setdefault(span_id, []).append(seen)
        else:
            before.setdefault(span_id, []).append((row["taken_at"], round_id, seen))
    for many in taken.values():
        many.sort(key=lambda seen: seen.moment)
    return before, taken


SEEN = ("id", "taken_at", "drop_millivolt", "current_ampere", "joint_celsius", "polarity", "repeat", "stage")


def _walked(before: dict[int, list[tuple[str, int, Seen]]], spans: set[int]) -> dict[int, str]:
    """When each span was read in the last round of this build that read several."""
    rounds: dict[int, dict[int, str]] = {}
    for span_id in spans:
        for taken_at, round_id, _ in before.get(span_id, ()):
            times = rounds.setdefault(round_id, {})
            times[span_id] = min(times.get(span_id, taken_at), taken_at)
    walks = [times for times in rounds.values() if 2 * len(times) > len(before)]
    return max(walks or rounds.values(), key=lambda times: max(times.values()), default={})


def _newest(before: list[tuple[str, int, Seen]] | tuple[()]) -> Seen | None:
    """The newest reading; of its round one as left rather than as found, and forward rather than reversed."""
    if not before:
        return None
    _, newest_round, _ = max(before, key=lambda one: (one[0], one[2].identity))
    same = [seen for _, round_id, seen in before if round_id == newest_round]
    return max(same, key=lambda seen: (seen.stage != "as found", seen.polarity == "forward", seen.moment))


def _expected(connection: Connection, facts: RoundFacts, now: datetime) -> dict[str, Expected]:
    (evidence,) = gather_evidence(connection, now.date(), facts.build)
    if not len(evidence.readings.day):
        return {}
    from lugbook.assessment.expecting import before_round, expect_readings

    today = now.timestamp() / 86_400
    found = expect_readings(today, before_round(evidence, facts.name))
    return {span.tag: one for span, one in zip(evidence.spans, found, strict=True) if one is not None}


def _skips(connection: Connection, directory: Directory, round_id: int) -> dict[int, str]:
    current = directory.history.current
    rows = [row for row in rows_in_force(connection, RoundSkip) if current(row["round_id"]) == round_id]
    return {current(row["span_id"]): str(row["reason"]) for row in rows}


def _where(directory: Directory, row: Row) -> str:
    end = directory.row(CableEnd, row["cable_end_id"]) if row["cable_end_id"] is not None else None
    landing = directory.name(Landing, row["landing_id"])
    place = str(end["place"] or "") if end else ""
    return ", ".join(dict.fromkeys(word for word in (landing, place) if word and word != row["place"]))
