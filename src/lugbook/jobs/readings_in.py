"""How many readings at once become facts: each checked against the book, its span and the other lines."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

from lugbook.assessment.believing import FACTOR, LEAST_MICROOHM, doubt, most_microohm, word_doubt
from lugbook.exchange.logs_in import Fault
from lugbook.jobs.desk import Desk, Entry, typed_texts
from lugbook.jobs.directory import Directory, Mismatch
from lugbook.jobs.entries import operator_of
from lugbook.records.logbook import Progress, no_progress
from lugbook.records.questions import reading_keys
from lugbook.records.tables import Build, Instrument, Reading, Round, Span

VOLTAGE_KINDS = ("millivoltmeter",)
CURRENT_KINDS = ("clamp", "shunt")

Cells = Mapping[str, Sequence[Any]]


@dataclass(frozen=True)
class Entered:
    """What entering lines did: how many were new, how many the book had, which were refused."""

    new: int
    present: int
    faults: tuple[Fault, ...]


class ReadingFact(NamedTuple):
    """One reading as it goes to the ledger: measured values as decimal text in the unit of the name."""

    span_id: int
    round_id: int
    taken_at: str
    drop_millivolt: str
    current_ampere: str
    joint_celsius: str | None
    zero_millivolt: str | None
    polarity: str
    voltage_instrument_id: int
    current_instrument_id: int
    operator_id: int | None
    stage: str | None
    repeat: int
    confirmed: int
    note: str | None
    import_id: int | None
    as_typed: Mapping[str, str] | None
    """What was typed, by column; it goes to the ledger as the text of `typed_texts`."""

    @property
    def key(self) -> tuple[Any, ...]:
        """What makes it one and the same reading, in the order of READING_KEY."""
        return (
            self.span_id,
            self.taken_at,
            self.polarity,
            self.stage,
            self.repeat,
            self.voltage_instrument_id,
        )

    @property
    def value(self) -> tuple[Any, ...]:
        """What was read, in the order of READING_VALUE."""
        celsius, zero = self.joint_celsius, self.zero_millivolt
        return (
            float(self.drop_millivolt), float(self.current_ampere),
            None if celsius is None else float(celsius), None if zero is None else float(zero),
            self.current_instrument_id,
        )  # fmt: skip

    @property
    def words(self) -> str:
        """As a person would say it."""
        return f"{self.drop_millivolt} mV at {self.current_ampere} A"


Numbered = tuple[int, ReadingFact]
"""A line number and what the line says."""


def enter_readings(
    desk: Desk,
    cells: Cells,
    as_typed: Mapping[int, Mapping[str, str]],
    line_numbers: Sequence[int],
    *,
    refused_rows: frozenset[int] = frozenset(),
    import_id: int | None = None,
    progress: Progress = no_progress,
) -> Entered:
    """Check every line, then write the sound ones; faults are returned, and the caller decides what they mean."""
    check = _Check(desk, import_id)
    facts: list[Numbered] = []
    faults, present = [], 0
    for index, (line, row) in enumerate(zip(line_numbers, _rows(cells, len(line_numbers)), strict=True)):
        if index in refused_rows:
            continue
        try:
            fact = check.fact_of(row, as_typed.get(index))
        except Mismatch as wrong:
            read = as_typed.get(index, {}).get("taken_at") if wrong.column == "taken_at" else None
            faults.append(Fault(line, wrong.column, read or wrong.read, wrong.expected, wrong.why))
            continue
        if fact is None:
            present += 1
            continue
        facts.append((line, fact))
    doubted = {fault.line: fault for fault in check.doubts(facts)}
    sound = [fact for line, fact in facts if line not in doubted]
    desk.logbook.record_columns(Reading, _columns(sound), progress=progress)
    return Entered(
        len(sound), present, tuple(sorted([*faults, *doubted.values()], key=lambda fault: fault.line))
    )


def corrected_fact(
    desk: Desk, cells: Cells, as_typed: Mapping[int, Mapping[str, str]], replaced: int
) -> dict[str, Any]:
    """The fact that is to take the place of a reading, checked as a new one is. Raises Mismatch."""
    check = _Check(desk, None, without=replaced)
    fact = check.fact_of(next(_rows(cells, 1)), as_typed.get(0))
    if fact is None:
        raise Mismatch("drop_millivolt", "", "something else than the book already says of this reading")
    doubted = check.doubts([(1, fact)])
    if doubted:
        raise Mismatch("drop_millivolt", doubted[0].read, doubted[0].expected, doubted[0].why)
    return {name: values[0] for name, values in _columns([fact]).items()}


def _columns(facts: Sequence[ReadingFact]) -> dict[str, Sequence[Any]]:
    """The facts as the ledger takes them, column by column."""
    columns: dict[str, Sequence[Any]] = {
        name: [fact[place] for fact in facts] for place, name in enumerate(ReadingFact._fields)
    }
    columns["as_typed"] = typed_texts(columns["as_typed"])
    return columns


def zones_of_lines(directory: Directory, spans: Sequence[str], builds: Sequence[str] | None) -> list[str]:
    """The time zone in which each line's times are written: its build's; UTC where the span is unknown."""
    known: dict[tuple[str, str], str] = {}
    zones = []
    for index, tag in enumerate(spans):
        key = (tag.strip(), builds[index].strip() if builds else "")
        if key not in known:
            known[key] = _zone(directory, *key)
        zones.append(known[key])
    return zones


def _zone(directory: Directory, tag: str, build: str) -> str:
    try:
        build_id = directory.build(build)["id"] if build else None
        span = directory.need(Span, "span", tag, build_id)
    except Mismatch:
        return "UTC"
    return str(directory.row(Build, span["build_id"])["zone"])


_CELLS = (
    "span", "build", "round", "taken_at", "drop_millivolt", "current_ampere", "joint_celsius",
    "zero_millivolt", "voltage_instrument", "current_instrument", "polarity", "operator", "stage", "repeat",
    "confirmed", "note",
)  # fmt: skip


def _rows(cells: Cells, count: int) -> Iterator[tuple[Any, ...]]:
    """The cells of each line in the order of _CELLS."""
    blank = [None] * count
    return zip(*(cells.get(name, blank) for name in _CELLS), strict=True)


class _Check:
    """Checks lines one by one; remembers what it looked up and what came before."""

    def __init__(self, desk: Desk, import_id: int | None, *, without: int | None = None) -> None:
        self.desk, self.directory, self.import_id = desk, desk.directory, import_id
        current = self.directory.history.current
        self._known: dict[tuple[Any, ...], list[tuple[Any, ...]]] = {}
        for (span, *rest, meter), rows in reading_keys(desk.logbook.connection).items():
            kept = [(*row[:-1], current(row[-1])) for row in rows if row[0] != without]
            if kept:
                self._known.setdefault((current(span), *rest, current(meter)), []).extend(kept)
        self._seen: dict[tuple[Any, ...], ReadingFact] = {}
        self._span = cache(self._find_span)
        self._meter = cache(self._find_meter)
        self._round = cache(self._enter_round)
        self._operator = cache(self._enter_operator)

    def fact_of(self, row: tuple[Any, ...], as_typed: Mapping[str, str] | None) -> ReadingFact | None:
        """The fact of a line; None where the book, or an earlier line, has it. Raises Mismatch."""
        (span, build, round_, taken_at, drop, current, celsius, zero, volt, amp, polarity, operator, stage,
         repeat, confirmed, note) = row  # fmt: skip
        if taken_at > self.desk.latest_utc:
            raise Mismatch("taken_at", taken_at, "a time that is not in the future")
        if polarity != "reverse" and drop[0] == "-":
            expected = (
                "a drop above zero; if the current was reversed, say --polarity reverse "
                "(in a file: reverse under polarity)"
            )
            raise Mismatch("drop_millivolt", drop, expected)
        span_id, build_id = self._span(span, build)
        fact = ReadingFact(
            span_id, self._round(build_id, round_), taken_at, drop, current, celsius, zero,
            polarity or "forward", self._meter("voltage_instrument", volt, VOLTAGE_KINDS),
            self._meter("current_instrument", amp, CURRENT_KINDS), self._operator(operator), stage or None,
            repeat or 1, 1 if confirmed else 0, note or None, self.import_id,
            as_typed,
        )  # fmt: skip
        return None if self._already(fact) else fact

    def _find_span(self, tag: str, build: str | None) -> tuple[int, int]:
        """Identity of the span and of its build."""
        build_id = self.directory.build(build)["id"] if build else None
        row = self.directory.need(Span, "span", tag, build_id)
        return int(row["id"]), self.directory.build_of(Span, row)

    def _find_meter(self, column: str, name: str, kinds: tuple[str, ...]) -> int:
        row = self.directory.need(Instrument, column, name)
        if row["kind"] not in kinds:
            raise Mismatch(column, name, f"a {' or a '.join(kinds)}; the book says it is a {row['kind']}")
        return int(row["id"])

    def _enter_round(self, build_id: int, name: str) -> int:
        """The round of that name, entered now if it is new."""
        old = self.directory.round_named(build_id, name)
        fact = {"build_id": build_id, "name": name}
        return int(old["id"]) if old else self.desk.enter(Round, fact, Entry({}, {}, self.import_id))

    def _enter_operator(self, name: str | None) -> int | None:
        return operator_of(self.desk, name, Entry({}, {}, self.import_id))

    def _already(self, fact: ReadingFact) -> bool:
        """True where the book or an earlier line holds this reading. Raises Mismatch where it holds another value."""
        key = fact.key
        earlier = self._seen.setdefault(key, fact)
        if earlier is not fact:
            if earlier.value == fact.value:
                return True
            raise _read_before(fact, earlier.words)
        known = self._known.get(key)
        if known is None:
            return False
        if any(row[1:] == fact.value for row in known):
            return True
        standing = [row for row in known if row[0] not in self.directory.history.gone]
        if standing:
            raise _read_before(fact, f"{standing[0][1]:g} mV at {standing[0][2]:g} A")
        return False

    def doubts(self, facts: Sequence[Numbered]) -> list[Fault]:
        """Lines whose resistance is far from everything else known of their span, unless confirmed."""
        own: dict[int, list[tuple[int, ReadingFact, float]]] = defaultdict(list)
        for line, fact in facts:
            microohm = abs(float(fact.drop_millivolt)) / float(fact.current_ampere) * 1000
            own[fact.span_id].append((line, fact, microohm))
        gone = self.directory.history.gone
        known: dict[int, list[float]] = {}
        for key, rows in self._known.items():
            if key[0] in own:
                standing = (1000 * abs(row[1]) / row[2] for row in rows if row[0] not in gone)
                known.setdefault(key[0], []).extend(standing)
        found = []
        for span_id, lines in own.items():
            every = [microohm for _, _, microohm in lines] + known.get(span_id, [])
            low, high = min(every), max(every)
            span = self.directory.row(Span, span_id)
            most = most_microohm(span["kind"])
            if low < LEAST_MICROOHM or high > min(most, FACTOR * low):
                found += _doubts_of_span(span["tag"], lines, known.get(span_id, []), most)
        return found


def _read_before(fact: ReadingFact, before: str) -> Mismatch:
    why = (
        f"{fact.words} was read, but the book already says {before} for this span, time and meter; "
        "amend that reading, or number this one with --repeat 2 (in a file: 2 under repeat)."
    )
    return Mismatch("drop_millivolt", fact.words, before, why)


def _doubts_of_span(
    tag: str, lines: Sequence[tuple[int, ReadingFact, float]], known: Sequence[float], most: float
) -> list[Fault]:
    found = []
    for index, (line, fact, microohm) in enumerate(lines):
        if fact.confirmed:
            continue
        others = [*known, *(other for place, (_, _, other) in enumerate(lines) if place != index)]
        doubted = doubt(microohm, others, most)
        if doubted is not None:
            why = (
                f"{tag}, {fact.words}: {word_doubt(doubted)}; look again, and if it is right say --confirm "
                "(in a file: yes under confirmed)."
            )
            found.append(Fault(line, "drop_millivolt", fact.words, "a believable reading", why))
    return found
