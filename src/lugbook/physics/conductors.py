"""What a length of cable adds to the resistance between two probes."""

from __future__ import annotations

from lugbook.physics.materials import (
    COPPER_OHM_MM2_PER_METRE,
    STRANDED_FACTOR,
    TINNED_FACTOR,
    Numbers,
    copper_ratio_to_20_celsius,
)
from lugbook.units.sizes import awg_diameter_mm as awg_diameter_mm
from lugbook.units.uncertainty import combined_sd, rectangular_sd


def conductor_microohm(
    length_metre: Numbers,
    area_mm2: float,
    *,
    tinned: bool = False,
    stranded: bool = True,
    celsius: float = 20.0,
) -> Numbers:
    """Resistance of a copper conductor [microohm].

    R = rho L / A, with rho = 1/58 ohm mm2/m (IACS), 2.5 % more if tinned, 2 % more if stranded and `area_mm2`
    is the sum of its strands, and 0.393 % more for each degC above 20.
    `length_metre` [m] along the cable, `area_mm2` [mm2] of metal, `celsius` [degC] of the metal.
    For annealed copper, DC. A nominal area is not a real one: IEC 60228 allows a class 5 cable called 35 mm2
    as much as 12 % more resistance than 35 mm2 of solid copper; a measured area is better than a name.
    Example: 1 km of solid 4/0 AWG, 107.22 mm2, is 0.1608 ohm (ASTM B258 area; 0.049 01 ohm per 1000 ft in NBS
    Handbook 100 Table 5).
    """
    factor = (TINNED_FACTOR if tinned else 1.0) * (STRANDED_FACTOR if stranded else 1.0)
    ohm_per_metre = COPPER_OHM_MM2_PER_METRE / area_mm2 * factor * copper_ratio_to_20_celsius(celsius)
    return length_metre * ohm_per_metre * 1e6


# Bounds, +/- of the resistance of a length, by what its area is known from: our assumptions. IEC 60228 lets a
# class 5 conductor exceed its nominal area's resistance by up to 12 %; SAE cable of a size is 3 to 12 % smaller
# than AWG of that number (tables of both), and an SAE area is a least area.
_BOUND_BY_SYSTEM = {"AWG": 0.03, "kcmil": 0.03, "SAE": 0.06, "mm2": 0.08}
_BOUND_OF_MEASURED_AREA = 0.02
_BOUND_OF_TINNING_UNKNOWN = 0.0125  # half of what tin adds


def conductor_doubt(size_system: str, *, area_measured: bool, tinning_known: bool) -> float:
    """Relative standard uncertainty of `conductor_microohm`, the length being exact.

    Bounds taken as rectangular (GUM 4.3.7); an area measured by weight or by its strands is better than a size's
    name. Example: a 2/0 AWG cable said to be tinned, area from its name: 3 % / sqrt 3 = 1.7 %.
    """
    bound = _BOUND_OF_MEASURED_AREA if area_measured else _BOUND_BY_SYSTEM[size_system]
    return combined_sd(
        (1, 1), (rectangular_sd(bound), rectangular_sd(0.0 if tinning_known else _BOUND_OF_TINNING_UNKNOWN))
    )
