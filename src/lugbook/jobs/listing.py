"""What the book holds of one kind, in the headings in which it is imported; the base of list, show and export."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection

from lugbook.exchange.layouts import LAYOUTS
from lugbook.jobs.directory import Directory, Row
from lugbook.jobs.listed_cells import (
    PLANNED,
    Cells,
    answer_cells,
    plain,
    price_cells,
    price_text,
    reel_cells,
    sample_cells,
    yes_no,
)
from lugbook.jobs.meters import last_calibration
from lugbook.records.facts import Fact
from lugbook.records.store import Book
from lugbook.records.tables import (
    Build,
    Cable,
    CableEnd,
    Conductor,
    Instrument,
    InstrumentRange,
    Landing,
    Lug,
    Operator,
    Price,
    Pull,
    Reading,
    Recipe,
    Reel,
    Round,
    Sample,
    Service,
    Span,
    Terminal,
    Tool,
    WorkmanshipAnswer,
)  # fmt: skip


@dataclass(frozen=True)
class Listing:
    """Rows of text under the headings of one kind; `identities` are the ledger lines they come from."""

    kind: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    identities: tuple[int, ...]
    zones: tuple[str, ...]
    """The time zone in which each row's times are to be shown."""

    @property
    def keys(self) -> tuple[str, ...]:
        """The name or tag by which a person asks for each row."""
        place = self.headings.index(KEYS.get(self.kind, LAYOUTS[self.kind].key[-1]))
        return tuple(row[place] for row in self.rows)


def list_kind(book: Book, kind: str, *, build: str | None = None, key: str | None = None) -> Listing:
    """Everything in force of one kind; of one build, or of one name or tag, where asked for.

    A key that is not there gives an empty listing. Raises NothingCalled for a build that is not there.
    """
    with book.reading() as connection:
        return list_rows(connection, kind, build, key)


def keys_of(book: Book, kind: str, *, build: str | None = None) -> list[str]:
    """The names or tags by which the rows of a kind are asked for. Raises NothingCalled."""
    listing = list_kind(book, kind, build=build)
    return list(listing.keys)


def list_rows(connection: Connection, kind: str, build: str | None, key: str | None = None) -> Listing:
    """As `list_kind`, within a transaction that goes on."""
    directory = Directory(connection)
    if build:
        directory.named_build(build)
    headings = tuple(column.heading for column in LAYOUTS[kind].columns)
    table, cells_of = KINDS[kind]
    key_heading = KEYS.get(kind, LAYOUTS[kind].key[-1])
    rows, identities, zones = [], [], []
    for row in directory.rows(table).values():
        cells = cells_of(directory, row)
        if build and cells.get("build", build) != build:
            continue
        if key and cells.get(key_heading) != key:
            continue
        rows.append(tuple(text_of(cells.get(heading)) for heading in headings))
        identities.append(int(row["id"]))
        zones.append(_zone_of(directory, cells))
    return Listing(kind, headings, tuple(rows), tuple(identities), tuple(zones))


def zone_of_build(book: Book, name: str) -> str:
    """The time zone in which the times of a build are shown. Raises NothingCalled."""
    with book.reading() as connection:
        return str(Directory(connection).named_build(name)["zone"])


def _zone_of(directory: Directory, cells: Cells) -> str:
    build = directory.find(Build, cells["build"]) if cells.get("build") else directory.only_build()
    return str(build["zone"]) if build else "UTC"


def text_of(value: Any) -> str:
    """A value as it stands in a table: '' for null, for a number the shortest decimal text that means it exactly."""
    if value is None:
        return ""
    if isinstance(value, float):
        return format(Decimal(repr(value)).normalize(), "f")
    return str(value)


def _build(directory: Directory, row: Row) -> Cells:
    return {"build": row["name"], **plain(row, "description", "zone")}


def _conductor(directory: Directory, row: Row) -> Cells:
    columns = plain(row, "size", "strands", "insulation_celsius", "area_mm2", "strand_class", "note")
    return {"conductor": row["name"], **columns, "tinned": yes_no(row["tinned"])}


def _named(heading: str, *columns: str) -> Callable[[Directory, Row], Cells]:
    return lambda directory, row: {heading: row["name"], **plain(row, *columns)}


def _instrument(directory: Directory, row: Row) -> Cells:
    last = last_calibration(directory, row)
    return {
        "instrument": row["name"],
        **plain(row, "kind", "percent_of_reading", "counts", "resolution", "unit", "note"),
        **plain(row, "least", "greatest", "zero_offset"),
        "calibrated_on": last["calibrated_on"] if last else None,
        "calibration_due": last["due_on"] if last else None,
    }


def _range(directory: Directory, row: Row) -> Cells:
    instrument = directory.row(Instrument, row["instrument_id"])
    columns = plain(row, "greatest", "percent_of_reading", "counts", "resolution")
    return {"instrument": instrument["name"], **columns, "unit": instrument["unit"]}


def _recipe(directory: Directory, row: Row) -> Cells:
    return {
        "recipe": row["name"], "conductor_size": directory.name(Conductor, row["conductor_id"]),
        "lug": directory.name(Lug, row["lug_id"]), "tool": directory.name(Tool, row["tool_id"]),
        **plain(row, "die", "presses", "strip_millimetre", "sealing", "compound", "note"),
        **plain(row, "joining", "press_order", "crimp_millimetre", "pull_standard", "share_percent"),
    }  # fmt: skip


