"""How many readings at once become facts: each checked against the book, its span and the other lines."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from lugbook.exchange.logs_in import Fault
from lugbook.jobs.desk import Desk, Entry, typed_texts
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.entering import operator_of
from lugbook.jobs.meters import Meters
from lugbook.jobs.reading_doubts import doubted_rows, refuse_beyond_meter, refuse_under_zero
from lugbook.records.logbook import Progress, no_progress
from lugbook.records.questions import READING_VALUE, reading_keys
from lugbook.records.tables import Build, Instrument, Reading, Round, Span

VOLTAGE_KINDS = ("millivoltmeter",)
CURRENT_KINDS = ("clamp", "shunt")
THERMOMETER_KINDS = ("thermometer",)

Cells = Mapping[str, Sequence[Any]]


@dataclass(frozen=True)
class Entered:
    """What entering lines did: how many were new, how many the book had, which were refused."""

    new: int
    present: int
    faults: tuple[Fault, ...]
    retired: int = 0
    """Of those present, how many the book holds as withdrawn or corrected only; they stay so."""


def words_of_retired(count: int) -> tuple[str, ...]:
    """What is to be said of lines of a file that the book holds as withdrawn or corrected only."""
    if not count:
        return ()
    which = "1 reading of it was" if count == 1 else f"{count} readings of it were"
    stays = "stays" if count == 1 else "stay"
    return (f"{which} withdrawn or corrected before and {stays} so; what is right after all, `lugbook reading add` "
            "enters anew.",)  # fmt: skip


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
    lines = _Lines(cells, as_typed, line_numbers)
    check = _Check(desk, import_id, lines)
    found: dict[int, Named] = {}
    faults: list[Fault] = []
    for row, labels in enumerate(lines.labels()):
        if row in refused_rows:
            continue
        try:
            named = check.named(row, labels)
        except Mismatch as wrong:
            read = as_typed.get(row, {}).get("taken_at") if wrong.column == "taken_at" else None
            faults.append(
                Fault(line_numbers[row], wrong.column, read or wrong.read, wrong.expected, wrong.why)
            )
            continue
        if named is not None:
            found[row] = named
    present = len(line_numbers) - len(refused_rows) - len(faults) - len(found)
    for row, fault in check.doubts(found).items():
        faults.append(fault)
        del found[row]
    desk.logbook.record_columns(Reading, lines.facts(found, import_id), progress=progress)
    return Entered(len(found), present, tuple(sorted(faults, key=lambda fault: fault.line)), check.retired)


def corrected_fact(desk: Desk, cells: Cells, as_typed: Mapping[str, str], old: Row) -> dict[str, Any]:
    """The fact that is to take the place of a reading, checked as a new one is. Raises Mismatch."""
    lines = _Lines(cells, {}, [1])
    check = _Check(desk, None, lines, without=old["id"])
    named = check.named(0, next(lines.labels()))
    if named is None:
        raise Mismatch("drop_millivolt", "", "something else than the book already says of this reading")
    for doubted in check.doubts({0: named}).values():
        raise Mismatch("drop_millivolt", doubted.read, doubted.expected, doubted.why)
    fact = {name: values[0] for name, values in lines.facts({0: named}, None).items()}
    return {**fact, "as_typed": desk.typed_after(Reading, old, fact, as_typed)}


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


NAMED = (
    "span_id",
    "round_id",
    "voltage_instrument_id",
    "current_instrument_id",
    "operator_id",
    "thermometer_id",
)
Named = tuple[int, int, int, int, int | None, int | None]
"""The rows of the book that a line names, in the order of NAMED."""


class _Lines:
    """What the lines say, column by column: measured values as decimal text in the unit of the name."""

    def __init__(
        self, cells: Cells, as_typed: Mapping[int, Mapping[str, str]], line_numbers: Sequence[int]
    ) -> None:
        self._cells, self._as_typed, self.numbers = cells, as_typed, line_numbers
        self.drop_millivolt, self.current_ampere = cells["drop_millivolt"], cells["current_ampere"]
        self.taken_at, self.current_instrument = cells["taken_at"], cells["current_instrument"]
        self.joint_celsius, self.zero_millivolt = self._of("joint_celsius"), self._of("zero_millivolt")
        self.span = cells["span"]
        self.polarity = [polarity or "forward" for polarity in self._of("polarity")]
        self.stage = [stage or None for stage in self._of("stage")]
        self.repeat = [repeat or 1 for repeat in self._of("repeat")]
        self.confirmed = [1 if confirmed else 0 for confirmed in self._of("confirmed")]

    def _of(self, name: str) -> Sequence[Any]:
        return self._cells.get(name) or [None] * len(self.numbers)

    def labels(self) -> Iterator[tuple[Any, ...]]:
        """What names each reading, in the order of `_Check.named`."""
        cells = (self._of(name) for name in _LABELS)
        said = (self.taken_at, self.drop_millivolt, self.polarity, self.stage, self.repeat)
        return zip(*cells, *said, strict=True)

    def value(self, row: int) -> tuple[float | None, ...]:
        """What was read, in the order of READING_VALUE but for the meter."""
        texts = (self._of(name)[row] for name in READING_VALUE[:-1])
        return tuple(None if text is None else float(text) for text in texts)

    def words(self, row: int) -> str:
        """The reading as a person would say it."""
        return f"{self.drop_millivolt[row]} mV at {self.current_ampere[row]} A"

    def facts(self, found: Mapping[int, Named], import_id: int | None) -> dict[str, Sequence[Any]]:
        """Some rows as they go to the ledger, column by column."""
        said: dict[str, Sequence[Any]] = {
            "taken_at": self.taken_at, "drop_millivolt": self.drop_millivolt,
            "current_ampere": self.current_ampere, "joint_celsius": self.joint_celsius,
            "zero_millivolt": self.zero_millivolt, "polarity": self.polarity, "stage": self.stage,
            "repeat": self.repeat, "confirmed": self.confirmed,
            "note": [note or None for note in self._of("note")],
        }  # fmt: skip
        if len(found) < len(self.numbers):
            said = {name: [values[row] for row in found] for name, values in said.items()}
        named = {name: [ids[place] for ids in found.values()] for place, name in enumerate(NAMED)}
        as_typed = typed_texts(self._as_typed, found)
        return {**said, **named, "import_id": [import_id] * len(found), "as_typed": as_typed}


_LABELS = ("span", "build", "round", "voltage_instrument", "current_instrument", "operator", "thermometer")


class _Check:
    """Checks lines one by one; remembers what it looked up and what came before."""

    def __init__(
        self, desk: Desk, import_id: int | None, lines: _Lines, *, without: int | None = None
    ) -> None:
        self.desk, self.directory, self.import_id, self.lines = desk, desk.directory, import_id, lines
        self.retired = 0
        current = self.directory.history.current
        self._known: dict[tuple[Any, ...], list[tuple[Any, ...]]] = {}
        for (span, *rest, meter), rows in reading_keys(desk.logbook.connection).items():
            kept = [(*row[:-1], current(row[-1])) for row in rows if row[0] != without]
            if kept:
                self._known.setdefault((current(span), *rest, current(meter)), []).extend(kept)
        self._seen: dict[tuple[Any, ...], int] = {}
        self._span = cache(self._find_span)
        self._meter = cache(self._find_meter)
        self._round = cache(self._enter_round)
        self._operator = cache(self._enter_operator)
        self._outing = cache(self._find_outing)
        self._meters = Meters(self.directory)
        self._bounded = cache(self._find_bounded)

    def named(self, row: int, labels: tuple[Any, ...]) -> Named | None:
        """What a line names; None where the book, or an earlier line, has its reading. Raises Mismatch."""
        span, build, round_, volt, amp, operator, thermometer, taken_at, drop, polarity, stage, repeat = (
            labels
        )
        if taken_at > self.desk.latest_utc:
            raise Mismatch("taken_at", taken_at, "a time that is not in the future")
        if drop[0] == "-" and polarity != "reverse":
            expected = (
                "a drop above zero; if the current was reversed, say --polarity reverse "
                "(in a file: reverse under polarity)"
            )
            raise Mismatch("drop_millivolt", drop, expected)
        span_id, build_id = self._span(span, build)
        outing = self._outing(build_id, round_, volt, amp, operator, thermometer)
        if polarity == "forward" and self.lines.zero_millivolt[row] is not None:
            refuse_under_zero(drop, self.lines.zero_millivolt[row])
        for meter, column in self._bounded(outing):
            refuse_beyond_meter(self._meters, meter, column, getattr(self.lines, column)[row])
        key = (span_id, taken_at, polarity, stage, repeat, outing[1])
        earlier = self._seen.setdefault(key, row)
        if earlier != row:
            self._refuse_other_value(row, earlier)
            return None
        if key in self._known and self._is_in_book(row, self._known[key]):
            return None
        return (span_id, *outing)

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

    def _find_outing(
        self, build_id: int, round_: str, volt: str, amp: str, operator: str | None, thermometer: str | None
    ) -> tuple[int, int, int, int | None, int | None]:
        """The round, the meters and the operator: the same on many lines."""
        return (
            self._round(build_id, round_),
            self._meter("voltage_instrument", volt, VOLTAGE_KINDS),
            self._meter("current_instrument", amp, CURRENT_KINDS),
            self._operator(operator),
            self._meter("thermometer", thermometer, THERMOMETER_KINDS) if thermometer else None,
        )

    def _find_bounded(
        self, outing: tuple[int, int, int, int | None, int | None]
    ) -> tuple[tuple[int, str], ...]:
        """The meters of an outing that cannot show everything, each with the column of what it showed."""
        _, volt, amp, _, thermometer = outing
        shown = ((volt, "drop_millivolt"), (amp, "current_ampere"), (thermometer, "joint_celsius"))
        return tuple(
            (one, column) for one, column in shown if one is not None and self._meters.meter(one).bounded
        )

    def _enter_operator(self, name: str | None) -> int | None:
        return operator_of(self.desk, name, Entry({}, {}, self.import_id))

    def _refuse_other_value(self, row: int, earlier: int) -> None:
        """Raises Mismatch where an earlier line holds another value of this reading."""
        if self._value(row) != self._value(earlier):
            raise _read_before(self.lines.words(row), self.lines.words(earlier))

    def _is_in_book(self, row: int, known: Sequence[tuple[Any, ...]]) -> bool:
        """Whether the book holds this reading. Raises Mismatch where it holds another value.

        What was corrected or withdrawn is held against a file, which imported again brings nothing back, but not
        against what is typed by hand: that is meant.
        """
        value = self._value(row)
        standing = [held for held in known if held[0] not in self.directory.history.gone]
        if any(held[1:] == value for held in standing):
            return True
        if self.import_id is not None and any(held[1:] == value for held in known):
            self.retired += 1
            return True
        if standing:
            raise _read_before(self.lines.words(row), f"{standing[0][1]:g} mV at {standing[0][2]:g} A")
        return False

    def _value(self, row: int) -> tuple[Any, ...]:
        """What was read, in the order of READING_VALUE."""
        meter = self._meter("current_instrument", self.lines.current_instrument[row], CURRENT_KINDS)
        return (*self.lines.value(row), meter)

    def doubts(self, found: Mapping[int, Named]) -> dict[int, Fault]:
        """By row: resistances far from everything else known of their span, unless confirmed."""
        drops, currents = self.lines.drop_millivolt, self.lines.current_ampere
        own: dict[int, dict[int, float]] = defaultdict(dict)
        for row, named in found.items():
            own[named[0]][row] = abs(float(drops[row])) / float(currents[row]) * 1000
        gone = self.directory.history.gone
        known: dict[int, list[float]] = defaultdict(list)
        for key, rows in self._known.items():
            known[key[0]] += [1000 * abs(held[1]) / held[2] for held in rows if held[0] not in gone]
        why = doubted_rows(self.directory, own, known, self.lines.confirmed)
        return {row: self._fault(row, said) for row, said in why.items()}

    def _fault(self, row: int, said: str) -> Fault:
        words, tag = self.lines.words(row), self.lines.span[row]
        why = f"{tag}, {words}: {said} Look again, and if it is right say --confirm (in a file: yes under confirmed)."
        return Fault(self.lines.numbers[row], "drop_millivolt", words, "a believable reading", why)


def _read_before(words: str, before: str) -> Mismatch:
    why = (
        f"{words} was read, but the book already says {before} for this span, time and meter; "
        "amend that reading, or number this one with --repeat 2 (in a file: 2 under repeat)."
    )
    return Mismatch("drop_millivolt", words, before, why)
