"""How long to cut a cable so that it reaches, bends and can be remade."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from lugbook.assessment.criteria import DERIVED, PRACTICE
from lugbook.errors import LengthImpossible


@dataclass(frozen=True, slots=True)
class CutPart:
    """One part of a cut length."""

    what: str
    metre: float
    provenance: str  # '' where the owner entered it, else one of criteria


@dataclass(frozen=True, slots=True)
class CutLength:
    """A cut length with all it is made of."""

    metre: float
    parts: tuple[CutPart, ...]


def cut_length(
    route_metre: float,
    *,
    service_loop_metre: float = 0.0,
    bends: int = 0,
    bend_radius_metre: float = 0.0,
    bend_degree: float = 90.0,
    trim_metre: float = 0.0,
) -> CutLength:
    """Route + service loop + bends + trim at both ends [m].

    `route_metre` runs from stud to stud along the straight stretches, each up to where a bend begins; a bend of
    `bend_degree` [deg] at `bend_radius_metre` [m] to the cable's middle adds its arc, r pi degree / 180 (geometry;
    0.157 m for a quarter turn at 100 mm). A route measured to the corners needs no bends: an arc is shorter than
    its corner. `trim_metre` is cut away at each of the two ends when they are squared and stripped; how much,
    like the length of a service loop, is the owner's: common practice, no source.
    Raises LengthImpossible for a part below zero or a route of none.
    """
    parts = (
        CutPart("route", route_metre, ""),
        CutPart("service loop", service_loop_metre, PRACTICE),
        CutPart("bends", bends * bend_radius_metre * pi * bend_degree / 180, DERIVED),
        CutPart("trim", 2 * trim_metre, PRACTICE),
    )
    for part in parts:
        if part.metre < 0 or (part.what == "route" and not part.metre > 0):
            raise LengthImpossible(part.what, part.metre)
    return CutLength(sum(part.metre for part in parts), tuple(part for part in parts if part.metre))
