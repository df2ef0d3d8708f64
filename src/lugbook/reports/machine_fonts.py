"""Which fonts of this machine have the letters that ours lack, told to the plotting library."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

OURS = "DejaVu Sans"
NO_LETTERS = ("Emoji", "Last Resort", "LastResort", "Blank")
"""Families so called have pictures, boxes or nothing in place of letters."""
STYLES = ("Regular", "Book", "Roman", "Medium", "Bold")
MOST_FAMILIES = 6
"""So many may stand in for ours; a text that needs more is in no language."""


@dataclass
class Family:
    """One family of the machine."""

    paths: list[str]
    """A plain face first, where there is one."""
    glyphs: int


@lru_cache(maxsize=64)
def families_for(letters: frozenset[str]) -> tuple[str, ...]:
    """Our own family, then the fewest of the machine's found that have the letters ours lacks."""
    found, wanted = [OURS], letters_lacking(letters, (OURS,))
    if not wanted:
        return (OURS,)
    machine = _machine_families()
    has = {name: wanted - _lacking(family.paths[0], wanted) for name, family in machine.items()}
    while wanted and has and len(found) < MOST_FAMILIES:
        best = max(has, key=lambda name: (len(has[name] & wanted), "Sans" in name, machine[name].glyphs, name))
        if not has[best] & wanted:
            break
        found.append(best)
        wanted -= has[best]
        for path in machine[best].paths:
            _make_known(path)
    return tuple(found)


def letters_lacking(letters: frozenset[str], families: tuple[str, ...]) -> frozenset[str]:
    """The letters that none of the families has."""
    from matplotlib import font_manager

    for family in families:
        path = font_manager.findfont(OURS) if family == OURS else _machine_families()[family].paths[0]
        letters = _lacking(path, letters)
    return letters


@cache
def _make_known(path: str) -> None:
    """The library's own list of fonts may be older than the font."""
    from matplotlib import font_manager

    font_manager.fontManager.addfont(path)


@cache
def _machine_families() -> dict[str, Family]:
    """The upright faces of the machine, by family."""
    from matplotlib import font_manager
    from matplotlib.ft2font import FT2Font

    families: dict[str, Family] = {}
    for path in sorted(font_manager.findSystemFonts()):
        try:
            face = FT2Font(path)
        except (OSError, RuntimeError):  # no font, whatever it is called
            continue
        name = face.family_name
        if face.style_name not in STYLES or not face.scalable or any(part in name for part in NO_LETTERS):
            continue
        family = families.setdefault(name, Family([], face.num_glyphs))
        family.paths.insert(0 if face.style_name != "Bold" else len(family.paths), path)
    return families


def _lacking(path: str, letters: frozenset[str]) -> frozenset[str]:
    from matplotlib.ft2font import FT2Font

    face = FT2Font(path)
    return frozenset(sign for sign in letters if not sign.isspace() and not face.get_char_index(ord(sign)))
