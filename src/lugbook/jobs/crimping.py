"""Making terminals, one or many, with the last one's particulars unless said otherwise."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from lugbook.assessment.qualification import REFUSED, qualify_recipe
from lugbook.errors import AlreadyMade, LineRefused, SayMore
from lugbook.exchange.layouts import LAYOUTS
from lugbook.jobs.desk import Desk
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.entries_proving import end_named, terminals_on
from lugbook.jobs.photographs import record_photo
from lugbook.jobs.recording import fault_of, open_desk, record_line, sentence_of
from lugbook.jobs.remaking import REMADE, build_of_end, record_terminal
from lugbook.jobs.trial_evidence import gather_recipe, proving_recipe
from lugbook.records.logbook import Logbook
from lugbook.records.questions import last_row
from lugbook.records.store import Book
from lugbook.records.tables import CableEnd, Operator, Recipe, Span, Terminal
from lugbook.records.tables_build import PLACES


@dataclass(frozen=True)
class Made:
    """What making terminals entered: which ends are new, which spans are now watched, which have no place yet."""

    recipe: str
    ends: tuple[str, ...]
    spans: tuple[str, ...]
    placeless: tuple[str, ...]
    refused: str  # the recipe whose samples refuse it, by name; '' where none do
    by: str  # who made them, said or taken from the last terminal; '' where nobody is named


def make_terminals(
    book: Book,
    ends: Sequence[str],
    cells: Mapping[str, str],
    now: datetime,
    *,
    place: str | None = None,
    remake: bool = False,
) -> Made:
    """Enter a terminal on each end, and watch its crimp as span END/crimp where the end's place is known.

    Recipe and operator default to those of the last terminal. A remade end gets a new terminal, and a new series
    starts on its crimp. Raises SayMore, LineRefused; AlreadyMade for an end with a terminal, unless remaking.
    """
    made, spans, placeless = [], [], []
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        whole = _as_the_last(desk, cells, now)
        for tag in ends:
            end = _end_called(desk, tag, cells.get("build"))
            before = terminals_on(desk, end)
            if before and not remake:
                raise AlreadyMade(tag, before[-1]["made_at"][:10])
            if record_terminal(desk, end, whole):
                made.append(tag)
            if before:
                _start_new_series(desk, end, whole)
            watched = _watch(desk, end, place)
            if watched is None:
                placeless.append(tag)
            elif watched:
                spans.append(watched)
        refused = _refused(desk.directory, whole)
    return Made(whole["recipe"], tuple(made), tuple(spans), tuple(placeless), refused, whole.get("operator", ""))


def attach_photo(
    book: Book,
    end: str,
    file: Path,
    now: datetime,
    *,
    build: str | None,
    note: str | None,
) -> str:
    """Note the digest of a photo of the terminal now on an end, and keep the original beside the book.

    Returns the digest. Raises LineRefused, FileMissing, PhotoUnusable, FileUnwritable.
    """
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        made = terminals_on(desk, _end_called(desk, end, build))
        if not made:
            raise LineRefused(f"{end} has no terminal yet; make the terminal first.")
        return record_photo(desk, book.path, {"terminal_id": made[-1]["id"]}, file, note)


def _as_the_last(desk: Desk, cells: Mapping[str, str], now: datetime) -> dict[str, str]:
    last = last_row(desk.logbook.connection, Terminal)
    whole = {"made_at": now_text(now), **cells}
    if "recipe" not in whole:
        if last is None:
            raise SayMore("--recipe", "by which recipe it was made")
        whole["recipe"] = desk.directory.name(Recipe, last["recipe_id"])
    if "operator" not in whole and last is not None and last["operator_id"] is not None:
        whole["operator"] = desk.directory.name(Operator, last["operator_id"])
    return whole


def _end_called(desk: Desk, tag: str, build: str | None) -> Row:
    """The cable end of that tag. Raises LineRefused."""
    try:
        return end_named(desk, {"cable_end": tag, "build": build})
    except Mismatch as wrong:
        raise LineRefused(sentence_of(fault_of(1, wrong), LAYOUTS["terminals"])) from wrong


def _refused(directory: Directory, cells: Mapping[str, str]) -> str:
    """The name of the recipe that proves these terminals, where its samples refuse it; else ''."""
    recipe = directory.find(Recipe, cells["recipe"])
    proved_by = proving_recipe(directory, recipe, cells.get("die", recipe["die"])) if recipe else None
    if proved_by is None or qualify_recipe(gather_recipe(directory, proved_by).evidence).verdict != REFUSED:
        return ""
    return str(proved_by["name"])


def _crimps_on(desk: Desk, end: Row) -> list[Row]:
    """The crimps watched on an end."""
    spans = desk.directory.rows(Span).values()
    return [
        span for span in spans
        if span["kind"] == "crimp" and desk.same("cable_end_id", span["cable_end_id"], end["id"])
    ]  # fmt: skip


def _start_new_series(desk: Desk, end: Row, cells: Mapping[str, str]) -> None:
    """Say of the crimps watched on an end that they were remade."""
    said = {"action": REMADE, "serviced_at": cells["made_at"], "build": build_of_end(desk, end)}
    if "operator" in cells:
        said["operator"] = cells["operator"]
    for span in _crimps_on(desk, end):
        record_line(desk, "services", {**said, "span": span["tag"]})


def _watch(desk: Desk, end: Row, place: str | None) -> str | None:
    """The tag of the span newly watched; '' where it was watched before; None where no place is known."""
    tag, build_id = f"{end['tag']}/crimp", desk.directory.build_of(CableEnd, end)
    if _crimps_on(desk, end) or desk.directory.find(Span, tag, build_id) is not None:
        return ""
    where = place or end["place"]
    if where not in PLACES:
        return None
    line = {"span": tag, "kind": "crimp", "place": where, "cable_end": end["tag"]}
    record_line(desk, "spans", {**line, "build": build_of_end(desk, end)})
    return tag


def now_text(now: datetime) -> str:
    """A moment as it would be typed."""
    return now.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
