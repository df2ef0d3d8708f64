"""How a line about one build becomes facts: cables, landings, terminals, spans."""

from collections.abc import Mapping, Sequence
from typing import Any

from lugbook.errors import quoted
from lugbook.exchange.cells import LONGEST_LABEL
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Mismatch, Row
from lugbook.jobs.entering import operator_of, past_moment, said, same_row
from lugbook.jobs.listed_cells import PLANNED
from lugbook.records.facts import Fact
from lugbook.records.tables import (
    Build,
    Cable,
    CableEnd,
    Conductor,
    Landing,
    Reading,
    Recipe,
    Service,
    Span,
    Terminal,
)
from lugbook.units.money import read_price

SIDES = ("A", "B")


def enter_build(desk: Desk, entry: Entry) -> bool:
    """A build; its zone defaults to UTC."""
    cells = entry.cells
    old = desk.directory.find(Build, cells["build"])
    zone = cells.get("zone") or (old["zone"] if old else "UTC")
    fact = {"name": cells["build"], "description": cells.get("description"), "zone": zone}
    return desk.enter_once(Build, old, fact, entry)


def enter_cable(desk: Desk, entry: Entry) -> bool:
    """A cable with its two ends; a cable called otherwise keeps them, and they and the spans on them follow its tag."""
    cells = entry.cells
    build = desk.directory.build(cells.get("build"))
    conductor = desk.directory.need(Conductor, "conductor", cells["conductor"])
    fact = {
        "build_id": build["id"], "tag": cells["cable"], "conductor_id": conductor["id"],
        **said(cells, "length_metre", "note", *PLANNED), **_quoted(cells.get("quoted_price")),
        "recipe_id": desk.directory.need(Recipe, "recipe", cells["recipe"])["id"] if cells.get("recipe") else None,
    }  # fmt: skip
    old = desk.directory.find(Cable, cells["cable"], build["id"])
    if old is None:
        _refuse_too_long(cells["cable"])
    if fact["recipe_id"] is not None:
        _refuse_other_size(desk, Cable, old, fact, conductor, f"Cable {cells['cable']} is")
    was = desk.row_for(Cable, old)
    ends = _ends_of(desk, was)
    on_it = [end["id"] for end in ends.values()]
    _refuse_moved(desk, Cable, was, build, {Terminal: ("cable_end_id", on_it), Span: ("cable_end_id", on_it)})
    new = desk.enter_once(Cable, old, fact, entry)
    cable = desk.directory.need(Cable, "cable", cells["cable"], build["id"])
    for side, place in zip(SIDES, (cells.get("from_place"), cells.get("to_place")), strict=True):
        known = ends.get(side)
        end = {
            "cable_id": known["cable_id"] if known else cable["id"], "side": side, "tag": f"{cable['tag']}{side}",
            "place": place,
        }  # fmt: skip
        new = desk.enter_once(CableEnd, known, end, entry) or new
    if was is not None and was["tag"] != cable["tag"]:
        _call_spans_anew(desk, was, cable, entry)
    return new


def _ends_of(desk: Desk, cable: Row | None) -> dict[str, Row]:
    """The ends of a cable by side; none of a cable that is new."""
    if cable is None:
        return {}
    ends = desk.directory.rows(CableEnd).values()
    return {end["side"]: end for end in ends if desk.same("cable_id", end["cable_id"], cable["id"])}


def _refuse_moved(
    desk: Desk,
    table: type[Fact],
    was: Row | None,
    build: Row,
    leaning: Mapping[type[Fact], tuple[str, Sequence[int]]],
) -> None:
    """Raises Mismatch for a row that would go to another build and leave behind what leans on it.

    `leaning`: the column by which the rows of a table would name it or its ends, and the identities of those.
    """
    if was is None or desk.same("build_id", was["build_id"], build["id"]):
        return
    for other, (column, identities) in leaning.items():
        for row in desk.directory.rows(other).values():
            if any(desk.same(column, row[column], identity) for identity in identities):
                word, held = str(table.__tablename__), desk.directory.name(Build, was["build_id"])
                why = (
                    f"{word.capitalize()} {was['tag']} stays in {held}, where the book holds a {other.__tablename__} "
                    f"on it; enter another {word} in {build['name']} instead."
                )
                raise Mismatch("build", build["name"], held, why)


def _call_spans_anew(desk: Desk, was: Row, cable: Row, entry: Entry) -> None:
    """Let the spans on the ends of a cable that are called after it follow its new tag: C1A/crimp, C1/whole."""
    ends, directory = {end["id"] for end in _ends_of(desk, cable).values()}, desk.directory
    before = tuple(f"{was['tag']}{side}/" for side in ("", *SIDES))
    for span in list(directory.rows(Span).values()):
        is_on_it = directory.history.current(span["cable_end_id"] or 0) in ends
        if is_on_it and span["tag"].startswith(before):
            tag = f"{cable['tag']}{span['tag'].removeprefix(was['tag'])}"
            taken = directory.find(Span, tag, directory.build_of(Span, span))
            desk.refuse_second(Span, taken, span["id"])
            desk.enter_once(Span, span, {"tag": tag}, entry)


