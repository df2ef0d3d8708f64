"""What a lug adds to the cable between the probes, and how much of its own cable that is worth."""

from __future__ import annotations

import math
from dataclasses import dataclass

from lugbook.units.uncertainty import combined_sd, rectangular_sd
from lugbook.units.wording import word_with_uncertainty

PLACEMENT_MILLIMETRE = 1.0  # +/-, our assumption where the places of the probes are marked
RULER_MILLIMETRE = 1.0  # +/-, our assumption: a length taken with a ruler


@dataclass(frozen=True)
class CableInside:
    """The cable that a span's probes stand on."""

    microohm_per_millimetre: float  # at 20 degC
    relative_sd: float  # standard uncertainty of that, from how well its area is known
    placement_millimetre: float  # +/-, how closely the probes find the same places
    probe_millimetre: float | None  # bare cable between the probes, outside the barrel; None: not measured


@dataclass(frozen=True)
class LugShare:
    """What is left of a span when its cable is taken off; every u is a standard uncertainty."""

    cable_microohm: float
    u_cable_microohm: float
    added_microohm: float
    u_added_microohm: float
    worth_millimetre: float  # length of its own cable with the same resistance
    u_worth_millimetre: float


def placement_sd(cable: CableInside | None) -> float:
    """Standard uncertainty [microohm] by where the probes stand on a cable; nothing without one."""
    return rectangular_sd(cable.placement_millimetre) * cable.microohm_per_millimetre if cable else 0.0


def lug_share(microohm_20c: float, u_microohm: float, cable: CableInside) -> LugShare | None:
    """The part of a crimp's resistance at 20 degC [microohm] that is not cable; None where the probes' distance is
    not known.

    Added = R - r L, r the cable's resistance a millimetre, L the bare cable between the probes: u^2 = u(R)^2 +
    (L u(r))^2 + (r u(L))^2, u(L) from the ruler (GUM 5.1.2). Where the probes stood is in u(R) already: L lies
    between the places that were marked. Worth = R / r - L: u^2 = (u(R)/r)^2 + (R/r u(r)/r)^2 + u(L)^2.
    Example by hand: 12.0 microohm with 25 mm of 2/0 AWG (0.256 microohm/mm) leaves 5.6, as much as 22 mm.
    """
    if cable.probe_millimetre is None:
        return None
    per_mm, length = cable.microohm_per_millimetre, cable.probe_millimetre
    length_sd = rectangular_sd(RULER_MILLIMETRE)
    per_mm_sd = cable.relative_sd * per_mm
    cable_microohm = per_mm * length
    u_cable = combined_sd((length, per_mm), (per_mm_sd, length_sd))
    added = microohm_20c - cable_microohm
    whole_millimetre = microohm_20c / per_mm
    return LugShare(
        cable_microohm,
        u_cable,
        added,
        math.hypot(u_microohm, u_cable),
        added / per_mm,
        combined_sd((1 / per_mm, 1, whole_millimetre), (u_microohm, length_sd, cable.relative_sd)),
    )


def word_lug_share(share: LugShare | None, kind: str) -> str:
    """One sentence for a person; how to learn it, where it is not known."""
    if share is None:
        return (
            f"What the {kind} adds to its cable is not known: measure the bare cable between the probes "
            'and say it with `lugbook span amend SPAN "probe_millimetre=25 mm" --reason measured`.'
        )
    worth = word_with_uncertainty(share.worth_millimetre, share.u_worth_millimetre, "mm")
    if share.added_microohm < -2 * share.u_added_microohm:
        cable = word_with_uncertainty(share.cable_microohm, share.u_cable_microohm, "microohm")
        return (
            f"The span reads less than the cable between its probes should ({cable}): look again at the distance "
            "of the probes, the size of the cable, or the current."
        )
    added = word_with_uncertainty(share.added_microohm, share.u_added_microohm, "microohm")
    return f"The {kind} adds {added}, as much as {worth} of its own cable."
