"""Which tables there are, in the order in which rows may refer to each other."""

from lugbook.records.facts import Fact
from lugbook.records.tables_build import Build, Cable, CableEnd, Landing, Photo, Span, Terminal
from lugbook.records.tables_history import Correction, ImportFile, Ledger, Withdrawal
from lugbook.records.tables_measuring import (
    Calibration,
    Instrument,
    InstrumentRange,
    Reading,
    Round,
    Service,
)
from lugbook.records.tables_parts import Conductor, Lug, Operator, Pull, Recipe, Tool
from lugbook.records.tables_proving import Price, Reel, Sample, WorkmanshipAnswer
from lugbook.records.tables_rounds import RoundClosing, RoundOpening, RoundSkip
from lugbook.records.tables_showing import ReportIssue

FACT_TABLES: tuple[type[Fact], ...] = (
    ImportFile, Operator, Build, Conductor, Lug, Tool, Recipe, Cable, CableEnd, Landing, Terminal, Span,
    Instrument, InstrumentRange, Calibration, Sample, Round, RoundOpening, RoundSkip, RoundClosing, Reading, Pull,
    Service, Photo, WorkmanshipAnswer, Reel, Price, ReportIssue,
    Correction, Withdrawal,
)  # fmt: skip

__all__ = [
    "FACT_TABLES", "Build", "Cable", "CableEnd", "Calibration", "Conductor", "Correction",
    "ImportFile", "Instrument", "InstrumentRange", "Landing", "Ledger", "Lug", "Operator", "Photo", "Price", "Pull",
    "Reading", "Recipe", "Reel", "ReportIssue", "Round", "RoundClosing", "RoundOpening", "RoundSkip", "Sample",
    "Service", "Span", "Terminal", "Tool", "Withdrawal", "WorkmanshipAnswer",
]  # fmt: skip