def _refuse_too_long(tag: str) -> None:
    """Raises Mismatch for a tag to which "A/crimp" cannot be put without being longer than a tag may be."""
    longest = LONGEST_LABEL - len("A/crimp")
    if len(tag) > longest:
        why = (
            f"The cable tag {quoted(tag)} has {len(tag)} letters; give it at most {longest}, so that the crimps on its "
            "ends, like C12A/crimp, can be named after it."
        )
        raise Mismatch("cable", tag, f"at most {longest} letters", why)


def _quoted(price: str | None) -> dict[str, str | None]:
    amount, currency = read_price(price) if price else (None, None)
    return {"quoted_amount": amount, "quoted_currency": currency}


def enter_landing(desk: Desk, entry: Entry) -> bool:
    """A landing."""
    cells = entry.cells
    build = desk.directory.build(cells.get("build"))
    fact = {
        "build_id": build["id"], "tag": cells["landing"],
        **said(cells, "kind", "hardware", "torque_newton_metre", "maker_torque_newton_metre", "note"),
    }  # fmt: skip
    old = desk.directory.find(Landing, cells["landing"], build["id"])
    was = desk.row_for(Landing, old)
    at_it = [was["id"]] if was else []
    _refuse_moved(desk, Landing, was, build, {Terminal: ("landing_id", at_it), Span: ("landing_id", at_it)})
    return desk.enter_once(Landing, old, fact, entry)


def enter_terminal(desk: Desk, entry: Entry) -> bool:
    """A terminal; the same end made again at another time is a new terminal."""
    cells, directory = entry.cells, desk.directory
    build = directory.build(cells.get("build"))
    end = directory.need(CableEnd, "cable_end", cells["cable_end"], build["id"])
    recipe = directory.need(Recipe, "recipe", cells["recipe"])
    landing = (
        directory.need(Landing, "landing", cells["landing"], build["id"]) if cells.get("landing") else None
    )
    fact = {
        "cable_end_id": end["id"], "recipe_id": recipe["id"], "made_at": past_moment(desk, "made_at", entry),
        "operator_id": operator_of(desk, cells.get("operator"), entry),
        "landing_id": landing["id"] if landing else None, **said(cells, "die", "note"),
    }  # fmt: skip
    old = same_row(desk, Terminal, fact, ("cable_end_id", "made_at"))
    cable = directory.row(Cable, end["cable_id"])
    conductor = directory.row(Conductor, cable["conductor_id"])
    _refuse_other_size(desk, Terminal, old, fact, conductor, f"{end['tag']} is on a cable")
    return desk.enter_once(Terminal, old, fact, entry)


def _refuse_other_size(
    desk: Desk, table: type[Fact], old: Row | None, fact: Mapping[str, Any], conductor: Row, what: str
) -> None:
    """Raises Mismatch for a recipe that is for another size than a conductor has; what stands is left in peace."""
    old = desk.row_for(table, old)
    columns = [name for name in ("recipe_id", "conductor_id") if name in fact]
    if old is not None and all(desk.same(name, old[name], fact[name]) for name in columns):
        return
    recipe = desk.directory.row(Recipe, fact["recipe_id"])
    meant_for, size = desk.directory.row(Conductor, recipe["conductor_id"])["size"], conductor["size"]
    if meant_for != size:
        why = (
            f"{what} of {size}, and recipe {recipe['name']} is for {meant_for}; name a recipe for {size}, "
            "or put the conductor right with `lugbook cable amend`."
        )
        raise Mismatch("recipe", recipe["name"], f"a recipe for {size}", why)


def enter_span(desk: Desk, entry: Entry) -> bool:
    """A span; its cable end and landing, where given, must be of the same build."""
    cells, directory = entry.cells, desk.directory
    build = directory.build(cells.get("build"))
    end = (
        directory.need(CableEnd, "cable_end", cells["cable_end"], build["id"])
        if cells.get("cable_end")
        else None
    )
    landing = (
        directory.need(Landing, "landing", cells["landing"], build["id"]) if cells.get("landing") else None
    )
    if end and cells.get("probe_millimetre"):
        _refuse_probes_beyond(desk, end, cells["probe_millimetre"], entry)
    fact = {
        "build_id": build["id"], "tag": cells["span"],
        **said(cells, "kind", "place", "duty", "limit_microohm", "probe_millimetre", "placement_millimetre", "note"),
        "cable_end_id": end["id"] if end else None, "landing_id": landing["id"] if landing else None,
    }  # fmt: skip
    old = directory.find(Span, cells["span"], build["id"])
    was = desk.row_for(Span, old)
    of_it = [was["id"]] if was else []
    _refuse_moved(desk, Span, was, build, {Reading: ("span_id", of_it), Service: ("span_id", of_it)})
    return desk.enter_once(Span, old, fact, entry)


def _refuse_probes_beyond(desk: Desk, end: Row, probe_millimetre: str, entry: Entry) -> None:
    cable = desk.directory.row(Cable, end["cable_id"])
    if float(probe_millimetre) > 1000 * cable["length_metre"]:
        typed = entry.as_typed.get("probe_millimetre", f"{probe_millimetre} mm")
        why = f"{typed} between the probes is more than cable {cable['tag']} is long, {cable['length_metre']:g} m."
        raise Mismatch("probe_millimetre", typed, "a length within the cable", why)
