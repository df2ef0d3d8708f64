"""Making terminals, one or many, with the last one's particulars unless said otherwise."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from lugbook.assessment.qualification import REFUSED, qualify_recipe
from lugbook.errors import AlreadyMade, LineRefused, SayMore
from lugbook.exchange.layouts import LAYOUTS
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Directory, Mismatch, Row
from lugbook.jobs.entries_proving import terminals_on
from lugbook.jobs.photographs import keep_original
from lugbook.jobs.recording import fault_of, open_desk, record_line, sentence_of
from lugbook.jobs.trial_evidence import gather_recipe, proving_recipe
from lugbook.records.logbook import Logbook
from lugbook.records.questions import last_row
from lugbook.records.store import Book
from lugbook.records.tables import CableEnd, Operator, Photo, Recipe, Span, Terminal
from lugbook.records.tables_build import PLACES


@dataclass(frozen=True)
class Made:
    """What making terminals entered: which ends are new, which spans are now watched, which have no place yet."""

    recipe: str
    ends: tuple[str, ...]
    spans: tuple[str, ...]
    placeless: tuple[str, ...]
    refused: str  # the recipe whose samples refuse it, by name; '' where none do


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
        for end in ends:
            before = _made_on(desk, end, cells.get("build"))
            if before is not None and not remake:
                raise AlreadyMade(end, before["made_at"][:10])
            if record_line(desk, "terminals", {**whole, "cable_end": end}).new:
                made.append(end)
            if before is not None:
                _start_new_series(desk, end, whole)
            watched = _watch(desk, end, whole, place)
            if watched is None:
                placeless.append(end)
            elif watched:
                spans.append(watched)
        refused = _refused(desk.directory, whole)
    return Made(whole["recipe"], tuple(made), tuple(spans), tuple(placeless), refused)


def attach_photo(
    book: Book,
    end: str,
    content: bytes,
    file_name: str,
    now: datetime,
    *,
    build: str | None,
    note: str | None,
) -> str:
    """Note the digest of a photo of the terminal now on an end, and keep the original beside the book.

    Returns the digest. Raises LineRefused, PhotoUnusable, FileUnwritable.
    """
    from lugbook.reports.photographs import check_photo

    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        try:
            build_id = desk.directory.build(build)["id"]
            row = desk.directory.need(CableEnd, "cable_end", end, build_id)
        except Mismatch as wrong:
            raise LineRefused(sentence_of(fault_of(1, wrong), LAYOUTS["terminals"])) from wrong
        made = terminals_on(desk, row)
        if not made:
            raise LineRefused(f"{end} has no terminal yet; make the terminal first.")
        check_photo(content, file_name)
        digest = keep_original(book.path, content)
        fact = {
            "terminal_id": made[-1]["id"], "digest": digest,
            "byte_count": len(content), "file_name": file_name, "note": note,
        }  # fmt: skip
        desk.enter(Photo, fact, Entry({}))
    return digest


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


def _made_on(desk: Desk, end: str, build: str | None) -> Row | None:
    """The newest terminal on an end; None where there is none, or no such end."""
    try:
        row = desk.directory.find(CableEnd, end, desk.directory.build(build)["id"])
    except Mismatch:
        return None
    made = terminals_on(desk, row) if row is not None else []
    return made[-1] if made else None


def _refused(directory: Directory, cells: Mapping[str, str]) -> str:
    """The name of the recipe that proves these terminals, where its samples refuse it; else ''."""
    recipe = directory.find(Recipe, cells["recipe"])
    proved_by = proving_recipe(directory, recipe, cells.get("die", recipe["die"])) if recipe else None
    if proved_by is None or qualify_recipe(gather_recipe(directory, proved_by).evidence).verdict != REFUSED:
        return ""
    return str(proved_by["name"])


def _start_new_series(desk: Desk, end: str, cells: Mapping[str, str]) -> None:
    """Say of the crimps watched on an end that they were remade."""
    shared = {name: cells[name] for name in ("operator", "build") if name in cells}
    for span in list(desk.directory.rows(Span).values()):
        if span["kind"] == "crimp" and desk.directory.name(CableEnd, span["cable_end_id"]) == end:
            line = {**shared, "span": span["tag"], "action": "remade", "serviced_at": cells["made_at"]}
            record_line(desk, "services", line)


def _watch(desk: Desk, end: str, cells: Mapping[str, str], place: str | None) -> str | None:
    """The tag of the span newly watched; '' where it was watched before; None where no place is known."""
    build = desk.directory.build(cells.get("build"))
    row = desk.directory.need(CableEnd, "cable_end", end, build["id"])
    tag = f"{end}/crimp"
    if desk.directory.find(Span, tag, build["id"]) is not None:
        return ""
    where = place or row["place"]
    if where not in PLACES:
        return None
    line = {"build": build["name"], "span": tag, "kind": "crimp", "place": where, "cable_end": end}
    record_line(desk, "spans", line)
    return tag


def now_text(now: datetime) -> str:
    """A moment as it would be typed."""
    return now.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
