"""Entering a round at the boat, stop by stop: what is asked, what is answered, what is kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime

from lugbook.errors import LineRefused, Refusal
from lugbook.jobs.coarse_currents import words_of_current
from lugbook.jobs.desk import Entry
from lugbook.jobs.directory import Directory
from lugbook.jobs.entering import operator_of
from lugbook.jobs.measuring import amend_reading
from lugbook.jobs.recording import open_desk, record_line
from lugbook.jobs.round_checks import doubts_of, is_expected, swapped_pairs, taken
from lugbook.jobs.round_lines import HELP, TypedDrop, TypedLine, read_line
from lugbook.jobs.round_stops import Seen, Stop, stops_of
from lugbook.jobs.round_words import drop_in, plain, word_expected, word_seen, word_stop
from lugbook.jobs.rounds import RoundFacts, find_open_round, utc_text, words_of_clock, words_of_open
from lugbook.records.logbook import Logbook
from lugbook.records.store import Book
from lugbook.records.tables import Instrument, RoundSkip
from lugbook.units.parsing import Measured

NO_TEMPERATURE = (
    "No temperature: 20 °C is assumed, and readings are worth less for it; type it once, like 31C."
)
PUT_OFF_CHECK = (
    ", but only before all other spans it begins the round; read after them, it does not show what the meters drift on "
    "the way."
)
READ_AGAIN = "typed again during the round"


class RoundEntry:
    """A person at the boat with one open round. What was answered as written is in the book."""

    def __init__(
        self, book: Book, now: datetime, *, name: str | None = None, build: str | None = None
    ) -> None:
        with book.reading() as connection:
            directory = Directory(connection)
            self.facts: RoundFacts = find_open_round(directory, name, build)
            self._stops = list(stops_of(connection, directory, self.facts, now))
            self.opening_words = (*words_of_open(self.facts, now), *words_of_clock(connection, now))
        self._book = book
        self._doubted: TypedLine | None = None
        self._odd: dict[int, float] = {}
        self._warned_of_temperature = False
        readings = [seen for stop in self._stops for seen in stop.readings]
        newest = max(readings, key=lambda seen: seen.moment, default=None)
        self._ampere = newest.current_ampere if newest else self.facts.current_ampere
        self._celsius = newest.joint_celsius if newest else None
        self.stopped = False
        self._at = self._next(-1)

    def ask(self) -> str:
        """What is asked next."""
        done = sum(stop.is_done for stop in self._stops)
        if self._at is None:
            return (
                f"All {done} stops are done. q stops here, b goes back; `lugbook round close` ends the round."
            )
        return word_stop(self.facts, self._stops[self._at], len(self._stops), self._ampere, self._celsius)

    def take(self, text: str, now: datetime) -> list[str]:
        """One line as typed: what is answered. A reading is in the book when its answer is given."""
        try:
            line = read_line(text, self.facts)
            if line.deed == "keep" and self._doubted is not None:
                return self._keep(self._doubted, now)
            return self._do(line, now)
        except LineRefused as refusal:
            return [str(refusal)]
        except Refusal as refusal:
            if refusal.exit_code != LineRefused.exit_code:
                raise
            return [f"Not written: {refusal}"]

    def _do(self, line: TypedLine, now: datetime) -> list[str]:
        doubted, self._doubted = self._doubted, None
        if line.deed == "help":
            return list(HELP)
        if line.deed == "stop":
            self.stopped = True
            left = sum(not stop.is_done for stop in self._stops)
            return [f"Stopped with {left} to go." if left else "Stopped; nothing is left to read."]
        if line.deed == "back":
            return self._back()
        if line.deed == "go":
            return self._go(line.rest)
        if line.deed in ("keep", "nothing"):
            return []
        if line.deed == "set":
            self._set(line)
            return list(self._said_of_current(line))
        if self._at is None:
            return ["Every stop is done; go to one first, with b or g."]
        if line.deed == "later":
            put_off, self._at = self._stops[self._at], self._next(self._at)
            why = PUT_OFF_CHECK if put_off.is_check and not put_off.again and not put_off.put_off else "."
            return [f"  {put_off.span}: later{why}"]
        if line.deed == "skip":
            return self._skip(line.rest, now)
        self._set(line)
        if doubted is not None and _same(doubted, line):
            return self._keep(doubted, now)
        return self._read(line, now)

    def _set(self, line: TypedLine) -> None:
        if line.current is not None:
            self._ampere = line.current.value
        if line.celsius is not None:
            self._celsius = line.celsius.value

    def _read(self, line: TypedLine, now: datetime) -> list[str]:
        """Write a reading that is as expected; answer "look again" to one that is not."""
        assert self._at is not None
        stop = self._stops[self._at]
        if self._ampere is None:
            return [
                "Not written: no current yet; type it with the drop, like 0.84 100A. It holds until you type another."
            ]
        doubts = self._doubts(stop, line)
        if doubts:
            self._doubted = line
            typed = ", ".join(drop_in(self.facts, drop.millivolt) for drop in line.drops)
            return [f"Look again: {typed}; {' '.join(doubts)}", "Type it again, or y, to keep it."]
        answer = self._write(stop, line, now, confirmed=False)
        return [*answer, *self._said_of_temperature(), *self._said_of_current(line)]

    def _keep(self, line: TypedLine, now: datetime) -> list[str]:
        assert self._at is not None
        self._doubted = None
        stop = self._stops[self._at]
        self._odd[self._at] = self._microohm(line.drops[0])
        return self._write(stop, line, now, confirmed=True)

    def _doubts(self, stop: Stop, line: TypedLine) -> list[str]:
        """What speaks against a reading."""
        said = []
        microohms = [self._microohm(drop) for drop in line.drops]
        if len(line.drops) == 1 and line.drops[0].polarity == "reverse":
            said.append(
                "a minus means that the current ran the other way; or are the probes the wrong way round?"
            )
        if not all(is_expected(stop, microohm) for microohm in microohms):
            assert stop.expected is not None
            assert self._ampere is not None
            said.append(
                f"{word_expected(self.facts, stop.expected, self._ampere, self._celsius)} is expected."
            )
        assert self._ampere is not None
        own = {stop.span_id: {
            row: taken(drop.millivolt, self._ampere, self._celsius).microohm for row, drop in enumerate(line.drops)
        }}  # fmt: skip
        with self._book.reading() as connection:
            found = doubts_of(connection, Directory(connection), own)
        said += [_capital(sentence) if said else sentence for sentence in found.values()][:1]
        if said:
            said += self._swaps(stop, microohms[0])
        return said

    def _swaps(self, stop: Stop, microohm: float) -> list[str]:
        odd = [(self._stops[place], other) for place, other in self._odd.items()]
        return [
            f"{one.span} looked wrong too, and both would be as expected if they were swapped: which span was it?"
            for other, one in swapped_pairs([(stop, microohm), *odd])
            if other is stop
        ]

    def _microohm(self, drop: TypedDrop) -> float:
        assert self._ampere is not None
        return taken(drop.millivolt, self._ampere, self._celsius).microohm_20c

    def _write(self, stop: Stop, line: TypedLine, now: datetime, *, confirmed: bool) -> list[str]:
        assert self._at is not None
        shared = self._shared(stop, line, confirmed)
        write = self._write_instead if stop.readings else self._write_new
        seen = write(stop, line, shared, now)
        if not confirmed:
            self._odd.pop(self._at, None)
        self._stops[self._at] = replace(stop, readings=tuple(seen), skipped=None)
        if not stop.is_check:
            self._stops = [_after_another(one) for one in self._stops]
        words = "kept" if confirmed else "as expected" if stop.expected else "written, its first reading"
        answer = f"  {word_seen(self.facts, seen[0])}: {words}."
        self._at = self._next(self._at)
        return [answer]

    def _shared(self, stop: Stop, line: TypedLine, confirmed: bool) -> dict[str, str]:
        """What all readings of a line have in common, as typed cells."""
        facts = self.facts
        cells = {
            "span": stop.span, "build": facts.build, "round": facts.name,
            "current_ampere": _typed(line.current, self._ampere, "A"),
            "joint_celsius": _typed(line.celsius, self._celsius, "degC"),
            "voltage_instrument": facts.voltage_instrument, "current_instrument": facts.current_instrument,
            "thermometer": facts.thermometer if self._celsius is not None else None,
            "operator": facts.operator, "confirmed": "yes" if confirmed else "no",
        }  # fmt: skip
        return {heading: text for heading, text in cells.items() if text is not None}

    def _write_new(self, stop: Stop, line: TypedLine, shared: Mapping[str, str], now: datetime) -> list[Seen]:
        """Write the readings of a line in one transaction."""
        seen = []
        with self._book.writing() as connection:
            desk = open_desk(Logbook(connection, now), now)
            for drop, repeat in _numbered(line.drops):
                cells = {**shared, "taken_at": utc_text(now), "drop_millivolt": drop.text,
                         "polarity": drop.polarity, "repeat": str(repeat)}  # fmt: skip
                record_line(desk, "readings", cells)
                seen.append(self._seen(desk.logbook.last, utc_text(now), drop, repeat))
        return seen

    def _write_instead(
        self, stop: Stop, line: TypedLine, shared: Mapping[str, str], now: datetime
    ) -> list[Seen]:
        """Correct the one reading of a stop that was gone back to."""
        if len(stop.readings) > 1 or len(line.drops) > 1:
            raise LineRefused(
                f"{stop.span} was read {len(stop.readings)} times together; put one right with "
                f"`lugbook reading amend {stop.readings[0].identity}`."
            )
        (old,), (drop,) = stop.readings, line.drops
        kept = ("current_ampere", "joint_celsius", "confirmed")
        changes = {name: shared[name] for name in kept if name in shared}
        changes |= {"drop_millivolt": drop.text, "polarity": drop.polarity}
        if (drop.millivolt, self._ampere, self._celsius) == (
            old.drop_millivolt,
            old.current_ampere,
            old.joint_celsius,
        ):
            return [old]
        entry = amend_reading(self._book, old.identity, changes, READ_AGAIN, self.facts.operator, now)
        return [self._seen(entry, old.taken_at, drop, old.repeat)]

    def _seen(self, entry: int, taken_at: str, drop: TypedDrop, repeat: int) -> Seen:
        assert self._ampere is not None
        return Seen(entry, taken_at, drop.millivolt, self._ampere, self._celsius, drop.polarity, repeat)

    def _skip(self, reason: str, now: datetime) -> list[str]:
        assert self._at is not None
        stop = self._stops[self._at]
        if not reason:
            return ["Not skipped: say why, like s behind the tank."]
        if stop.readings:
            return [f"Not skipped: {stop.span} was read in this round."]
        with self._book.writing() as connection:
            desk = open_desk(Logbook(connection, now), now)
            fact = {
                "round_id": self.facts.identity, "span_id": stop.span_id, "skipped_at": utc_text(now),
                "reason": reason, "operator_id": operator_of(desk, self.facts.operator, Entry({})),
            }  # fmt: skip
            desk.enter(RoundSkip, fact, Entry({}))
        for place, one in enumerate(self._stops):
            if one.span_id == stop.span_id and not one.readings:
                self._stops[place] = replace(one, skipped=reason)
        self._at = self._next(self._at)
        return [f"  {stop.span}: skipped, {reason}."]

    def _back(self) -> list[str]:
        last = len(self._stops) if self._at is None else self._at
        if last == 0:
            return ["This is the first stop."]
        self._at = last - 1
        stop = self._stops[self._at]
        held = ", ".join(word_seen(self.facts, seen) for seen in stop.readings)
        return [f"  {stop.span} was entered as {held}; a number typed now takes its place." if held
                else f"  {stop.span} has not been read."]  # fmt: skip

    def _go(self, tag: str) -> list[str]:
        for place, stop in enumerate(self._stops):
            if stop.span.casefold() == tag.casefold():
                self._at = place
                return []
        return [f"No stop of this round is called {tag}."]

    def _next(self, place: int) -> int | None:
        """The next stop not done: onwards, then from the start; the last check standard after all others."""
        count = len(self._stops)
        for again in (False, True):
            for other in (*range(place + 1, count), *range(place + 1)):
                stop = self._stops[other]
                if stop.again == again and not stop.is_done and other != place:
                    return int(other)
        return place if 0 <= place < count and not self._stops[place].is_done else None

    def _said_of_current(self, line: TypedLine) -> tuple[str, ...]:
        """What is to be said of a current that was typed anew."""
        name = self.facts.current_instrument
        if line.current is None or name is None:
            return ()
        with self._book.reading() as connection:
            directory = Directory(connection)
            meter = directory.need(Instrument, "current_instrument", name)
            return words_of_current(directory, meter["id"], line.current.value)

    def _said_of_temperature(self) -> Iterator[str]:
        if self._celsius is None and not self._warned_of_temperature:
            self._warned_of_temperature = True
            yield NO_TEMPERATURE


def _after_another(stop: Stop) -> Stop:
    """A stop after another span was read: a check standard is asked for again last, and can no longer be first."""
    if stop.again:
        return replace(stop, readings=())
    return replace(stop, put_off=True) if stop.is_check and not stop.readings else stop


def _numbered(drops: tuple[TypedDrop, ...]) -> Iterator[tuple[TypedDrop, int]]:
    """Each drop with its number among those of its way."""
    seen: dict[str, int] = {}
    for drop in drops:
        seen[drop.polarity] = seen.get(drop.polarity, 0) + 1
        yield drop, seen[drop.polarity]


def _typed(measured: Measured | None, carried: float | None, unit: str) -> str | None:
    """What was typed, or what is carried over, with its unit."""
    if measured is not None:
        return measured.as_typed or f"{measured.decimal_text} {unit}"
    return None if carried is None else f"{plain(carried)} {unit}"


def _same(one: TypedLine, other: TypedLine) -> bool:
    """Whether a line says again what another said; a current or temperature left out is as it was."""
    drops = [drop.millivolt for drop in one.drops] == [drop.millivolt for drop in other.drops]
    return drops and other.current in (None, one.current) and other.celsius in (None, one.celsius)


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]
