"""A small book of invented facts, with at least one row in every table: `python tests/small_book.py BOOK`."""

import sys
from datetime import UTC, datetime
from pathlib import Path

from lugbook.records.facts import Fact
from lugbook.records.logbook import Logbook
from lugbook.records.store import Book, open_book
from lugbook.records.tables import (
    Build,
    Cable,
    CableEnd,
    Calibration,
    Conductor,
    ImportFile,
    Instrument,
    InstrumentRange,
    Landing,
    Lug,
    Operator,
    Photo,
    Price,
    Pull,
    Reading,
    Recipe,
    Reel,
    ReportIssue,
    Round,
    RoundClosing,
    RoundOpening,
    RoundSkip,
    Sample,
    Service,
    Span,
    Terminal,
    Tool,
    WorkmanshipAnswer,
)
from lugbook.records.upgrade import create_book

RECORDED = datetime(2031, 4, 18, 12, tzinfo=UTC)
SPAN, ROUND, MILLIVOLTMETER, CLAMP, FIRST_READING = 14, 18, 15, 16, 19
FIRST_REVISION_LINES = 28
"""Lines of the book in tests/migrations/first_revision.sql, made when revision one was all there was."""


FactText = dict[str, str | int | None]


def reading_fact(
    drop_millivolt: str = "1.84", day: str = "2031-04-18", **changes: str | int | None
) -> FactText:
    """A reading of the one span, forward, once."""
    return {
        "span_id": SPAN, "round_id": ROUND, "taken_at": f"{day}T10:00:00.000000Z", "drop_millivolt": drop_millivolt,
        "current_ampere": "102.0", "voltage_instrument_id": MILLIVOLTMETER, "current_instrument_id": CLAMP,
        "polarity": "forward", "repeat": 1, "confirmed": 0, **changes,
    }  # fmt: skip


FACTS: tuple[tuple[type[Fact], FactText], ...] = (
    (ImportFile, {"kind": "operators", "file_name": "people.csv", "digest": "ab" * 32, "line_count": 1}),
    (Operator, {"name": "owner", "import_id": 2}),
    (Build, {"name": "Pétrel", "zone": "Europe/Lisbon", "description": "a boat that is not"}),
    (Conductor, {"name": "2/0 tinned", "size": "2/0 AWG", "size_system": "AWG", "area_mm2": "67.4", "tinned": 1}),
    (Lug, {"name": "2/0 M10", "stud_millimetre": "10"}),
    (Tool, {"name": "hydraulic hand tool"}),
    (Recipe, {"name": "R1", "conductor_id": 5, "lug_id": 6, "tool_id": 7, "die": "13 hex", "presses": 2,
              "strip_millimetre": "26"}),
    (Cable, {"build_id": 4, "tag": "C1", "conductor_id": 5, "length_metre": "1.80"}),
    (CableEnd, {"cable_id": 9, "side": "A", "tag": "C1A", "place": "engine"}),
    (CableEnd, {"cable_id": 9, "side": "B", "tag": "C1B", "place": "bilge"}),
    (Landing, {"build_id": 4, "tag": "start post", "kind": "post", "torque_newton_metre": "12.5"}),
    (Terminal, {"cable_end_id": 10, "recipe_id": 8, "made_at": "2031-03-01T12:00:00.000000Z", "operator_id": 3,
                "landing_id": 12}),
    (Span, {"build_id": 4, "tag": "C1A/crimp", "kind": "crimp", "place": "engine", "cable_end_id": 10,
            "limit_microohm": "65"}),
    (Instrument, {"name": "MV1", "kind": "millivoltmeter", "percent_of_reading": "0.5", "counts": "3",
                  "resolution": "0.01", "unit": "mV"}),
    (Instrument, {"name": "CL1", "kind": "clamp", "percent_of_reading": "2", "counts": "3", "resolution": "0.1",
                  "unit": "A"}),
    (Calibration, {"instrument_id": 15, "calibrated_on": "2031-01-07"}),
    (Round, {"build_id": 4, "name": "spring 2031"}),
    (Reading, reading_fact("1.84")),
    (Reading, reading_fact("1.86", "2031-04-19", joint_celsius="21.5", as_typed='{"joint_celsius":"70.7 degF"}')),
    (Reading, reading_fact("18.5", "2031-04-20")),
    (Reading, reading_fact("1.85", "2031-04-21", polarity="reverse")),
    (Pull, {"recipe_id": 8, "kind": "sample", "sample": "R1-1", "pulled_at": "2031-03-01T09:00:00.000000Z",
            "pull_newton": "9100", "failure": "conductor broke"}),
    (Service, {"span_id": 14, "serviced_at": "2031-05-02T09:00:00.000000Z", "action": "cleaned", "operator_id": 3}),
    (Photo, {"terminal_id": 13, "digest": "cd" * 32, "byte_count": 120345, "file_name": "C1A.jpg"}),
)  # fmt: skip
"""In this order they are lines 2 to 25; reading 21 is then corrected (26, 27) and reading 22 withdrawn (28)."""


