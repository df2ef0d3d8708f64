"""Where lines become facts: one writer, what the book knows, and the rule for what it knows already."""

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

from lugbook.errors import quoted
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.records.facts import Fact
from lugbook.records.ledger import canonical, canonical_texts
from lugbook.records.logbook import Logbook, column_names, row_of
from lugbook.records.tables import (
    Build,
    Cable,
    CableEnd,
    Calibration,
    Conductor,
    Instrument,
    InstrumentRange,
    Landing,
    Lug,
    Operator,
    Recipe,
    Sample,
    Span,
    Terminal,
    Tool,
    WorkmanshipAnswer,
)  # fmt: skip

# Columns that hold the identity of a row with a name or tag of its own.
NAMED_BY: Mapping[str, type[Fact]] = {
    "build_id": Build, "conductor_id": Conductor, "lug_id": Lug, "tool_id": Tool, "cable_id": Cable,
    "cable_end_id": CableEnd, "landing_id": Landing, "recipe_id": Recipe, "span_id": Span,
    "terminal_id": Terminal, "instrument_id": Instrument, "thermometer_id": Instrument, "operator_id": Operator,
    "sample_id": Sample, "voltage_instrument_id": Instrument, "current_instrument_id": Instrument,
}  # fmt: skip

# The noun whose `amend` puts a row right, where it is not the name of its table.
NOUN_OF: Mapping[type[Fact], str] = {
    CableEnd: "cable",
    Calibration: "instrument",
    InstrumentRange: "instrument",
    WorkmanshipAnswer: "workmanship",
}


@dataclass(frozen=True)
class Entry:
    """One line to be entered: its cells by heading, already read, and where it came from."""

    cells: Mapping[str, Any]
    as_typed: Mapping[str, str] = field(default_factory=dict)
    import_id: int | None = None


@dataclass(frozen=True)
class Amendment:
    """The row that is being amended, and why and by whom."""

    table: type[Fact]
    identity: int
    why: tuple[str, int | None]


@dataclass
class Desk:
    """What entering needs: the one writer, what the book knows, and the latest moment a line may name."""

    logbook: Logbook
    directory: Directory
    latest_utc: str
    amendment: Amendment | None = None

    def enter(self, table: type[Fact], fact: Mapping[str, Any], entry: Entry) -> int:
        """Write a fact and let the directory know."""
        whole = {**fact, "import_id": entry.import_id, "as_typed": _typed(entry, fact)}
        identity = self.logbook.record(table, whole)
        self.directory.told(table, _row(table, whole, identity))
        return identity

    def row_for(self, table: type[Fact], found: Row | None) -> Row | None:
        """The row that a fact is about: the one found by its key, or the one being amended.

        Raises Mismatch where the one being amended would become the same as the one found.
        """
        if self.amendment is None or self.amendment.table is not table:
            return found
        amended = self.directory.row(table, self.amendment.identity)
        self.refuse_second(table, found, amended["id"])
        return amended

    def refuse_second(self, table: type[Fact], found: Row | None, amended: int) -> None:
        """Raises Mismatch where the row found by what a row is about to be called is another one."""
        if found is None or found["id"] == amended:
            return
        word, called = str(table.__tablename__).replace("_", " "), self.directory.name(table, found["id"])
        what = f"the same {word}" if called == str(found["id"]) else f"{word} {quoted(called)}"
        why = (
            f"{what} is in the book already, as entry {found['id']}; "
            "say something else here, or put that one right instead."
        )
        raise Mismatch(word, called, "what is not in the book yet", why)

    def enter_once(self, table: type[Fact], old: Row | None, fact: Mapping[str, Any], entry: Entry) -> bool:
        """Write a fact unless the book has it; True if written.

        A row that said less is replaced by one that says more. Raises Mismatch where the book says otherwise,
        unless that is what is being amended.
        """
        old = self.row_for(table, old)
        if old is None:
            self.enter(table, fact, entry)
            return True
        said = {name: value for name, value in fact.items() if value is not None}
        row = _row(table, said, old["id"])
        for name in said:
            if self.amendment is None and old[name] is not None and not self.same(name, old[name], row[name]):
                raise self._otherwise(table, name, old[name], row[name])
        if all(old[name] is not None and self.same(name, old[name], row[name]) for name in said):
            return False
        merged = {name: _text_of(old[name]) for name in column_names(table) if name != "id"} | said
        merged["import_id"] = entry.import_id
        merged["as_typed"] = self.typed_after(table, old, merged, entry.as_typed)
        reason, operator = ("particulars added", None) if self.amendment is None else self.amendment.why
        identity = self.logbook.correct(table, old["id"], merged, reason, operator)
        self.directory.replaced(table, old, _row(table, merged, identity))
        return True

    def typed_after(
        self, table: type[Fact], old: Row, fact: Mapping[str, Any], as_typed: Mapping[str, str]
    ) -> str | None:
        """What was typed of the better fact, as the canonical text kept beside it: what stays the same stays as it was
        typed before. Raises NotCanonical."""
        row = _row(table, fact, old["id"])
        stays = {name for name in fact if self.same(name, old[name], row[name])}
        before = json.loads(old["as_typed"] or "{}")
        return _kept(
            {name: text for name, text in before.items() if name in stays}
            | {name: text for name, text in as_typed.items() if name in fact and name not in stays}
        )

    def same(self, name: str, one: Any, other: Any) -> bool:
        """Whether two values of a column are the same; a row is the same as the one that took its place."""
        current = self.directory.history.current
        return one == other or (name in NAMED_BY and current(one or 0) == current(other or 0))

    def _otherwise(self, table: type[Fact], name: str, held: Any, read: Any) -> Mismatch:
        if name in NAMED_BY:
            held, read = (self.directory.name(NAMED_BY[name], identity) for identity in (held, read))
        texts = [f"{value:.15g}" if isinstance(value, float) else str(value) for value in (held, read)]
        noun = NOUN_OF.get(table, str(table.__tablename__))
        expected = f"{texts[0]}, as the book already says of it; put it right with `lugbook {noun} amend`"
        return Mismatch(name.removesuffix("_id"), texts[1], expected)


def typed_texts(as_typed: Mapping[int, Mapping[str, str]], rows: Collection[int]) -> list[str | None]:
    """What was typed, by column, as the one canonical text that is kept beside each row; None where nothing was.

    Raises NotCanonical.
    """
    alike: dict[tuple[str, ...], list[int]] = {}
    for row in rows:
        typed = as_typed.get(row)
        if typed:
            alike.setdefault(tuple(typed), []).append(row)
    texts: dict[int, str] = {}
    for names, same in alike.items():
        columns = {name: [as_typed[row][name] for row in same] for name in names}
        texts.update(zip(same, canonical_texts(columns), strict=True))
    return [texts.get(row) for row in rows]


def _typed(entry: Entry, fact: Mapping[str, Any]) -> str | None:
    return _kept({name: text for name, text in entry.as_typed.items() if name in fact})


def _kept(typed: Mapping[str, str]) -> str | None:
    return canonical(typed) if typed else None


def _row(table: type[Fact], fact: Mapping[str, Any], identity: int) -> dict[str, Any]:
    return dict(zip(column_names(table), row_of(table, identity, fact), strict=True))


def _text_of(value: object) -> Any:
    return repr(value) if isinstance(value, float) else value
