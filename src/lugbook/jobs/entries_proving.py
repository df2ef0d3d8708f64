"""How a line about proving a crimp becomes facts: pulls, samples, answers to the checklist, reels, prices."""

from collections.abc import Mapping
from typing import Any

from lugbook.assessment.pull_doubts import doubt_pull, word_pull_doubt
from lugbook.assessment.sample_doubts import doubt_sample, word_sample_doubt
from lugbook.assessment.workmanship import checklist_item
from lugbook.jobs.desk import Desk, Entry
from lugbook.jobs.directory import Mismatch, Row
from lugbook.jobs.entering import operator_of, past_moment, said, same_row
from lugbook.jobs.meters import Meters
from lugbook.jobs.reading_doubts import refuse_beyond_meter
from lugbook.jobs.trial_evidence import force_unit, sample_microohm
from lugbook.records.tables import (
    CableEnd,
    Conductor,
    Instrument,
    Price,
    Pull,
    Recipe,
    Reel,
    Sample,
    Terminal,
    WorkmanshipAnswer,
)
from lugbook.records.tables_parts import FAILURES
from lugbook.units.money import read_price
from lugbook.units.wording import word_number

CONFIRM = "If it is right, say --confirm (in a file: yes under confirmed)."


PULL_NEEDS = {
    "pull_newton": 'a pull force like "2400 N"',
    "failure": f"what gave way, one of {', '.join(FAILURES)}",
}


def enter_pull(desk: Desk, entry: Entry) -> bool:
    """A sample pull, or a proof pull of the terminal that was on a cable end."""
    cells, directory = entry.cells, desk.directory
    recipe = directory.need(Recipe, "recipe", cells["recipe"])
    instrument, moment = cells.get("instrument"), past_moment(desk, "pulled_at", entry)
    for column, expected in PULL_NEEDS.items():
        if cells.get(column) is None:
            raise Mismatch(column, "", expected)
    fact = {
        "recipe_id": recipe["id"], "kind": cells.get("kind") or "sample", "sample": cells["sample"],
        "pulled_at": moment, **said(cells, "pull_newton", "failure", "hold_second", "note"),
        "terminal_id": _terminal_on(desk, cells, moment) if cells.get("cable_end") else None,
        "instrument_id": directory.need(Instrument, "instrument", instrument)["id"] if instrument else None,
        "operator_id": operator_of(desk, cells.get("operator"), entry),
        "moved": None if cells.get("moved") is None else int(cells["moved"]),
        "confirmed": 1 if cells.get("confirmed") else None,
    }  # fmt: skip
    if fact["kind"] == "proof" and fact["terminal_id"] is None:
        raise Mismatch("cable_end", "", "the cable end whose terminal the proof pull was held on")
    if fact["kind"] == "proof":
        _refuse_other_recipe(desk, fact["terminal_id"], recipe, cells["cable_end"])
    if fact["kind"] == "sample" and fact["moved"] is not None:
        why = "Moved or still is said of a proof pull, held on a made terminal; a sample is pulled until it gives way."
        raise Mismatch("moved", "", "nothing for a sample pull", why)
    old = same_row(desk, Pull, fact, ("recipe_id", "kind", "sample", "pulled_at"))
    if old is None or desk.amendment is not None:
        _refuse_pulled_before(desk, recipe, fact)
    if (old is None or desk.amendment is not None) and not fact["confirmed"]:
        _refuse_doubtful(desk, recipe, fact, entry)
    return desk.enter_once(Pull, old, fact, entry)


def _refuse_pulled_before(desk: Desk, recipe: Row, fact: Mapping[str, Any]) -> None:
    """Raises Mismatch for a sample that gave way once before."""
    if fact["kind"] != "sample" or fact["failure"] == "not to failure":
        return
    for row in pulled_to_failure(desk, recipe):
        amended = desk.amendment is not None and desk.amendment.identity == row["id"]
        if row["sample"] == fact["sample"] and not amended:
            why = (
                f"Sample {row['sample']} of {recipe['name']} was pulled to failure before, at "
                f"{word_number(row['pull_newton'])} N on {row['pulled_at'][:10]}; give this one another number, or put "
                "that pull right with `lugbook pull amend`."
            )
            raise Mismatch("sample", fact["sample"], "a sample that is still whole", why)


def pulled_to_failure(desk: Desk, recipe: Row) -> list[Row]:
    """The pulls of a recipe's samples that gave way."""
    return [
        row for row in desk.directory.rows(Pull).values()
        if row["kind"] == "sample" and row["failure"] != "not to failure"
        and desk.same("recipe_id", row["recipe_id"], recipe["id"])
    ]  # fmt: skip


