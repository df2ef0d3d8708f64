"""How a line about what terminals are made of becomes facts."""

from collections.abc import Callable, Mapping
from typing import Any

from lugbook.errors import Refusal, nearest
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Mismatch, Row
from lugbook.jobs.entering import operator_of, part_named, past_moment, said, same_row
from lugbook.records.facts import Fact
from lugbook.records.tables import (
    CableEnd,
    Conductor,
    Instrument,
    Lug,
    Pull,
    Recipe,
    Terminal,
    Tool,
)
from lugbook.units.sizes import read_size

Writer = Callable[[Desk, Entry], bool]


def enter_conductor(desk: Desk, entry: Entry) -> bool:
    """A conductor; its area defaults to the nominal one of its size."""
    cells = entry.cells
    fact = {
        "name": cells["conductor"],
        **_size(cells["size"]),
        **said(cells, "strands", "insulation_celsius", "note"),
    }
    old = desk.directory.find(Conductor, cells["conductor"])
    if cells.get("area_mm2") is not None:
        fact["area_mm2"] = cells["area_mm2"]
    elif old is not None and old["size"] == fact["size"]:
        del fact["area_mm2"]
    if cells.get("tinned") is not None:
        fact["tinned"] = int(cells["tinned"])
    return desk.enter_once(Conductor, old, fact, entry)


def enter_named(table: type[Fact], heading: str, *columns: str) -> Writer:
    """A writer for the kinds that are a name and a few words."""

    def enter(desk: Desk, entry: Entry) -> bool:
        name = entry.cells[heading]
        fact = {"name": name, **said(entry.cells, *columns)}
        return desk.enter_once(table, desk.directory.find(table, name), fact, entry)

    return enter


def enter_recipe(desk: Desk, entry: Entry) -> bool:
    """A recipe; a conductor, lug or tool that the book does not know yet is entered by its name alone."""
    cells = entry.cells
    fact = {
        "name": cells["recipe"],
        "conductor_id": _conductor_of(desk, cells["conductor_size"], entry),
        "lug_id": part_named(desk, Lug, cells["lug"], entry),
        "tool_id": part_named(desk, Tool, cells["tool"], entry),
        **said(cells, "die", "presses", "strip_millimetre", "sealing", "compound", "note"),
    }
    return desk.enter_once(Recipe, desk.directory.find(Recipe, cells["recipe"]), fact, entry)


def enter_pull(desk: Desk, entry: Entry) -> bool:
    """A sample pull, or a proof pull of the terminal now on a cable end."""
    cells, directory = entry.cells, desk.directory
    recipe = directory.need(Recipe, "recipe", cells["recipe"])
    instrument = cells.get("instrument")
    fact = {
        "recipe_id": recipe["id"], "kind": cells.get("kind") or "sample", "sample": cells["sample"],
        "pulled_at": past_moment(desk, "pulled_at", entry),
        **said(cells, "pull_newton", "failure", "hold_second", "note"),
        "terminal_id": _terminal_on(desk, cells) if cells.get("cable_end") else None,
        "instrument_id": directory.need(Instrument, "instrument", instrument)["id"] if instrument else None,
        "operator_id": operator_of(desk, cells.get("operator"), entry),
    }  # fmt: skip
    if fact["kind"] == "proof" and fact["terminal_id"] is None:
        raise Mismatch("cable_end", "", "the cable end whose terminal the proof pull was held on")
    return desk.enter_once(
        Pull, same_row(desk, Pull, fact, ("recipe_id", "kind", "sample", "pulled_at")), fact, entry
    )


def _conductor_of(desk: Desk, size: str, entry: Entry) -> int:
    """The conductor of that name, else the only one of that size, else a new one known by its size alone."""
    row = desk.directory.find(Conductor, size)
    if row is not None:
        return int(row["id"])
    try:
        text = _size(size)["size"]
    except Refusal as refusal:
        expected = (
            f"the name of a conductor{nearest(size, desk.directory.names(Conductor))}, or a size like 2/0 AWG"
        )
        raise Mismatch("conductor_size", size, expected) from refusal
    same = [row for row in desk.directory.rows(Conductor).values() if row["size"] == text]
    if len(same) > 1:
        names = ", ".join(row["name"] for row in same)
        raise Mismatch("conductor_size", size, f"the name of one of the conductors of that size: {names}")
    return int(same[0]["id"]) if same else desk.enter(Conductor, {"name": size, **_size(size)}, Entry({}))


def _size(text: str) -> dict[str, Any]:
    size = read_size(text)
    return {"size": size.text, "size_system": size.system, "area_mm2": size.area_text}


def _terminal_on(desk: Desk, cells: Mapping[str, Any]) -> int:
    build = desk.directory.build(cells.get("build"))
    end = desk.directory.need(CableEnd, "cable_end", cells["cable_end"], build["id"])
    made = terminals_on(desk, end)
    if not made:
        raise Mismatch("cable_end", cells["cable_end"], "an end on which a terminal has been made")
    return int(made[-1]["id"])


def terminals_on(desk: Desk, end: Row) -> list[Row]:
    """The terminals made on an end, the latest last."""
    every = desk.directory.rows(Terminal).values()
    made = [row for row in every if desk.same("cable_end_id", row["cable_end_id"], end["id"])]
    return sorted(made, key=lambda row: str(row["made_at"]))
