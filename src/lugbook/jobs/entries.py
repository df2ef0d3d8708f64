"""How one line of each kind becomes facts; readings, of which there are many, have a file of their own."""

from collections.abc import Callable, Mapping
from typing import Any

from lugbook.errors import Refusal, nearest
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Mismatch, Row
from lugbook.records.facts import Fact
from lugbook.records.tables import (
    Build,
    Cable,
    CableEnd,
    Calibration,
    Conductor,
    Instrument,
    InstrumentRange,
    Landing,
    Lug,
    Operator,
    Pull,
    Recipe,
    Service,
    Span,
    Terminal,
    Tool,
)  # fmt: skip
from lugbook.units.sizes import read_size

SIDES = ("A", "B")

Writer = Callable[[Desk, Entry], bool]


def enter_build(desk: Desk, entry: Entry) -> bool:
    """A build; its zone defaults to UTC."""
    cells = entry.cells
    old = desk.directory.find(Build, cells["build"])
    zone = cells.get("zone") or (old["zone"] if old else "UTC")
    fact = {"name": cells["build"], "description": cells.get("description"), "zone": zone}
    return desk.enter_once(Build, old, fact, entry)


def enter_conductor(desk: Desk, entry: Entry) -> bool:
    """A conductor; its area defaults to the nominal one of its size."""
    cells = entry.cells
    fact = {
        "name": cells["conductor"],
        **_size(cells["size"]),
        **_said(cells, "strands", "insulation_celsius", "note"),
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
        fact = {"name": name, **_said(entry.cells, *columns)}
        return desk.enter_once(table, desk.directory.find(table, name), fact, entry)

    return enter


def enter_instrument(desk: Desk, entry: Entry) -> bool:
    """An instrument, and its calibration where one is given."""
    cells = entry.cells
    old = desk.directory.find(Instrument, cells["instrument"])
    fact = {
        "name": cells["instrument"],
        **_said(cells, "kind", "percent_of_reading", "counts", "resolution", "unit", "note"),
        **_said(cells, "least", "greatest", "zero_offset"),
    }
    new = desk.enter_once(Instrument, old, fact, entry)
    if cells.get("calibrated_on"):
        instrument = desk.directory.need(Instrument, "instrument", cells["instrument"])
        dates = (cells["calibrated_on"], cells.get("calibration_due"))
        known = {(row["calibrated_on"], row["due_on"]) for row in desk.directory.rows(Calibration).values()
                 if desk.directory.history.current(row["instrument_id"]) == instrument["id"]}  # fmt: skip
        if dates not in known:
            desk.enter(
                Calibration,
                {"instrument_id": instrument["id"], "calibrated_on": dates[0], "due_on": dates[1]},
                entry,
            )
            new = True
    return new


def enter_range(desk: Desk, entry: Entry) -> bool:
    """A further range of an instrument."""
    cells = entry.cells
    instrument = desk.directory.need(Instrument, "instrument", cells["instrument"])
    if cells["unit"] != instrument["unit"]:
        raise Mismatch("unit", cells["unit"], f"{instrument['unit']}, which this instrument reads in")
    fact = {
        "instrument_id": instrument["id"],
        **_said(cells, "greatest", "percent_of_reading", "counts", "resolution"),
    }
    known = {**fact, "greatest": float(cells["greatest"])}
    old = _same(desk, InstrumentRange, known, ("instrument_id", "greatest"))
    return desk.enter_once(InstrumentRange, old, fact, entry)


def enter_recipe(desk: Desk, entry: Entry) -> bool:
    """A recipe; a conductor, lug or tool that the book does not know yet is entered by its name alone."""
    cells = entry.cells
    fact = {
        "name": cells["recipe"],
        "conductor_id": _conductor_of(desk, cells["conductor_size"], entry),
        "lug_id": _part(desk, Lug, cells["lug"], entry),
        "tool_id": _part(desk, Tool, cells["tool"], entry),
        **_said(cells, "die", "presses", "strip_millimetre", "sealing", "compound", "note"),
    }
    return desk.enter_once(Recipe, desk.directory.find(Recipe, cells["recipe"]), fact, entry)


def enter_cable(desk: Desk, entry: Entry) -> bool:
    """A cable with its two ends."""
    cells = entry.cells
    build = desk.directory.build(cells.get("build"))
    conductor = desk.directory.need(Conductor, "conductor", cells["conductor"])
    fact = {
        "build_id": build["id"], "tag": cells["cable"], "conductor_id": conductor["id"],
        **_said(cells, "length_metre", "note"),
    }  # fmt: skip
    old = desk.directory.find(Cable, cells["cable"], build["id"])
    new = desk.enter_once(Cable, old, fact, entry)
    cable = desk.directory.need(Cable, "cable", cells["cable"], build["id"])
    for side, place in zip(SIDES, (cells.get("from_place"), cells.get("to_place")), strict=True):
        tag = f"{cells['cable']}{side}"
        end = {"cable_id": cable["id"], "side": side, "tag": tag, "place": place}
        known = desk.directory.find(CableEnd, tag, build["id"])
        if known is not None:
            end["cable_id"] = known["cable_id"]
        new = desk.enter_once(CableEnd, known, end, entry) or new
    return new


def enter_landing(desk: Desk, entry: Entry) -> bool:
    """A landing."""
    cells = entry.cells
    build = desk.directory.build(cells.get("build"))
    fact = {
        "build_id": build["id"], "tag": cells["landing"],
        **_said(cells, "kind", "hardware", "torque_newton_metre", "note"),
    }  # fmt: skip
    return desk.enter_once(Landing, desk.directory.find(Landing, cells["landing"], build["id"]), fact, entry)


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
        "cable_end_id": end["id"], "recipe_id": recipe["id"], "made_at": _past(desk, "made_at", entry),
        "operator_id": operator_of(desk, cells.get("operator"), entry),
        "landing_id": landing["id"] if landing else None, "note": cells.get("note"),
    }  # fmt: skip
    old = _same(desk, Terminal, fact, ("cable_end_id", "made_at"))
    return desk.enter_once(Terminal, old, fact, entry)


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
        **_said(cells, "kind", "place", "limit_microohm", "probe_millimetre", "placement_millimetre", "note"),
        "cable_end_id": end["id"] if end else None, "landing_id": landing["id"] if landing else None,
    }  # fmt: skip
    return desk.enter_once(Span, directory.find(Span, cells["span"], build["id"]), fact, entry)


