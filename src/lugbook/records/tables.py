"""Which tables there are, in the order in which rows may refer to each other."""

from sqlmodel import SQLModel

from lugbook.records.facts import Fact
from lugbook.records.tables_build import Build, Cable, CableEnd, Landing, Photo, Span, Terminal
from lugbook.records.tables_history import Correction, ImportFile, Ledger, Withdrawal
from lugbook.records.tables_measuring import (
    Calibration,
    Instrument,
    InstrumentRange,
    Reading,
    Round,
    RoundClosing,
    RoundOpening,
    RoundSkip,
    Service,
)
from lugbook.records.tables_parts import Conductor, Lug, Operator, Pull, Recipe, Tool

FACT_TABLES: tuple[type[Fact], ...] = (
    ImportFile, Operator, Build, Conductor, Lug, Tool, Recipe, Cable, CableEnd, Landing, Terminal, Span,
    Instrument, InstrumentRange, Calibration, Round, RoundOpening, RoundSkip, RoundClosing, Reading, Pull, Service,
    Photo, Correction, Withdrawal,
)  # fmt: skip

__all__ = [
    "ALL_TABLES", "FACT_TABLES", "Build", "Cable", "CableEnd", "Calibration", "Conductor", "Correction",
    "ImportFile", "Instrument", "InstrumentRange", "Landing", "Ledger", "Lug", "Operator", "Photo", "Pull",
    "Reading", "Recipe", "Round", "RoundClosing", "RoundOpening", "RoundSkip", "Service", "Span", "Terminal",
    "Tool", "Withdrawal",
]  # fmt: skip

ALL_TABLES: tuple[type[SQLModel], ...] = (Ledger, *FACT_TABLES)
