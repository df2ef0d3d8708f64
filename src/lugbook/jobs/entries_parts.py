"""How a line about what terminals are made of becomes facts."""

from collections.abc import Callable
from typing import Any

from lugbook.assessment.pull_minima import STANDARDS, minimum_for
from lugbook.errors import Refusal, nearest
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Mismatch, Row
from lugbook.jobs.entering import part_named, said
from lugbook.records.facts import Fact
from lugbook.records.tables import (
    Conductor,
    Lug,
    Recipe,
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
        **said(cells, "strands", "strand_class", "insulation_celsius", "note"),
    }
    old = desk.directory.find(Conductor, cells["conductor"])
    area_mm2 = cells.get("area_mm2")
    if area_mm2 is not None and not _is_of_former_size(desk.row_for(Conductor, old), fact["size"], area_mm2):
        fact["area_mm2"] = area_mm2
    elif old is not None and old["size"] == fact["size"]:
        del fact["area_mm2"]
    if cells.get("tinned") is not None:
        fact["tinned"] = int(cells["tinned"])
    return desk.enter_once(Conductor, old, fact, entry)


def _is_of_former_size(was: Row | None, size: str, area_mm2: str) -> bool:
    """Whether an area is only the nominal one of the size which an amended conductor no longer has."""
    if was is None or was["size"] == size:
        return False
    return bool(was["area_mm2"] == float(area_mm2) == float(read_size(was["size"]).area_text))


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
        **said(cells, "joining", "press_order", "crimp_millimetre", "share_percent"),
    }
    if cells.get("pull_standard"):
        conductor = desk.directory.row(Conductor, fact["conductor_id"])
        fact["pull_standard"] = covering_standard(cells["pull_standard"], conductor)
    return desk.enter_once(Recipe, desk.directory.find(Recipe, cells["recipe"]), fact, entry)


def covering_standard(typed: str, conductor: Row) -> str:
    """A pull standard by its name, capitals or not. Raises StandardUnknown, SizeNotCovered for this conductor."""
    standard = next((name for name in STANDARDS if name.casefold() == typed.casefold()), typed)
    return minimum_for(standard, read_size(conductor["size"]), conductor["area_mm2"]).standard


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
