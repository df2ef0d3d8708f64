"""Recording work on a span: as found, what was done, as left."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

from lugbook.exchange.cells import word_of_choice
from lugbook.jobs.desk import Desk
from lugbook.jobs.entries_proving import terminals_on
from lugbook.jobs.reading_defaults import with_defaults
from lugbook.jobs.recording import open_desk, record_line
from lugbook.jobs.remaking import REMADE, record_terminal
from lugbook.records.logbook import Logbook
from lugbook.records.store import Book
from lugbook.records.tables import CableEnd, Recipe, Span


@dataclass(frozen=True)
class Serviced:
    """What recording a service entered."""

    action: str
    """What was done, in the book's word for it."""
    readings: int
    """How many were new."""
    end: str | None
    """The cable end that got a new terminal; None where none did."""
    recipe: str | None


def record_service(
    book: Book,
    cells: Mapping[str, str],
    now: datetime,
    *,
    found: str | None = None,
    left: str | None = None,
    reading: Mapping[str, str],
    recipe: str | None = None,
) -> Serviced:
    """Enter a service and its readings as found and as left; the service starts a new series.

    `found` and `left` are drops as typed; `reading` holds what both share (current, temperature, instruments).
    The end of a remade crimp gets a new terminal, by `recipe` or by that of the one before; so does any other work
    for which a recipe is named. Raises LineRefused, SayMore.
    """
    moment = cells.get("serviced_at", now.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ"))
    shared = {key: value for key, value in cells.items() if key in ("span", "build", "operator")} | dict(
        reading
    )
    with book.writing() as connection:
        desk = open_desk(Logbook(connection, now), now)
        record_line(desk, "services", {**cells, "serviced_at": moment})
        action = word_of_choice(cells["action"])
        end, by_recipe = _remake(desk, {**cells, "action": action}, moment, recipe)
        new = 0
        for stage, drop in (("as found", found), ("as left", left)):
            if drop is not None:
                line = {**shared, "drop_millivolt": drop, "stage": stage}
                if "serviced_at" in cells:  # else it is of now, and of the round that is open
                    line["taken_at"] = moment
                new += record_line(desk, "readings", with_defaults(desk, line, now)).new
    return Serviced(action, new, end, by_recipe)


def _remake(
    desk: Desk, cells: Mapping[str, str], moment: str, recipe: str | None
) -> tuple[str | None, str | None]:
    """A new terminal on the end of the span, where the work made one: its end and its recipe."""
    directory = desk.directory
    build_id = directory.build(cells["build"])["id"] if "build" in cells else None
    span = directory.need(Span, "span", cells["span"], build_id)  # the service was entered, so both are known
    remade = span["kind"] == "crimp" and cells["action"] == REMADE
    if span["cable_end_id"] is None or (recipe is None and not remade):
        return None, None
    end = directory.row(CableEnd, span["cable_end_id"])
    before = terminals_on(desk, end)
    if recipe is None and not before:
        return None, None
    by_recipe = recipe or directory.name(Recipe, before[-1]["recipe_id"])
    shared = {"operator": cells["operator"]} if "operator" in cells else {}
    record_terminal(desk, end, {**shared, "recipe": by_recipe, "made_at": moment})
    return str(end["tag"]), by_recipe