def _refuse_other_recipe(desk: Desk, terminal_id: int, recipe: Row, end: str) -> None:
    """Raises Mismatch for a proof pull of a terminal that another recipe made."""
    made_by = desk.directory.row(Terminal, terminal_id)["recipe_id"]
    if not desk.same("recipe_id", made_by, recipe["id"]):
        name = desk.directory.name(Recipe, made_by)
        why = f"The terminal on {end} was made by recipe {name}, not by {recipe['name']}; record its pull under {name}."
        raise Mismatch("recipe", recipe["name"], f"{name}, which made the terminal", why)


def _refuse_doubtful(desk: Desk, recipe: Row, fact: Mapping[str, Any], entry: Entry) -> None:
    """Raises Mismatch for a force that its conductor could not hold, or that is a unit away from its siblings."""
    amended = desk.amendment.identity if desk.amendment is not None else None
    others = [
        row["pull_newton"]
        for row in pulled_to_failure(desk, recipe)
        if fact["kind"] == "sample" and row["id"] != amended
    ]
    area_mm2 = desk.directory.row(Conductor, recipe["conductor_id"])["area_mm2"]
    typed = entry.as_typed.get("pull_newton", f"{fact['pull_newton']} N")
    found = doubt_pull(float(fact["pull_newton"]), area_mm2, others, force_unit(typed))
    if found is not None:
        told = word_pull_doubt(found)
        end = "." if found.code == "no force" else f"{'' if told.endswith('?') else '.'} {CONFIRM}"
        why = f"{fact['kind']} pull {fact['sample']} of {recipe['name']}, {typed}: {told}{end}"
        raise Mismatch("pull_newton", typed, "a force that its conductor can hold", why)


def enter_sample(desk: Desk, entry: Entry) -> bool:
    """A sample; its drop and its current belong together."""
    cells = entry.cells
    recipe = desk.directory.need(Recipe, "recipe", cells["recipe"])
    if (cells.get("drop_millivolt") is None) != (cells.get("current_ampere") is None):
        missing = "current_ampere" if cells.get("current_ampere") is None else "drop_millivolt"
        why = "A drop without its current, or a current without its drop, is no resistance; type both."
        raise Mismatch(missing, "", "the other half of a resistance", why)
    if cells.get("drop_millivolt") is not None and not float(cells["drop_millivolt"]) > 0:
        raise Mismatch("drop_millivolt", cells["drop_millivolt"], "a drop above zero")
    fact = {
        "recipe_id": recipe["id"], "sample": cells["sample"], "tested_at": past_moment(desk, "tested_at", entry),
        **said(cells, "drop_millivolt", "current_ampere", "joint_celsius", "length_millimetre"),
        **said(cells, "width_millimetre", "height_millimetre", "strands_cut", "note"),
        **_meters_of(desk, cells),
        "ears": None if cells.get("ears") is None else int(cells["ears"]),
        "operator_id": operator_of(desk, cells.get("operator"), entry),
    }  # fmt: skip
    old = same_row(desk, Sample, fact, ("recipe_id", "sample"))
    _refuse_doubtful_resistance(desk, recipe, old, fact)
    return desk.enter_once(Sample, old, fact, entry)


def _refuse_doubtful_resistance(desk: Desk, recipe: Row, old: Row | None, fact: Mapping[str, Any]) -> None:
    """Raises Mismatch for a resistance that no crimp on this conductor has; what stands is left in peace."""
    old = desk.row_for(Sample, old)
    measured = ("drop_millivolt", "current_ampere", "length_millimetre", "joint_celsius")
    whole = {name: fact[name] if fact[name] is not None or old is None else old[name] for name in measured}
    numbers = {name: None if value is None else float(value) for name, value in whole.items()}
    if old is not None and all(numbers[name] == old[name] for name in measured):
        return
    if not numbers["drop_millivolt"] or not numbers["current_ampere"] or not numbers["length_millimetre"]:
        return
    conductor = desk.directory.row(Conductor, recipe["conductor_id"])
    found = doubt_sample(
        sample_microohm(numbers),
        numbers["length_millimetre"] / 1000,
        conductor["area_mm2"],
        tinned=bool(conductor["tinned"]),
    )
    if found is not None:
        why = (
            f"sample {fact['sample']} of {recipe['name']}: {word_sample_doubt(found)} If it truly read so, leave the "
            "drop out and say it in the note; if the conductor is another, `lugbook conductor amend` puts it right."
        )
        raise Mismatch("drop_millivolt", str(fact["drop_millivolt"]), "a drop that a crimp can have", why)