def _refuse_probes_beyond(desk: Desk, end: Row, probe_millimetre: str, entry: Entry) -> None:
    cable = desk.directory.row(Cable, end["cable_id"])
    if float(probe_millimetre) > 1000 * cable["length_metre"]:
        typed = entry.as_typed.get("probe_millimetre", f"{probe_millimetre} mm")
        why = f"{typed} between the probes is more than cable {cable['tag']} is long, {cable['length_metre']:g} m."
        raise Mismatch("probe_millimetre", typed, "a length within the cable", why)


def enter_pull(desk: Desk, entry: Entry) -> bool:
    """A sample pull, or a proof pull of the terminal now on a cable end."""
    cells, directory = entry.cells, desk.directory
    recipe = directory.need(Recipe, "recipe", cells["recipe"])
    instrument = cells.get("instrument")
    fact = {
        "recipe_id": recipe["id"], "kind": cells.get("kind") or "sample", "sample": cells["sample"],
        "pulled_at": _past(desk, "pulled_at", entry), **_said(cells, "pull_newton", "failure", "hold_second", "note"),
        "terminal_id": _terminal_on(desk, cells) if cells.get("cable_end") else None,
        "instrument_id": directory.need(Instrument, "instrument", instrument)["id"] if instrument else None,
        "operator_id": operator_of(desk, cells.get("operator"), entry),
    }  # fmt: skip
    if fact["kind"] == "proof" and fact["terminal_id"] is None:
        raise Mismatch("cable_end", "", "the cable end whose terminal the proof pull was held on")
    return desk.enter_once(
        Pull, _same(desk, Pull, fact, ("recipe_id", "kind", "sample", "pulled_at")), fact, entry
    )


def enter_service(desk: Desk, entry: Entry) -> bool:
    """A service."""
    cells, directory = entry.cells, desk.directory
    build_id = directory.build(cells["build"])["id"] if cells.get("build") else None
    span = directory.need(Span, "span", cells["span"], build_id)
    fact = {
        "span_id": span["id"], "serviced_at": _past(desk, "serviced_at", entry),
        **_said(cells, "action", "torque_newton_metre", "note"),
        "operator_id": operator_of(desk, cells.get("operator"), entry),
    }  # fmt: skip
    return desk.enter_once(
        Service, _same(desk, Service, fact, ("span_id", "serviced_at", "action")), fact, entry
    )


WRITERS: Mapping[str, Writer] = {
    "builds": enter_build,
    "conductors": enter_conductor,
    "lugs": enter_named(Lug, "lug", "barrel_size", "stud_millimetre", "material", "plating", "note"),
    "tools": enter_named(Tool, "tool", "kind", "note"),
    "operators": enter_named(Operator, "operator", "note"),
    "instruments": enter_instrument,
    "ranges": enter_range,
    "recipes": enter_recipe,
    "cables": enter_cable,
    "landings": enter_landing,
    "terminals": enter_terminal,
    "spans": enter_span,
    "pulls": enter_pull,
    "services": enter_service,
}


def operator_of(desk: Desk, name: str | None, entry: Entry) -> int | None:
    """The operator of that name, entered now if new; None where none was named."""
    return _part(desk, Operator, name, entry) if name else None


def _part(desk: Desk, table: type[Fact], name: str, entry: Entry) -> int:
    row = desk.directory.find(table, name)
    return int(row["id"]) if row else desk.enter(table, {"name": name}, Entry({}, {}, entry.import_id))


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


def _past(desk: Desk, column: str, entry: Entry) -> str:
    moment = str(entry.cells[column])
    if moment > desk.latest_utc:
        raise Mismatch(column, entry.as_typed.get(column, moment), "a time that is not in the future")
    return moment


def _same(desk: Desk, table: type[Fact], fact: Mapping[str, Any], key: tuple[str, ...]) -> Row | None:
    for row in desk.directory.rows(table).values():
        if all(desk.same(name, row[name], fact[name]) for name in key):
            return row
    return None


def _said(cells: Mapping[str, Any], *columns: str) -> dict[str, Any]:
    return {name: cells.get(name) for name in columns}
