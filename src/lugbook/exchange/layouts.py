"""The tables that can be read and written, by kind."""

from __future__ import annotations

from collections.abc import Mapping

from lugbook.exchange.layout import Layout
from lugbook.exchange.layouts_build import BUILDS, CABLES, LANDINGS, SPANS, TERMINALS
from lugbook.exchange.layouts_measuring import INSTRUMENTS, RANGES, READINGS, SERVICES
from lugbook.exchange.layouts_parts import CONDUCTORS, LUGS, OPERATORS, PULLS, RECIPES, TOOLS
from lugbook.exchange.layouts_proving import ANSWERS, PRICES, REELS, SAMPLES

# In the order in which an empty book can take them.
LAYOUTS: Mapping[str, Layout] = {
    layout.kind: layout
    for layout in (
        *(BUILDS, CONDUCTORS, LUGS, TOOLS, OPERATORS, INSTRUMENTS, RANGES, RECIPES),
        *(CABLES, LANDINGS, TERMINALS, SPANS, READINGS, PULLS, SERVICES),
        *(SAMPLES, ANSWERS, REELS, PRICES),
    )
}
