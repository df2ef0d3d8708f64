"""Which writer takes the lines of each kind; readings, of which there are many, have jobs/readings_in.py."""

from collections.abc import Mapping

from lugbook.jobs.entries_build import enter_build, enter_cable, enter_landing, enter_span, enter_terminal
from lugbook.jobs.entries_measuring import enter_instrument, enter_range, enter_service
from lugbook.jobs.entries_parts import Writer, enter_conductor, enter_named, enter_recipe
from lugbook.jobs.entries_proving import enter_answer, enter_price, enter_pull, enter_reel, enter_sample
from lugbook.records.tables import Lug, Operator, Tool

WRITERS: Mapping[str, Writer] = {
    "builds": enter_build,
    "conductors": enter_conductor,
    "lugs": enter_named(
        Lug, "lug", "barrel_size", "stud_millimetre", "material", "plating", "wall_millimetre", "note"
    ),
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
    "samples": enter_sample,
    "answers": enter_answer,
    "reels": enter_reel,
    "prices": enter_price,
}
