"""What is held against a reading before it is written: its meters, its zero, its span, its siblings, its cable."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from statistics import median

from sqlalchemy import Connection

from lugbook.assessment.believing import (
    FACTOR,
    LEAST_MICROOHM,
    Expectation,
    doubt,
    most_microohm,
    word_doubt,
    word_unexpected,
)
from lugbook.errors import LineRefused
from lugbook.jobs.cables import cable_inside, length_between_millimetre
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.evidence import gather_evidence
from lugbook.jobs.meters import Meters
from lugbook.records.tables import Build, Cable, CableEnd, Span
from lugbook.units.symbols import shown


def refuse_under_zero(drop_millivolt: str, zero_millivolt: str) -> None:
    """Raises Mismatch for a forward drop that is no more than what was read at no current."""
    drop, zero = float(drop_millivolt), float(zero_millivolt)
    if drop <= zero:
        why = (
            f"{drop:g} mV is no more than the {zero:g} mV that was read at zero current, which leaves no drop; "
            "check the probes, the polarity and the zero."
        )
        raise Mismatch("drop_millivolt", drop_millivolt, "a drop above its own zero", why)


def refuse_beyond_meter(meters: Meters, identity: int, column: str, text: str | None) -> None:
    """Raises Mismatch for what a meter cannot have shown; `text` is decimal, in the unit of the meter."""
    if text is None:
        return
    meter, size = meters.meter(identity), abs(float(text))
    if meter.least <= size <= meter.greatest:
        return
    row = meters.row(identity)
    unit = shown(row["unit"])
    bound = f"more than {meter.greatest:g}" if size > meter.greatest else f"to rely on below {meter.least:g}"
    remedy = "read it on a wider range" if size > meter.greatest else "use more of it, or a finer instrument"
    why = f"{text} {unit}: {row['kind']} {row['name']} shows nothing {bound} {unit}; {remedy}."
    raise Mismatch(column, text, f"what {row['name']} can show", why)


def refuse_unexpected(connection: Connection, directory: Directory, row: Row, words: str) -> None:
    """Raises LineRefused for a reading written in this transaction which its own span's earlier ones do not believe.

    `words`: what was typed. For what is typed by hand, where somebody can still look again; a table is judged as a
    whole, where a bad reading shows as one.
    """
    span = directory.row(Span, row["span_id"])
    on = date.fromisoformat(row["taken_at"][:10])
    (evidence,) = gather_evidence(connection, on, directory.name(Build, span["build_id"]))
    from lugbook.assessment.expecting import believed_reading

    assert evidence.readings.entry is not None
    found = believed_reading(evidence, evidence.readings.entry.tolist().index(row["id"]))
    if found is None:
        return
    microohm, believed = found
    if not believed.holds(microohm):
        why = word_unexpected(microohm, believed.low_microohm, believed.high_microohm)
        raise LineRefused(f"{span['tag']}, {words}: {why} Look again, and if it is right say --confirm.")


Microohms = Mapping[int, float]
"""What the lines of one span come to, by row."""


def doubted_rows(
    directory: Directory,
    own: Mapping[int, Microohms],
    known: Mapping[int, Sequence[float]],
    confirmed: Sequence[int],
) -> dict[int, str]:
    """By row: why its resistance is not believable, unless it is confirmed.

    `own`: what the lines come to [microohm], by span and row; `known`: the book's readings in force, by span.
    """
    siblings = _Siblings(directory, own, known)
    doubted: dict[int, str] = {}
    for span_id, microohms in own.items():
        span = directory.row(Span, span_id)
        before = known.get(span_id, ())
        every = [*microohms.values(), *before]
        low, high = min(every), max(every)
        most = most_microohm(span["kind"])
        if len(every) == 1 or low < LEAST_MICROOHM or high > min(most, FACTOR * low):
            doubted |= _doubts_of_span(directory, span, microohms, before, siblings, confirmed)
    return doubted


def _doubts_of_span(
    directory: Directory,
    span: Row,
    microohms: Microohms,
    before: Sequence[float],
    siblings: "_Siblings",
    confirmed: Sequence[int],
) -> dict[int, str]:
    cable = cable_inside(directory, span)
    length = length_between_millimetre(directory, span)
    doubted: dict[int, str] = {}
    for row, microohm in microohms.items():
        if confirmed[row]:
            continue
        others = [*before, *(other for place, other in microohms.items() if place != row)]
        expected = Expectation(
            others,
            () if others else siblings.of(span["id"]),
            cable.microohm_per_millimetre * length if cable and length else None,
            span["kind"] == "cable",
            most_microohm(span["kind"]),
        )
        found = doubt(microohm, expected)
        if found is not None:
            doubted[row] = word_doubt(found)
    return doubted


_ENOUGH = 3


class _Siblings:
    """What spans of the same kind on the same conductor have read, the middle of each."""

    def __init__(
        self,
        directory: Directory,
        own: Mapping[int, Microohms],
        known: Mapping[int, Sequence[float]],
    ) -> None:
        self._directory, self._own, self._known = directory, own, known
        self._alike: dict[tuple[str, int], list[tuple[float, int]]] | None = None

    def of(self, span_id: int) -> list[float]:
        """Middle readings of the others that are made as this span is: of many, the smallest and the greatest few."""
        if self._alike is None:
            self._alike = defaultdict(list)
            for other in {*self._own, *self._known}:
                key = self._key(other)
                middle = [
                    *self._known.get(other, ()),
                    *self._own.get(other, {}).values(),
                ]
                if key and middle:
                    self._alike[key].append((median(middle), other))
            for alike in self._alike.values():
                alike.sort()
        mine = self._key(span_id)
        alike = self._alike[mine] if mine else []
        ends = alike if len(alike) <= 2 * _ENOUGH else alike[:_ENOUGH] + alike[-_ENOUGH:]
        return [middle for middle, other in ends if other != span_id]

    def _key(self, span_id: int) -> tuple[str, int] | None:
        span = self._directory.row(Span, span_id)
        if span["cable_end_id"] is None or span["kind"] == "cable":
            return None
        end = self._directory.row(CableEnd, span["cable_end_id"])
        conductor = self._directory.row(Cable, end["cable_id"])["conductor_id"]
        return span["kind"], self._directory.history.current(conductor)
