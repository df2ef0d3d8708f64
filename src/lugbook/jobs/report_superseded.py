"""What a build's book said before it was corrected or withdrawn, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from lugbook.jobs.directory import Row
from lugbook.jobs.listing import text_of
from lugbook.jobs.report_scope import LEFT_OUT, Scope
from lugbook.records.facts import Fact
from lugbook.records.questions import all_rows, ledger_notes, row_by_id
from lugbook.records.tables import (
    FACT_TABLES,
    CableEnd,
    Correction,
    Operator,
    ReportIssue,
    Span,
    Terminal,
    Withdrawal,
)
from lugbook.reports.workmanship import SupersededLine
from lugbook.units.wording import word_time

TABLES = {str(table.__tablename__): table for table in FACT_TABLES}
PERSONS_WORDS = ("note", "description", "name", "file_name", "zone", "issued_to")
"""Columns that may hold names or places; left out of a private issue."""
NOT_SHOWN = ("id", "import_id", "as_typed", "build_id")
"""Columns that say where a row came from and to what it belongs, not what it says."""
NAMING = ("span_id", "terminal_id", "cable_end_id", "tag", "name", "number", "file_name", "byte_count")
"""Columns that stand in the name of a withdrawn row already, or say nothing of it."""
USUAL = {"confirmed": 0, "is_private": 0, "repeat": 1, "polarity": "forward"}
"""What is not worth saying of a withdrawn row."""
YES_OR_NO = ("confirmed", "is_private", "tinned", "moved", "ears")
UNITS = {
    "newton_metre": "N m", "millimetre": "mm", "metre": "m", "mm2": "mm²", "millivolt": "mV", "volt": "V",
    "ampere": "A", "celsius": "°C", "microohm": "µΩ", "newton": "N", "second": "s", "percent": "%",
}  # fmt: skip
"""End of a column's name -> its unit; the longer ends first."""
DIGITS_OF_DIGEST = 12


def superseded_lines(scope: Scope) -> tuple[SupersededLine, ...]:
    """Every entry of this build, or shared by all builds, that was corrected or withdrawn by the day of the report."""
    fixed = [
        (row, row["replaced_id"], row["replacement_id"]) for row in all_rows(scope.connection, Correction)
    ]
    out = [(row, row["withdrawn_id"], None) for row in all_rows(scope.connection, Withdrawal)]
    changes = sorted((*fixed, *out), key=lambda change: change[0]["id"])
    numbers = [number for row, old, _ in changes for number in (row["id"], old)]
    notes = ledger_notes(scope.connection, numbers)
    lines = []
    for row, old, new in changes:
        kind, at = notes[old][0], notes[row["id"]][1]
        if at <= scope.until:
            lines.append(_superseded(scope, TABLES[kind], row, old, new, scope.day(at)))
    return tuple(line for line in lines if line is not None)


def _superseded(
    scope: Scope, table: type[Fact], change: Row, old: int, new: int | None, on: str
) -> SupersededLine | None:
    before = row_by_id(scope.connection, table, old)
    after = row_by_id(scope.connection, table, new) if new is not None else None
    if before is None or scope.build_of(table, before) not in (None, scope.build["id"]):
        return None
    if after is None:
        names = [name for name in before if before[name] is not None and _is_told(name, before[name])]
        said, now_says = _words(scope, table, before, names), "withdrawn: it no longer counts"
    else:
        names = [name for name in before if name not in NOT_SHOWN and before[name] != after[name]]
        said, now_says = (_words(scope, table, row, names) for row in (before, after))
        if not names:
            now_says = "the same value, typed in another way"
    what = f"{_kind(table)} {_called(scope, table, before)}".strip()
    why = LEFT_OUT if scope.is_private else str(change["reason"])
    return SupersededLine(str(old), what, said, now_says, why, scope.person(change["operator_id"]), on)


def _is_told(name: str, value: Any) -> bool:
    """Whether a column of a withdrawn row is worth saying."""
    return name not in (*NOT_SHOWN, *NAMING) and not name.endswith("digest") and USUAL.get(name) != value


def _words(scope: Scope, table: type[Fact], row: Row, names: Sequence[str]) -> str:
    """Columns and what they say, one a line: "drop: 8.4 mV"."""
    return "\n".join(f"{_label(name)}: {_value(scope, table, name, row[name])}" for name in names)


def _label(name: str) -> str:
    if name == "operator_id":
        return "by"
    for end in ("id", "at", *UNITS):
        if name.endswith(f"_{end}"):
            return name.removesuffix(f"_{end}").replace("_", " ")
    return name.replace("_", " ")


def _value(scope: Scope, table: type[Fact], name: str, value: Any) -> str:
    if value is None:
        return "nothing"
    if name.endswith("_id"):
        return _name(scope, _table_behind(table, name), value)
    if scope.is_private and name in PERSONS_WORDS:
        return LEFT_OUT
    if name.endswith("_at"):
        return word_time(value, scope.build["zone"])
    if name.endswith("digest"):
        return f"{value[:DIGITS_OF_DIGEST]}…"
    if name in YES_OR_NO:
        return "yes" if value else "no"
    unit = next((unit for end, unit in UNITS.items() if name.endswith(f"_{end}")), "")
    return f"{text_of(value)} {unit}".rstrip()


def _table_behind(table: type[Fact], name: str) -> type[Fact]:
    """The table to whose rows a column refers."""
    (key,) = table.metadata.tables[str(table.__tablename__)].columns[name].foreign_keys
    return TABLES[key.column.table.name]


def _name(scope: Scope, table: type[Fact], identity: int) -> str:
    """What a row is called, as it was when it was referred to."""
    if table is Operator:
        return scope.person(identity)
    row = row_by_id(scope.connection, table, identity)
    assert row is not None  # a foreign key
    return str(row["number"]) if table is ReportIssue else _called(scope, table, row)


def _kind(table: type[Fact]) -> str:
    kind = str(table.__tablename__)
    return {"report_issue": "issue", "workmanship_answer": "answer"}.get(kind, kind.replace("_", " "))


def _called(scope: Scope, table: type[Fact], row: Row) -> str:
    """The tag, name or number of a row, or of what it was noted on."""
    if row.get("span_id") is not None:
        return _name(scope, Span, row["span_id"])
    if table is Terminal:
        return _name(scope, CableEnd, row["cable_end_id"])
    own = _own_name(scope, table, row)
    for column in ("terminal_id", "sample_id"):
        if row.get(column) is not None:
            return f"{own} of {_name(scope, _table_behind(table, column), row[column])}".removeprefix(" of ")
    noted_on = next((column for column in ("instrument_id", "round_id") if row.get(column)), None)
    return own or (_name(scope, _table_behind(table, noted_on), row[noted_on]) if noted_on else "")


def _own_name(scope: Scope, table: type[Fact], row: Row) -> str:
    """What a row itself is called; in a private issue neither a person nor a file."""
    columns: tuple[str, ...] = ("tag", "number", "sample", "item", "name", "file_name")
    if scope.is_private:
        columns = columns[:-2] if table is Operator else columns[:-1]
    return next((str(row[column]) for column in columns if row.get(column)), "")
