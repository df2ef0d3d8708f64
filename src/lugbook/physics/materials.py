"""What the metal of a conductor is, electrically."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Numbers = TypeVar("Numbers", float, "NDArray[np.float64]")  # one number or a column of them

# International Annealed Copper Standard, IEC 60028: 58 MS/m at 20 degC, so 1/58 ohm mm2/m = 0.0172414.
COPPER_OHM_MM2_PER_METRE = 1 / 58
# The same standard: change of resistance per degC, referred to 20 degC, of copper of that conductivity.
COPPER_PER_CELSIUS = 0.00393
# Tinned over plain: the limits of IEC 60228:2004 Table 3 (class 5) are 1.8 to 3.0 % apart; about the middle.
TINNED_FACTOR = 1.025
# Strands are longer than the cable they lie in: about 2 % for concentric stranding (ASTM B8).
STRANDED_FACTOR = 1.02


def copper_ratio_to_20_celsius(celsius: Numbers | float) -> Numbers | float:
    """Resistance of copper at `celsius` [degC] over that at 20 degC.

    1 + alpha (T - 20), alpha = 0.00393 per degC (IACS, IEC 60028). For copper at -50 to 150 degC. The same as
    (234.5 + T) / 254.5 to four figures. Example: 1.216 at 75 degC, whose inverse IEC 60228 prints as 0.820.
    """
    return 1 + COPPER_PER_CELSIUS * (celsius - 20)
