"""The cable that a span stands on: what a millimetre of it adds, and how well that is known."""

from lugbook.assessment.lug import PLACEMENT_MILLIMETRE, CableInside
from lugbook.jobs.directory import Directory, Row
from lugbook.physics.conductors import conductor_doubt, conductor_microohm
from lugbook.records.tables_build import Cable, CableEnd
from lugbook.records.tables_parts import Conductor
from lugbook.units.sizes import read_size

WITH_CABLE = ("crimp", "cable")
"""Kinds of span that have one probe, or both, on a cable."""


def cable_inside(directory: Directory, span: Row) -> CableInside | None:
    """What lies of the cable between the probes of a span; None where none does, or its conductor is not known."""
    if span["cable_end_id"] is None or span["kind"] not in WITH_CABLE:
        return None
    end = directory.row(CableEnd, span["cable_end_id"])
    conductor = directory.row(Conductor, directory.row(Cable, end["cable_id"])["conductor_id"])
    area_mm2 = conductor["area_mm2"]
    if not area_mm2:
        return None
    nominal = float(read_size(conductor["size"]).area_mm2)
    return CableInside(
        microohm_per_millimetre=conductor_microohm(0.001, area_mm2, tinned=bool(conductor["tinned"])),
        relative_sd=conductor_doubt(
            conductor["size_system"],
            area_measured=abs(area_mm2 / nominal - 1) > 1e-3,
            tinning_known=conductor["tinned"] is not None,
        ),
        placement_millimetre=span["placement_millimetre"] or PLACEMENT_MILLIMETRE,
        probe_millimetre=span["probe_millimetre"],
    )


def length_between_millimetre(directory: Directory, span: Row) -> float | None:
    """Cable between the probes: all of it for a span along a cable, else as it was measured; None where not known."""
    if span["kind"] == "cable" and span["probe_millimetre"] is None and span["cable_end_id"] is not None:
        end = directory.row(CableEnd, span["cable_end_id"])
        return 1000 * float(directory.row(Cable, end["cable_id"])["length_metre"])
    return None if span["probe_millimetre"] is None else float(span["probe_millimetre"])


def word_circuit(cable: Row) -> str:
    """The circuit of a cable, what it carries and its volts, as far as they are said: "starter, 150 A, 12 V"."""
    ampere, volt = cable["circuit_ampere"], cable["system_volt"]
    said = (
        cable["circuit"],
        f"{ampere:g} A" if ampere is not None else "",
        f"{volt:g} V" if volt is not None else "",
    )
    return ", ".join(part for part in said if part)
