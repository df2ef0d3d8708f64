"""What each standard asks a crimp to hold, and what the conductor itself can hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from lugbook.assessment.criteria import (
    DERIVED,
    MEMORY,
    RETENTION_SHARE,
    SEEN_ONE,
    SEEN_SEVERAL,
    word_provenance,
)
from lugbook.errors import SizeNotCovered, StandardUnknown
from lugbook.units.sizes import Size
from lugbook.units.wording import word_number

NEWTON_PER_LBF = 4.4482216152605  # NIST SP 811 (2008) B.8
ANNEALED_PSI = 35_000  # annealed copper, the figure the comparison was worked out with; no standard opened
ANNEALED_NEWTON_PER_MM2 = ANNEALED_PSI * NEWTON_PER_LBF / 25.4**2  # 241.3

ABYC = "ABYC E-11"
UL = "UL 486A-486B"
AS7928 = "SAE AS7928"
IEC = "IEC 61238-1"
SHARE_OF_WIRE = "60 % of wire"

_IEC_NEWTON_PER_MM2, _IEC_MOST_NEWTON = 60.0, 20_000.0
_SHARE_OF_WIRE = 0.60

_S, _O, _M = SEEN_SEVERAL, SEEN_ONE, MEMORY
# Size -> least pull [lbf], how we know it.
_ABYC = {
    "18": (10, _S), "16": (15, _S), "14": (30, _S), "12": (35, _S), "10": (40, _M), "8": (45, _M), "6": (50, _M),
    "5": (60, _M), "4": (70, _S), "3": (80, _S), "2": (90, _S), "1": (100, _S), "1/0": (125, _M),
    "2/0": (150, _M), "3/0": (175, _M), "4/0": (225, _M),
}  # fmt: skip
_UL = {
    "30": (1.5, _O), "28": (2, _S), "26": (3, _S), "24": (5, _S), "22": (8, _S), "20": (13, _S), "18": (20, _S),
    "16": (30, _S), "14": (50, _S), "12": (70, _S), "10": (80, _S), "8": (90, _S), "6": (100, _S), "4": (140, _S),
    "3": (160, _M), "2": (180, _S), "1": (200, _O), "1/0": (250, _S), "2/0": (300, _S), "3/0": (350, _O),
    "4/0": (450, _M), "250 kcmil": (500, _M), "300 kcmil": (550, _M), "350 kcmil": (600, _M),
    "400 kcmil": (650, _M), "500 kcmil": (800, _M), "600 kcmil": (900, _M),
}  # fmt: skip
_AS7928 = {
    "26": (7, _S), "24": (10, _S), "22": (15, _S), "20": (19, _S), "18": (38, _S), "16": (50, _S), "14": (70, _S),
    "12": (110, _S), "10": (150, _O), "8": (225, _M), "6": (300, _M), "4": (400, _M), "2": (550, _M),
    "1": (650, _M), "1/0": (700, _M), "2/0": (750, _M), "3/0": (825, _M), "4/0": (875, _M),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class PullMinimum:
    """The least force that one standard asks a crimp on one size to hold."""

    standard: str  # one of STANDARDS
    size: str  # as the book spells it
    newton: float
    stated: str  # as the standard puts it: "150 lbf", "60 N per mm2, at most 20 kN"
    hold_second: float | None  # how long it is to be held; None where the copies do not say
    source: str
    edition: str
    provenance: str  # see criteria
    note: str  # '' or what to know before leaning on it

    @property
    def cited(self) -> str:
        """Source and edition in one line."""
        edition = f"edition {self.edition}" if self.edition.startswith("not stated") else self.edition
        return ", ".join(part for part in (self.source, edition) if part)

    @property
    def from_memory(self) -> bool:
        """A lead to be checked, and to be marked wherever it is shown."""
        return self.provenance == MEMORY


@dataclass(frozen=True, slots=True)
class _Table:
    rows: Mapping[str, tuple[float, str]]
    source: str
    edition: str
    hold_second: float | None


_TABLES = {
    ABYC: _Table(
        _ABYC,
        "ABYC E-11 tensile test values for connections",
        "Table XVI in the 2003-era edition; the table's number differs by edition",
        60,
    ),
    UL: _Table(_UL, "UL 486A, crimped and pressure connectors, copper, direct pull", "not stated", 60),
    AS7928: _Table(
        _AS7928, "SAE AS7928, Type II Class 1 copper crimp terminals", "not stated; was MIL-T-7928", None
    ),
}
STANDARDS = (ABYC, UL, AS7928, IEC, SHARE_OF_WIRE)


def minima_for(size: Size, area_mm2: float | None = None) -> tuple[PullMinimum, ...]:
    """The minima of all standards that cover the size, in the order of STANDARDS.

    `area_mm2` [mm2] is the metal of the cable at hand where it is known, else the nominal one of the size; the
    two rules that go by area use it. The tables go by AWG number: an SAE cable of the same number has less
    metal, which the note says; a mm2 size is in none of them.
    """
    found = (_minimum(standard, size, area_mm2 or size.area_mm2) for standard in STANDARDS)
    return tuple(minimum for minimum in found if minimum is not None)


def minimum_for(standard: str, size: Size, area_mm2: float | None = None) -> PullMinimum:
    """The minimum of one standard. Raises StandardUnknown, SizeNotCovered."""
    if standard not in STANDARDS:
        raise StandardUnknown(standard, STANDARDS)
    minimum = _minimum(standard, size, area_mm2 or size.area_mm2)
    if minimum is None:
        raise SizeNotCovered(standard, size.text, [row.standard for row in minima_for(size, area_mm2)])
    return minimum


def conductor_newton(area_mm2: float) -> float:
    """What an annealed copper conductor can hold before it breaks [N]: 241.3 N/mm2 (35 000 psi) x area [mm2].

    Cold-drawn strands hold more, and a real area may differ from the nominal one: a measure, not a limit.
    Example: 2/0 AWG, 67.43 mm2, 16 270 N (3658 lbf).
    """
    return ANNEALED_NEWTON_PER_MM2 * area_mm2


def most_proof_newton(minimum: PullMinimum) -> float:
    """The most to hold on a made terminal that is to stay in service [N]: 80 % of the sample minimum."""
    return minimum.newton * RETENTION_SHARE.limit / 100


def word_minimum(minimum: PullMinimum) -> str:
    """One line: "ABYC E-11: 150 lbf (667 N) held 60 s; from memory, to be checked"."""
    held = f" held {minimum.hold_second:g} s" if minimum.hold_second else ""
    mark = word_provenance(minimum.provenance)
    extra = "; ".join(part for part in (mark, minimum.note) if part)
    told = f"{minimum.standard}: {minimum.stated} ({word_number(minimum.newton)} N){held}"
    return f"{told}; {extra}" if extra else told


def word_worth(newton: float, area_mm2: float, stated: str = "") -> str:
    """What a pass is worth: "150 lbf is 4 % of what this conductor can hold (about 16300 N, annealed copper)"."""
    strength = conductor_newton(area_mm2)
    said = stated or f"{word_number(newton)} N"
    part = 100 * newton / strength
    return (
        f"{said} is {part:.0f} % of what this conductor can hold "
        f"(about {word_number(strength)} N, annealed copper)"
    )


def force_stated(minimum: PullMinimum) -> str:
    """The force alone, in the unit its standard uses: "150 lbf", "4050 N"."""
    return minimum.stated if minimum.stated.endswith("lbf") else f"{word_number(minimum.newton)} N"


def _minimum(standard: str, size: Size, area_mm2: float) -> PullMinimum | None:
    if standard == IEC:
        newton = min(_IEC_NEWTON_PER_MM2 * area_mm2, _IEC_MOST_NEWTON)
        note = "" if area_mm2 >= 10 else "the standard is for 10 mm2 and up (memory)"
        stated = "60 N per mm2 of copper, at most 20 kN"
        edition = "2003; since 2018 parts 1-1 and 1-3"
        return PullMinimum(IEC, size.text, newton, stated, None, "IEC 61238-1 rule", edition, DERIVED, note)
    if standard == SHARE_OF_WIRE:
        newton = _SHARE_OF_WIRE * conductor_newton(area_mm2)
        stated, source = "60 % of the wire's strength", "NASA-STD-8739.4, para 13.7 and Table 13-1 note 1"
        note = "wire taken as annealed copper, 35 000 psi"
        return PullMinimum(
            SHARE_OF_WIRE, size.text, newton, stated, None, source, "with Change 6", DERIVED, note
        )
    return _tabled(standard, _TABLES[standard], size)


def _tabled(standard: str, table: _Table, size: Size) -> PullMinimum | None:
    gauge = size.text.removeprefix("SAE ").removesuffix(" AWG")
    if size.system == "mm2" or gauge not in table.rows:
        return None
    lbf, provenance = table.rows[gauge]
    note = "the table is for AWG; an SAE cable of that number has less metal" if size.system == "SAE" else ""
    return PullMinimum(
        standard=standard,
        size=size.text,
        newton=lbf * NEWTON_PER_LBF,
        stated=f"{lbf:g} lbf",
        hold_second=table.hold_second,
        source=table.source,
        edition=table.edition,
        provenance=provenance,
        note=note,
    )