LATER_FACTS: tuple[tuple[type[Fact], FactText], ...] = (
    (InstrumentRange, {"instrument_id": 15, "greatest": "4000", "percent_of_reading": "0.5", "counts": "3",
                       "resolution": "0.1"}),
    (Sample, {"recipe_id": 8, "sample": "R1-1", "tested_at": "2031-03-01T09:00:00.000000Z", "drop_millivolt": "2.1",
              "current_ampere": "100.0", "length_millimetre": "76", "ears": 0, "strands_cut": 2}),
    (WorkmanshipAnswer, {"terminal_id": 13, "item": "square", "answer": "yes", "operator_id": 3,
                         "looked_at": "2031-03-01T12:05:00.000000Z"}),
    (Reel, {"name": "drum 1", "conductor_id": 5, "length_metre": "25", "count": 1}),
    (Price, {"name": "2/0 M10", "amount": "4.20", "currency": "EUR", "unit": "piece"}),
    (RoundOpening, {"round_id": 18, "opened_at": "2031-04-18T09:00:00.000000Z", "voltage_instrument_id": 15,
                    "current_instrument_id": 16, "operator_id": 3, "drop_unit": "mV", "current_unit": "A",
                    "temperature_unit": "degC", "current_ampere": "102", "weather": "dry, still"}),
    (RoundSkip, {"round_id": 18, "span_id": 14, "skipped_at": "2031-04-18T11:00:00.000000Z",
                 "reason": "behind the tank", "operator_id": 3}),
    (RoundClosing, {"round_id": 18, "closed_at": "2031-04-18T11:30:00.000000Z", "operator_id": 3}),
    (ReportIssue, {"build_id": 4, "number": "1", "issued_at": "2031-06-01T09:00:00.000000Z", "as_of": "2031-06-01",
                   "is_private": 0, "html_digest": "ab" * 32, "pdf_digest": "ef" * 32, "issued_to": "the surveyor",
                   "operator_id": 3}),
)  # fmt: skip
"""Of tables that later revisions brought: they stand before the withdrawal, which is the last line."""
LINES = FIRST_REVISION_LINES + len(LATER_FACTS)


def make_small_book(path: Path) -> Book:
    """The book, made and open; whoever asked for it closes it."""
    create_book(path, RECORDED)
    book = open_book(path)
    with book.writing() as connection:
        logbook = Logbook(connection, RECORDED)
        for table, fact in FACTS:
            logbook.record(table, fact)
        logbook.correct(Reading, 21, reading_fact("1.85", "2031-04-20"), "a point misread", 3)
        for table, fact in LATER_FACTS:
            logbook.record(table, fact)
        logbook.withdraw(22, "probes swapped", None)
    return book


if __name__ == "__main__":
    make_small_book(Path(sys.argv[1])).close()
