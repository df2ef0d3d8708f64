"""How many readings at once become facts: each checked against the book, its span and the other lines."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from lugbook.assessment.believing import FACTOR, LEAST_MICROOHM, MOST_MICROOHM, doubt, word_doubt
from lugbook.exchange.logs_in import Fault
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.entries import Desk, Entry, operator_of, typed_text
from lugbook.records.questions import READING_KEY, reading_keys
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


def enter_readings(
    desk: Desk,
    cells: Cells,
    as_typed: Mapping[int, Mapping[str, str]],
    line_numbers: Sequence[int],
    *,
    refused_rows: frozenset[int] = frozenset(),
    import_id: int | None = None,
) -> Entered:
    """Check every line, then write the sound ones; faults are returned, and the caller decides what they mean."""
    check = _Check(desk, cells, line_numbers)
    facts, present = [], 0
    for index, line in enumerate(line_numbers):
        if index in refused_rows:
            continue
        try:
            fact = check.fact_of(index)
        except Mismatch as wrong:
            check.faults.append(Fault(line, wrong.column, wrong.read, wrong.expected))
            continue
        if fact is None:
            present += 1
            continue
        fact["import_id"] = import_id
        if index in as_typed:
            fact["as_typed"] = typed_text(as_typed[index])
        facts.append((line, fact))
    doubted = {fault.line: fault for fault in check.doubts(facts)}
    sound = [fact for line, fact in facts if line not in doubted]
    faults = tuple(sorted([*check.faults, *doubted.values()], key=lambda fault: fault.line))
    check.write_names(sound, import_id)
    desk.logbook.record_many(Reading, sound)
    return Entered(len(sound), present, faults)


def corrected_fact(
    desk: Desk, cells: Cells, as_typed: Mapping[int, Mapping[str, str]], replaced: int
) -> dict[str, Any]:
    """The fact that is to take the place of a reading, checked as a new one is. Raises Mismatch."""
    check = _Check(desk, cells, [1], without=replaced)
    fact = check.fact_of(0)
    if fact is None:
        raise Mismatch("drop_millivolt", "", "something else than the book already says of this reading")
    doubted = check.doubts([(1, fact)])
    if doubted:
        raise Mismatch("drop_millivolt", doubted[0].read, doubted[0].why)
    if as_typed.get(0):
        fact["as_typed"] = typed_text(as_typed[0])
    check.write_names([fact], None)
    return fact


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


class _Check:
    """Checks lines one by one; remembers what it looked up and what came before."""

    def __init__(
        self, desk: Desk, cells: Cells, line_numbers: Sequence[int], *, without: int | None = None
    ) -> None:
        self.desk, self.directory, self.cells = desk, desk.directory, cells
        self.faults: list[Fault] = []
        self._keys = reading_keys(desk.logbook.connection)
        if without is not None:
            for rows in self._keys.values():
                rows[:] = [row for row in rows if row[0] != without]
            self._keys = {key: rows for key, rows in self._keys.items() if rows}
        self._heirs = self.directory.history.heirs
        self._spans: dict[tuple[str, str | None], Row | Mismatch] = {}
        self._meters: dict[tuple[str, str], int | Mismatch] = {}
        self._blank = [None] * len(line_numbers)
        column = self._column
        self._rows = zip(
            column("span"), column("build"), column("round"), column("taken_at"), column("drop_millivolt"),
            column("current_ampere"), column("joint_celsius"), column("zero_millivolt"),
            column("voltage_instrument"), column("current_instrument"), column("polarity"), column("operator"),
            column("stage"), column("repeat"), column("confirmed"), column("note"), strict=True,
        )  # fmt: skip
        self._at = -1
        if self._heirs:
            self._keys = {
                (self._heirs.get(key[0], key[0]), *key[1:]): rows for key, rows in self._keys.items()
            }

    def _column(self, name: str) -> Sequence[Any]:
        return self.cells.get(name, self._blank)

    def fact_of(self, index: int) -> dict[str, Any] | None:
        """The fact of the line at `index` (ascending); None where the book has it. Raises Mismatch."""
        while self._at < index:
            row = next(self._rows)
            self._at += 1
        (span, build, round_, taken_at, drop, current, celsius, zero, volt, amp, polarity, operator, stage,
         repeat, confirmed, note) = row  # fmt: skip
        if taken_at > self.desk.latest_utc:
            raise Mismatch("taken_at", taken_at, "a time that is not in the future")
        polarity = polarity or "forward"
        if polarity == "forward" and drop.startswith("-"):
            raise Mismatch("drop_millivolt", drop, "a drop above zero; if the current was reversed, write reverse under polarity")
        where = self._span(span, build)
        fact = {
            "span_id": where["id"], "round_id": (where["build_id"], round_), "taken_at": taken_at,
            "drop_millivolt": drop, "current_ampere": current, "joint_celsius": celsius,
            "zero_millivolt": zero, "polarity": polarity,
            "voltage_instrument_id": self._meter("voltage_instrument", volt, VOLTAGE_KINDS),
            "current_instrument_id": self._meter("current_instrument", amp, CURRENT_KINDS),
            "operator_id": operator or None, "stage": stage or None, "repeat": repeat or 1,
            "confirmed": 1 if confirmed else 0, "note": note or None,
        }  # fmt: skip
        return None if self._already(fact) else fact

    def _span(self, tag: str, build: str | None) -> Row:
        key = (tag, build)
        if key not in self._spans:
            try:
                build_id = self.directory.build(build)["id"] if build else None
                self._spans[key] = self.directory.need(Span, "span", tag, build_id)
            except Mismatch as wrong:
                self._spans[key] = wrong
        found = self._spans[key]
        if isinstance(found, Mismatch):
            raise found
        return found

    def _meter(self, column: str, name: str, kinds: tuple[str, ...]) -> int:
        key = (column, name)
        if key not in self._meters:
            try:
                row = self.directory.need(Instrument, column, name)
                if row["kind"] not in kinds:
                    raise Mismatch(column, name, f"a {' or a '.join(kinds)}; the book says it is a {row['kind']}")
                self._meters[key] = int(row["id"])
            except Mismatch as wrong:
                self._meters[key] = wrong
        found = self._meters[key]
        if isinstance(found, Mismatch):
            raise found
        return found

    def _already(self, fact: Mapping[str, Any]) -> bool:
        """True where the book, or an earlier line, holds this reading; raises Mismatch where it holds another value."""
        key = tuple(fact[name] for name in READING_KEY)
        celsius, zero = fact["joint_celsius"], fact["zero_millivolt"]
        value = (
            float(fact["drop_millivolt"]), float(fact["current_ampere"]),
            None if celsius is None else float(celsius), None if zero is None else float(zero),
            fact["current_instrument_id"],
        )  # fmt: skip
        known = self._keys.get(key)
        if known is None:
            self._keys[key] = [(0, *value)]
            return False
        if any(row[1:] == value for row in known):
            return True
        standing = [row for row in known if row[0] not in self.directory.history.gone]
        if not standing:
            known.append((0, *value))
            return False
        raise Mismatch(
            "drop_millivolt", f"{fact['drop_millivolt']} mV at {fact['current_ampere']} A",
            f"{standing[0][1]:g} mV at {standing[0][2]:g} A, as this span was read at that time before; "
            "amend that reading, or number this one under repeat",
        )  # fmt: skip

    def doubts(self, facts: Sequence[tuple[int, Mapping[str, Any]]]) -> list[Fault]:
        """Lines whose resistance is far from everything else known of their span, unless confirmed."""
        values: dict[int, list[float]] = {}
        lines: dict[int, list[tuple[int, Mapping[str, Any], float]]] = {}
        fresh = {fact["span_id"] for _, fact in facts}
        gone = self.directory.history.gone
        for key, rows in self._keys.items():
            if key[0] in fresh:
                values.setdefault(key[0], []).extend(
                    1000 * abs(row[1]) / row[2] for row in rows if row[0] and row[0] not in gone
                )
        for line, fact in facts:
            microohm = 1000 * abs(float(fact["drop_millivolt"])) / float(fact["current_ampere"])
            lines.setdefault(fact["span_id"], []).append((line, fact, microohm))
        found = []
        for span_id, own in lines.items():
            known = values.get(span_id, [])
            every = [microohm for _, _, microohm in own] + known
            low, high = min(every), max(every)
            if low >= LEAST_MICROOHM and high <= min(MOST_MICROOHM, FACTOR * low):
                continue
            found += _doubts_of_span(own, known)
        return found

    def write_names(self, facts: Sequence[dict[str, Any]], import_id: int | None) -> None:
        """Enter the rounds and operators the sound lines name, and put their identities into the facts."""
        rounds: dict[tuple[int, str], int] = {}
        operators: dict[str, int | None] = {}
        entry = Entry({}, {}, import_id)
        for fact in facts:
            key = fact["round_id"]
            if key not in rounds:
                old = self.directory.round_named(*key)
                rounds[key] = (
                    old["id"] if old else self.desk.enter(Round, {"build_id": key[0], "name": key[1]}, entry)
                )
            fact["round_id"] = rounds[key]
            name = fact["operator_id"]
            if name is not None:
                if name not in operators:
                    operators[name] = operator_of(self.desk, name, entry)
                fact["operator_id"] = operators[name]


def _doubts_of_span(
    own: Sequence[tuple[int, Mapping[str, Any], float]], known: Sequence[float]
) -> list[Fault]:
    found = []
    for index, (line, fact, microohm) in enumerate(own):
        if fact["confirmed"]:
            continue
        others = [*known, *(other for place, (_, _, other) in enumerate(own) if place != index)]
        doubted = doubt(microohm, others)
        if doubted is not None:
            read = f"{fact['drop_millivolt']} mV at {fact['current_ampere']} A"
            why = f"{read}: {word_doubt(doubted)}; look again, and confirm it if it is right."
            found.append(Fault(line, "drop_millivolt", read, "a believable reading", why))
    return found
