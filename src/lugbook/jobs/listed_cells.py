"""What the rows of each kind share when their columns become cells of a table, and the rows of proving a crimp."""

from typing import Any

from lugbook.jobs.directory import Directory, Row
from lugbook.records.tables import Build, CableEnd, Conductor, Instrument, Operator, Recipe, Sample, Terminal

Cells = dict[str, Any]
PLANNED = (
    "route_metre", "service_loop_metre", "bends", "bend_radius_millimetre", "trim_millimetre", "loom_metre",
    "heat_shield_metre", "circuit", "circuit_ampere", "system_volt", "drop_budget_percent",
)  # fmt: skip
"""What is planned of a cable, under the headings of its table."""


def plain(row: Row, *columns: str) -> Cells:
    """Some columns under their own names."""
    return {name: row[name] for name in columns}


def yes_no(value: int | None) -> str | None:
    """The word of a yes-or-no column; None where it says nothing."""
    return None if value is None else ("yes" if value else "no")


def price_text(amount: float | None, currency: str | None) -> str | None:
    """ "4.20 EUR": whole, or with two places; None where there is none."""
    if amount is None:
        return None
    return f"{amount:.0f} {currency}" if amount == int(amount) else f"{amount:.2f} {currency}"


def sample_cells(directory: Directory, row: Row) -> Cells:
    """A sample."""
    measured = ("drop_millivolt", "current_ampere", "joint_celsius", "length_millimetre")
    return {
        "recipe": directory.name(Recipe, row["recipe_id"]),
        **plain(row, "sample", "tested_at", *measured, "width_millimetre", "height_millimetre"),
        "ears": yes_no(row["ears"]),
        **plain(row, "strands_cut", "note"),
        "voltage_instrument": directory.name(Instrument, row["voltage_instrument_id"]),
        "current_instrument": directory.name(Instrument, row["current_instrument_id"]),
        "operator": directory.name(Operator, row["operator_id"]),
    }


def answer_cells(directory: Directory, row: Row) -> Cells:
    """An answer to a line of the checklist."""
    cells = {
        **plain(row, "item", "answer", "looked_at", "note"),
        "operator": directory.name(Operator, row["operator_id"]),
    }
    if row["terminal_id"] is not None:
        end = directory.row(CableEnd, directory.row(Terminal, row["terminal_id"])["cable_end_id"])
        return {
            **cells,
            "cable_end": end["tag"],
            "build": directory.name(Build, directory.build_of(CableEnd, end)),
        }
    sample = directory.row(Sample, row["sample_id"])
    return {**cells, "recipe": directory.name(Recipe, sample["recipe_id"]), "sample": sample["sample"]}


def reel_cells(directory: Directory, row: Row) -> Cells:
    """A reel."""
    conductor = directory.name(Conductor, row["conductor_id"])
    return {"reel": row["name"], "conductor": conductor, **plain(row, "length_metre", "count", "note")}


def price_cells(directory: Directory, row: Row) -> Cells:
    """A price."""
    price = price_text(row["amount"], row["currency"])
    return {"what": row["name"], "price": price, "per": row["unit"], "note": row["note"]}