def _meters_of(desk: Desk, cells: Mapping[str, Any]) -> dict[str, int | None]:
    """What drop and current were read with; each must be able to show what was read. Raises Mismatch."""
    named: dict[str, int | None] = {}
    for heading, column in (
        ("voltage_instrument", "drop_millivolt"),
        ("current_instrument", "current_ampere"),
    ):
        named[f"{heading}_id"] = None
        if cells.get(heading):
            identity = desk.directory.need(Instrument, heading, cells[heading])["id"]
            refuse_beyond_meter(Meters(desk.directory), identity, column, cells.get(column))
            named[f"{heading}_id"] = identity
    return named


def enter_answer(desk: Desk, entry: Entry) -> bool:
    """An answer of a terminal or of a sample. Raises ItemUnknown."""
    cells = entry.cells
    moment = past_moment(desk, "looked_at", entry)
    of_end, of_sample = bool(cells.get("cable_end")), bool(cells.get("sample"))
    if of_end == of_sample:
        why = "An answer is of the terminal on a cable end, or of a sample of a recipe; name one of the two."
        raise Mismatch(
            "cable_end", cells.get("cable_end") or "", "a cable end, or a recipe with a sample", why
        )
    fact = {
        "terminal_id": _terminal_on(desk, cells, moment) if of_end else None,
        "sample_id": sample_named(desk, cells)["id"] if of_sample else None,
        "item": checklist_item(cells["item"]).code, "answer": cells["answer"], "looked_at": moment,
        "operator_id": operator_of(desk, cells.get("operator"), entry), "note": cells.get("note"),
    }  # fmt: skip
    old = same_row(desk, WorkmanshipAnswer, fact, ("terminal_id", "sample_id", "item", "looked_at"))
    return desk.enter_once(WorkmanshipAnswer, old, fact, entry)


def sample_named(desk: Desk, cells: Mapping[str, Any]) -> Row:
    """The sample of a recipe by its number. Raises Mismatch."""
    if not cells.get("recipe"):
        raise Mismatch("recipe", "", "the recipe of the sample")
    recipe = desk.directory.need(Recipe, "recipe", cells["recipe"])
    key = {"recipe_id": recipe["id"], "sample": cells["sample"]}
    row = same_row(desk, Sample, key, tuple(key))
    if row is None:
        raise Mismatch("sample", cells["sample"], f"a sample of {recipe['name']} that is in this book")
    return row


def enter_reel(desk: Desk, entry: Entry) -> bool:
    """A reel."""
    cells = entry.cells
    fact = {
        "name": cells["reel"],
        "conductor_id": desk.directory.need(Conductor, "conductor", cells["conductor"])["id"],
        **said(cells, "length_metre", "count", "note"),
    }
    return desk.enter_once(Reel, desk.directory.find(Reel, cells["reel"]), fact, entry)


def enter_price(desk: Desk, entry: Entry) -> bool:
    """A price."""
    cells = entry.cells
    amount, currency = read_price(cells["price"])
    fact = {
        "name": cells["what"], "amount": amount, "currency": currency, "unit": cells["per"],
        "note": cells.get("note"),
    }  # fmt: skip
    return desk.enter_once(Price, desk.directory.find(Price, cells["what"]), fact, entry)


def end_named(desk: Desk, cells: Mapping[str, Any]) -> Row:
    """The cable end that a line names. Raises Mismatch."""
    build = desk.directory.build(cells.get("build"))
    return desk.directory.need(CableEnd, "cable_end", cells["cable_end"], build["id"])


def terminals_on(desk: Desk, end: Row) -> list[Row]:
    """The terminals made on an end, the latest last."""
    every = desk.directory.rows(Terminal).values()
    made = [row for row in every if desk.same("cable_end_id", row["cable_end_id"], end["id"])]
    return sorted(made, key=lambda row: str(row["made_at"]))


def _terminal_on(desk: Desk, cells: Mapping[str, Any], moment: str) -> int:
    """The terminal that was on an end at a moment, else the first one made on it. Raises Mismatch."""
    made = terminals_on(desk, end_named(desk, cells))
    if not made:
        raise Mismatch("cable_end", cells["cable_end"], "an end on which a terminal has been made")
    by_then = [row for row in made if row["made_at"] <= moment]
    return int((by_then or made[:1])[-1]["id"])
