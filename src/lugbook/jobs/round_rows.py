"""Which row of a filled sheet belongs to which stop of a round."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from lugbook.errors import MoreRowsThanStops, SheetRefused, nearest, quoted
from lugbook.exchange.logs_in import ParsedLog
from lugbook.jobs.round_stops import Stop

CARRIED = ("current_ampere", "joint_celsius")
TYPED = ("drop_millivolt", "current_ampere", "joint_celsius", "taken_at")


@dataclass(frozen=True)
class SheetRow:
    """One row: decimal texts in the units of their names, None where nothing was written."""

    line: int
    stop: int | None
    span: str | None
    drop_millivolt: str | None
    polarity: str
    current_ampere: str | None
    """As above where it was empty; None where nothing was written above either."""
    joint_celsius: str | None
    taken_at: str | None
    skipped: str | None
    confirmed: bool
    note: str | None
    as_typed: Mapping[str, str] = field(default_factory=dict)


def sheet_rows(parsed: ParsedLog) -> list[SheetRow]:
    """The rows of a sheet; current and temperature hold from row to row."""
    rows: list[SheetRow] = []
    carried: dict[str, tuple[str | None, str | None]] = dict.fromkeys(CARRIED, (None, None))
    names = list(parsed.values)
    for place, (line, *cells) in enumerate(zip(parsed.line_numbers, *parsed.values.values(), strict=True)):
        row = dict(zip(names, cells, strict=True))
        typed = {name: text for name, text in parsed.as_typed.get(place, {}).items() if name in TYPED}
        for name in CARRIED:
            if row[name] is not None:
                carried[name] = (str(row[name]), typed.get(name))
            elif carried[name][1] is not None:
                typed[name] = str(carried[name][1])
        drop = row["drop_millivolt"]
        rows.append(
            SheetRow(
                line,
                _whole(row["stop"]),
                _text(row["span"]),
                _text(drop),
                str(row["polarity"] or "forward"),
                carried["current_ampere"][0],
                carried["joint_celsius"][0],
                _text(row["taken_at"]),
                _text(row["skipped"]),
                bool(row["confirmed"]),
                _text(row["note"]),
                typed,
            )
        )
    return rows


def match_rows(
    file_name: str, rows: Sequence[SheetRow], stops: Sequence[Stop], *, by_span: bool
) -> tuple[list[tuple[SheetRow, Stop]], list[str]]:
    """Each row with its stop, and what is to be said of the matching.

    By span, and a check standard by the number of its stop; without one its second row is its second stop. A file
    without spans is matched row for row with the stops left to read.
    Raises MoreRowsThanStops; SheetRefused for rows of no span, and for spans on several rows.
    """
    if not by_span:
        return _by_order(rows, stops)
    known: dict[str, list[Stop]] = {}
    for stop in stops:
        known.setdefault(_plain(stop.span), []).append(stop)
    matched: list[tuple[SheetRow, Stop]] = []
    faults: list[str] = []
    met: dict[tuple[int, str], int] = {}
    for row in rows:
        if row.span is None:
            if row.drop_millivolt is not None:
                faults.append(f"Line {row.line}: a drop without a span; write which span it is.")
            continue
        mine = known.get(_plain(row.span))
        if mine is None:
            near = nearest(row.span, [stop.span for stop in stops])
            faults.append(f"Line {row.line}: no span of this build is called {quoted(row.span)}{near}.")
            continue
        if row.drop_millivolt is not None and row.skipped:
            faults.append(
                f"Line {row.line}, {mine[0].span}: both a drop and a reason why it was not read; leave one."
            )
            continue
        stop = _stop_of(row, mine, met)
        earlier = met.get((stop.number, row.polarity))
        if earlier is not None and row.drop_millivolt is not None:
            faults.append(
                f"{stop.span} stands on lines {earlier} and {row.line}; a span is read once in a round. Take one "
                "out, or write reverse under polarity where the current ran the other way."
            )
            continue
        if row.drop_millivolt is not None:
            met[stop.number, row.polarity] = row.line
        matched.append((row, stop))
    if faults:
        raise SheetRefused(file_name, faults)
    return matched, _said_of_order(rows)


def _stop_of(row: SheetRow, mine: Sequence[Stop], met: Mapping[tuple[int, str], int]) -> Stop:
    """The stop of that number, where it is one of the span's; else the first that no row before it was read at."""
    for stop in mine:
        if stop.number == row.stop:
            return stop
    return next((stop for stop in mine if (stop.number, row.polarity) not in met), mine[-1])


def _by_order(
    rows: Sequence[SheetRow], stops: Sequence[Stop]
) -> tuple[list[tuple[SheetRow, Stop]], list[str]]:
    left = [stop for stop in stops if not stop.is_done]
    if len(rows) > len(left):
        raise MoreRowsThanStops(len(rows), len(left))
    matched = list(zip(rows, left, strict=False))
    first, last = matched[0], matched[-1]
    said = (
        f"Matched by order: line {first[0].line} is {first[1].span}, and so on until line {last[0].line}, which is "
        f"{last[1].span}."
    )
    return matched, [said]


def _said_of_order(rows: Sequence[SheetRow]) -> list[str]:
    numbered = [row for row in rows if row.stop is not None]
    for one, other in pairwise(numbered):
        if (one.stop or 0) > (other.stop or 0):
            return [
                f"The rows are not in the order of the stops (line {other.line}, stop {other.stop}, comes after stop "
                f"{one.stop}); they were matched by span."
            ]
    return []


def _plain(tag: str) -> str:
    """A tag as loggers write it: without regard to case, spaces and dashes."""
    return "".join(character for character in tag.casefold() if character.isalnum())


def _text(value: object) -> str | None:
    return None if value in (None, "") else str(value)


def _whole(value: object) -> int | None:
    return value if isinstance(value, int) else None