def _cable(directory: Directory, row: Row) -> Cells:
    ends = {
        end["side"]: end["place"] for end in directory.rows(CableEnd).values()
        if directory.history.current(end["cable_id"]) == row["id"]
    }  # fmt: skip
    return {
        "build": directory.name(Build, row["build_id"]), "cable": row["tag"],
        "conductor": directory.name(Conductor, row["conductor_id"]),
        **plain(row, "length_metre", "note"), "from_place": ends.get("A"), "to_place": ends.get("B"),
        "recipe": directory.name(Recipe, row["recipe_id"]), **plain(row, *PLANNED),
        "quoted_price": price_text(row["quoted_amount"], row["quoted_currency"]),
    }  # fmt: skip


def _landing(directory: Directory, row: Row) -> Cells:
    torques = plain(row, "torque_newton_metre", "maker_torque_newton_metre")
    return {
        "build": directory.name(Build, row["build_id"]), "landing": row["tag"],
        **plain(row, "kind", "hardware", "note"), **torques,
    }  # fmt: skip


def _terminal(directory: Directory, row: Row) -> Cells:
    end = directory.row(CableEnd, row["cable_end_id"])
    return {
        "build": directory.name(Build, directory.build_of(CableEnd, end)), "cable_end": end["tag"],
        "recipe": directory.name(Recipe, row["recipe_id"]), "made_at": row["made_at"],
        "operator": directory.name(Operator, row["operator_id"]),
        "landing": directory.name(Landing, row["landing_id"]), **plain(row, "die", "note"),
    }  # fmt: skip


def _span(directory: Directory, row: Row) -> Cells:
    return {
        "build": directory.name(Build, row["build_id"]), "span": row["tag"],
        **plain(row, "kind", "place", "duty", "limit_microohm", "probe_millimetre", "placement_millimetre", "note"),
        "cable_end": directory.name(CableEnd, row["cable_end_id"]),
        "landing": directory.name(Landing, row["landing_id"]),
    }  # fmt: skip


def _reading(directory: Directory, row: Row) -> Cells:
    span = directory.row(Span, row["span_id"])
    return {
        "span": span["tag"], "build": directory.name(Build, span["build_id"]),
        "round": directory.name(Round, row["round_id"]),
        **plain(row, "taken_at", "drop_millivolt", "current_ampere", "joint_celsius", "polarity",
                 "zero_millivolt", "stage", "repeat", "note"),
        "voltage_instrument": directory.name(Instrument, row["voltage_instrument_id"]),
        "current_instrument": directory.name(Instrument, row["current_instrument_id"]),
        "thermometer": directory.name(Instrument, row["thermometer_id"]),
        "operator": directory.name(Operator, row["operator_id"]), "confirmed": yes_no(row["confirmed"]),
    }  # fmt: skip


def _pull(directory: Directory, row: Row) -> Cells:
    cells = {
        "recipe": directory.name(Recipe, row["recipe_id"]),
        **plain(row, "sample", "pulled_at", "pull_newton", "failure", "kind", "hold_second", "note"),
        "instrument": directory.name(Instrument, row["instrument_id"]),
        "operator": directory.name(Operator, row["operator_id"]),
        "moved": yes_no(row["moved"]), "confirmed": yes_no(row["confirmed"]),
    }  # fmt: skip
    if row["terminal_id"] is not None:
        end = directory.row(CableEnd, directory.row(Terminal, row["terminal_id"])["cable_end_id"])
        cells["cable_end"] = end["tag"]
        cells["build"] = directory.name(Build, directory.build_of(CableEnd, end))
    return cells


def _service(directory: Directory, row: Row) -> Cells:
    span = directory.row(Span, row["span_id"])
    return {
        "span": span["tag"], "build": directory.name(Build, span["build_id"]),
        **plain(row, "serviced_at", "action", "torque_newton_metre", "note"),
        "operator": directory.name(Operator, row["operator_id"]),
    }  # fmt: skip


KINDS: Mapping[str, tuple[type[Fact], Callable[[Directory, Row], Cells]]] = {
    "builds": (Build, _build),
    "conductors": (Conductor, _conductor),
    "lugs": (
        Lug,
        _named("lug", "barrel_size", "stud_millimetre", "material", "plating", "wall_millimetre", "note"),
    ),
    "tools": (Tool, _named("tool", "kind", "note")),
    "operators": (Operator, _named("operator", "note")),
    "instruments": (Instrument, _instrument),
    "ranges": (InstrumentRange, _range),
    "recipes": (Recipe, _recipe),
    "cables": (Cable, _cable),
    "landings": (Landing, _landing),
    "terminals": (Terminal, _terminal),
    "spans": (Span, _span),
    "readings": (Reading, _reading),
    "pulls": (Pull, _pull),
    "services": (Service, _service),
    "samples": (Sample, sample_cells),
    "answers": (WorkmanshipAnswer, answer_cells),
    "reels": (Reel, reel_cells),
    "prices": (Price, price_cells),
}

# The noun of a kind, where it is not the kind without its s.
NOUNS: Mapping[str, str] = {"answers": "workmanship", "ranges": "instrument"}


def noun_of(kind: str) -> str:
    """The noun under which the rows of a kind are listed."""
    return NOUNS.get(kind, kind.removesuffix("s"))


# What a person names one by, where it is not the last of the headings that make it one and the same.
KEYS: Mapping[str, str] = {
    "ranges": "instrument",
    "terminals": "cable_end", "readings": "span", "pulls": "recipe", "services": "span",
    "samples": "recipe", "answers": "cable_end",
}  # fmt: skip
