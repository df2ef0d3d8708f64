"""The sheet of a round to fill in: on paper, or as a table."""

from __future__ import annotations

from datetime import datetime
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from lugbook.errors import SheetKindUnknown
from lugbook.exchange.layouts_rounds import ROUND_SHEET
from lugbook.exchange.tables_out import write_table
from lugbook.jobs.directory import Directory
from lugbook.jobs.exchanging import write_file
from lugbook.jobs.round_stops import Stop, stops_of
from lugbook.jobs.round_words import current_in, day_seen, drop_in, expected_drop, word_expected, word_seen
from lugbook.jobs.rounds import RoundFacts, find_open_round
from lugbook.records.store import Book
from lugbook.units.fields import CURRENT_AMPERE, DROP_MILLIVOLT, JOINT_CELSIUS
from lugbook.units.symbols import shown

if TYPE_CHECKING:
    from lugbook.reports.round_sheet import SheetStop, SheetText

SHEET_CELSIUS = 20.0
"""The temperature for which a sheet's ranges are printed: that of the day is not known yet."""
CAUTIONS = (
    "Rings and watch off, insulated tools, no spanner across posts: a shorted cable is an arc and a burn.",
    "Batteries give off gas that burns: ventilate, no sparks. Clip the probes on before the load goes on.",
    "The test current heats what carries it: keep it short, and stop if anything grows warm.",
    "Follow the local code, and a licensed person where one is required.",
)
FIRST_AND_LAST = "Read the check standard first and last. "
HOW = (
    "Write the current and the temperature when they change; an empty box "
    "means as above. Tick rev. where the current ran the other way. Expected drops grow by 4 % for each 10 °C above "
    "20 °C, and with the current. Outside its range: set the probes anew and read again."
)


def write_sheet(
    book: Book, name: str | None, out: Path, now: datetime, *, build: str | None = None, paper: str = "a4"
) -> tuple[RoundFacts, int]:
    """Write the sheet of an open round; returns it, and how many stops there are.

    Raises SheetKindUnknown, PaperUnknown, FileUnwritable, and what `find_open_round` raises.
    """
    kind = out.suffix.lower()
    if kind not in (".pdf", ".csv"):
        raise SheetKindUnknown(out.name)
    with book.reading() as connection:
        directory = Directory(connection)
        facts = find_open_round(directory, name, build)
        stops = stops_of(connection, directory, facts, now)
    if kind == ".csv":
        write_file(out, _table(facts, stops))
    else:
        from lugbook.reports.round_sheet import draw_sheet

        assert facts.opened_at is not None
        dated = datetime.fromisoformat(facts.opened_at)
        write_file(out, draw_sheet(_text(facts, stops), paper, dated))
    return facts, len(stops)


def _table(facts: RoundFacts, stops: tuple[Stop, ...]) -> bytes:
    """One row a stop; numbers are to be filled in in the units of the round, as the headings say."""
    units = {
        "drop_millivolt": (DROP_MILLIVOLT, facts.drop_unit),
        "current_ampere": (CURRENT_AMPERE, facts.current_unit),
        "joint_celsius": (JOINT_CELSIUS, facts.temperature_unit),
    }
    headings = list(ROUND_SHEET.headings)
    for heading, (field, unit) in units.items():
        if unit != field.unit:
            headings[headings.index(heading)] = f"{field.stem} ({unit})"
    rows = [[_cells(facts, stop).get(heading) for heading in ROUND_SHEET.headings] for stop in stops]
    return write_table(headings, rows)


def _cells(facts: RoundFacts, stop: Stop) -> dict[str, str | int | None]:
    ampere = _ampere(facts, stop)
    expected = "" if stop.expected is None else word_expected(facts, stop.expected, ampere, SHEET_CELSIUS)
    return {
        "stop": stop.number, "span": stop.span, "place": stop.place, "where": stop.where,
        "last": "" if stop.last is None else f"{word_seen(facts, stop.last)}, {day_seen(facts, stop.last)}",
        "expected": expected, "round": facts.name, "build": facts.build,
    }  # fmt: skip


def _text(facts: RoundFacts, stops: tuple[Stop, ...]) -> SheetText:
    from lugbook.reports.round_sheet import SheetGroup, SheetText

    opened = facts.opened_on()
    groups = tuple(
        SheetGroup(place, tuple(_row(facts, stop) for stop in many))
        for place, many in groupby(stops, key=_group_of)
    )
    meters = ", ".join(filter(None, (facts.voltage_instrument, facts.current_instrument, facts.thermometer)))
    load = "" if facts.current_ampere is None else current_in(facts, facts.current_ampere)
    return SheetText(
        title=f"Round {facts.name}, {facts.build}",
        by=facts.operator or "",
        meters=meters,
        facts=(
            ("day", opened.isoformat() if opened else ""), ("read by", facts.operator or ""),
            ("meters", meters), ("weather", facts.weather or ""),
            ("load", f"{load}, steady" if load else ""), ("note", facts.note or ""),
        ),
        caution_title="Before you touch a cable.",
        cautions=CAUTIONS,
        how=(FIRST_AND_LAST if any(stop.is_check for stop in stops) else "") + HOW,
        expected_of=f"{shown(facts.drop_unit)} at 20 °C, {load or 'last current'}",
        drop_unit=shown(facts.drop_unit),
        current_unit=shown(facts.current_unit),
        temperature_unit=shown(facts.temperature_unit),
        foot=f"{len(stops)} stops",
        groups=groups,
    )  # fmt: skip


def _group_of(stop: Stop) -> str:
    if stop.is_check:
        return "last: the check standard again" if stop.again else "first: the check standard"
    return stop.place


def _row(facts: RoundFacts, stop: Stop) -> SheetStop:
    from lugbook.reports.round_sheet import SheetStop

    expected = note = ""
    if stop.expected is not None:
        ampere = _ampere(facts, stop)
        low, high, _ = expected_drop(facts, stop.expected, ampere, SHEET_CELSIUS)
        expected = f"{low} to {high}"
        note = "" if facts.current_ampere is not None else f"at {current_in(facts, ampere)}"
    last = stop.last
    return SheetStop(
        number=str(stop.number),
        span=stop.span,
        where=stop.where
        if stop.kind in ("crimp", "landing")
        else ", ".join(filter(None, (stop.kind, stop.where))),
        last="not read yet" if last is None else drop_in(facts, last.drop_millivolt),
        last_note=""
        if last is None
        else f"{word_seen(facts, last).partition(' at ')[2]}, {day_seen(facts, last)[:4]}",
        expected=expected,
        expected_note=note,
    )


def _ampere(facts: RoundFacts, stop: Stop) -> float:
    """The current for which a range is printed: of the steady load, else as the span was read last."""
    if facts.current_ampere is not None:
        return facts.current_ampere
    return stop.last.current_ampere if stop.last is not None else 100.0
