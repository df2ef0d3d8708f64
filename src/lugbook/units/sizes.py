"""What a conductor size is called, and the metal area that name stands for."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from lugbook.errors import NotANumber, NotFinite, SizeTwoMeanings, SizeUnknown, UnitUnknown
from lugbook.units.fields import AREA_MM2
from lugbook.units.parsing import read_measured

# SAE J1127/J1128 minimum areas of battery and automotive cable, circular mils: 3 to 12 % less metal than the
# AWG size of the same number. Seen in one quoted copy; the standards themselves were not opened.
_SAE_CIRCULAR_MILS = {
    "18": 1_537,
    "16": 2_336,
    "14": 3_702,
    "12": 5_833,
    "10": 9_343,
    "8": 14_810,
    "6": 24_538,
    "4": 37_360,
    "2": 62_450,
    "1": 77_790,
    "1/0": 98_980,
    "2/0": 125_100,
    "3/0": 158_600,
    "4/0": 205_500,
}
_MM2_PER_CIRCULAR_MIL = math.pi / 4 * 0.0254**2
_THINNEST_AWG = 24

_AREA = re.compile(r".*(?:mm|sq).*", re.IGNORECASE)
_GAUGE = re.compile(
    r"AWG ?(?P<after>[0-9/]+)|(?P<before>[0-9/]+) ?AWG|SAE ?(?P<sae>[0-9/]+)|(?P<bare>[0-9/]+)"
    r"|(?P<kcmil>[1-9][0-9]{2,3}) ?(?:kcmil|mcm)",
    re.IGNORECASE,
)
_GAUGE_NUMBER = re.compile(r"([1-4])/0|(0{1,4})|([1-9][0-9]?)")


@dataclass(frozen=True, slots=True)
class Size:
    """One conductor size."""

    text: str  # its one spelling here: "2/0 AWG", "SAE 2/0", "70 mm2", "250 kcmil"
    system: str  # "AWG" (kcmil sizes continue it), "SAE" or "mm2"
    area_mm2: float  # nominal metal area; a real cable may differ, and then its own area is the one to keep
    area_text: str  # the same as decimal text


@lru_cache(maxsize=1024)
def read_size(text: str) -> Size:
    """The conductor size that `text` names: "2/0 AWG", "AWG 4/0", "2/0", "SAE 2/0", "70 mm2", "250 kcmil".

    "2/0" alone is AWG; a bare "6" is a size in three systems and is refused.

    Raises SizeUnknown, SizeTwoMeanings, and for an area all that read_measured raises of a number.
    """
    plain = " ".join(text.split())
    if _AREA.fullmatch(plain):
        return _size_by_area(plain, text)
    parts = _GAUGE.fullmatch(plain) if len(plain) < 16 else None
    if parts is None:
        raise SizeUnknown(text)
    if parts["kcmil"]:
        return _size(f"{parts['kcmil']} kcmil", "AWG", int(parts["kcmil"]) * 1000 * _MM2_PER_CIRCULAR_MIL)
    if parts["sae"]:
        return _sae_size(parts["sae"], text)
    if parts["bare"] and "/" not in parts["bare"] and not parts["bare"].startswith("00"):
        raise SizeTwoMeanings(text)
    return _awg_size(parts["after"] or parts["before"] or parts["bare"], text)


def awg_diameter_mm(gauge_number: int) -> float:
    """Nominal diameter of a solid AWG conductor [mm]; 1/0 is gauge number 0, 2/0 is -1, 4/0 is -3.

    d = 0.127 mm x 92^((36 - n)/39), ASTM B258. Example: 4/0 is 11.684 mm (460 mil).
    """
    return 0.127 * math.pow(92.0, (36 - gauge_number) / 39)


def awg_area_mm2(gauge_number: int) -> float:
    """Area of that diameter [mm2]. Example, ASTM B258: 4/0 has 107.22 mm2 (211 600 circular mils)."""
    return math.pi / 4 * awg_diameter_mm(gauge_number) ** 2


def _size_by_area(plain: str, text: str) -> Size:
    try:
        area_text = _without_trailing_zeros(read_measured(plain, AREA_MM2).decimal_text)
    except (NotANumber, NotFinite, UnitUnknown) as error:
        raise SizeUnknown(text) from error
    return Size(f"{area_text} mm2", "mm2", float(area_text), area_text)


def _sae_size(number: str, text: str) -> Size:
    name = _gauge_name(number)
    if name not in _SAE_CIRCULAR_MILS:
        raise SizeUnknown(text)
    return _size(f"SAE {name}", "SAE", _SAE_CIRCULAR_MILS[name] * _MM2_PER_CIRCULAR_MIL)


def _awg_size(number: str, text: str) -> Size:
    name = _gauge_name(number)
    if name is None:
        raise SizeUnknown(text)
    gauge_number = 1 - int(name[0]) if name.endswith("/0") else int(name)
    if gauge_number > _THINNEST_AWG:
        raise SizeUnknown(text)
    return _size(f"{name} AWG", "AWG", awg_area_mm2(gauge_number))


def _gauge_name(number: str) -> str | None:
    """ "2/0" for "2/0" and for "00"; None where it is no gauge number."""
    parts = _GAUGE_NUMBER.fullmatch(number)
    if parts is None:
        return None
    aughts, zeros, plain = parts.groups()
    return plain or f"{aughts or len(zeros)}/0"


def _size(name: str, system: str, area_mm2: float) -> Size:
    area_text = _without_trailing_zeros(f"{area_mm2:.4f}")
    return Size(name, system, float(area_text), area_text)


def _without_trailing_zeros(decimal_text: str) -> str:
    return format(Decimal(decimal_text).normalize(), "f")
