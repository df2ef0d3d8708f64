"""What the drop across a joint says of its resistance."""

from __future__ import annotations

from lugbook.physics.materials import COPPER_PER_CELSIUS, Numbers, copper_ratio_to_20_celsius
from lugbook.units.uncertainty import one_sided_sd

_MICROOHM_PER_MILLIVOLT_AND_AMPERE = 1000.0  # 1 mV at 1 A is 1 mohm


def joint_microohm(
    drop_millivolt: Numbers, current_ampere: Numbers, zero_millivolt: Numbers | float = 0.0
) -> Numbers:
    """Resistance [microohm] from one drop [mV] at one current [A], less the reading at zero current [mV].

    R = (V - V0) / I. V0 takes away what a contact of two metals at two temperatures adds of itself.
    Example: 7.5 mV at 43 A, the most that a military 1/4 in stud terminal may show, is 174 microohm.
    """
    return (drop_millivolt - zero_millivolt) / current_ampere * _MICROOHM_PER_MILLIVOLT_AND_AMPERE


def microohm_at_20_celsius(microohm: Numbers, celsius: Numbers | float) -> Numbers:
    """What a copper joint that reads `microohm` at `celsius` [degC] would read at 20 degC [microohm].

    R20 = R / (1 + 0.00393 (T - 20)), IACS, IEC 60028; for -50 to 150 degC. The full coefficient, for a clean
    metal contact follows the metal; one through a film may not change at all: see `coefficient_doubt`.
    Example: 100 microohm at 75 degC is 82.2 at 20 degC; IEC 60228, with its rounder 250 / (230 + T), prints a
    factor of 0.820.
    """
    return microohm / copper_ratio_to_20_celsius(celsius)


def coefficient_doubt(celsius: Numbers) -> Numbers:
    """Relative standard uncertainty of taking a resistance to 20 degC, the joint's coefficient being unknown.

    u = 0.00393 |T - 20| / sqrt 12, `celsius` [degC]. The coefficient is anything from that of copper down to
    none (a contact through a film), so the truth lies on one side only: rectangular, GUM (JCGM 100) 4.3.8.
    That films have about none is known from memory of contact theory, not from an opened source.
    Example: at 40 degC, 7.86 % / 3.464 = 2.27 %.
    """
    return abs(celsius - 20) * (COPPER_PER_CELSIUS * one_sided_sd(1.0))


def drop_of_joint(
    microohm_20c: Numbers, current_ampere: Numbers | float, celsius: Numbers | float
) -> Numbers:
    """The drop [mV] that a copper joint of `microohm_20c` at 20 degC shows at a current [A] and a temperature [degC].

    V = R20 (1 + 0.00393 (T - 20)) I, IACS, IEC 60028; for -50 to 150 degC. The inverse of `joint_microohm` and
    `microohm_at_20_celsius`. Example: 174 microohm at 20 degC is 7.5 mV at 43 A.
    """
    return (
        microohm_20c
        * copper_ratio_to_20_celsius(celsius)
        * current_ampere
        / _MICROOHM_PER_MILLIVOLT_AND_AMPERE
    )
