"""Words of a picture as outlines, where their letters need a font of the machine."""

from __future__ import annotations

import html
import re
import unicodedata
from typing import Any

from lugbook.reports.machine_fonts import families_for, letters_lacking

LAST_OF_OURS = "\u052f"
"""Latin, Greek and Cyrillic letters stand before it: our own fonts have them, and a typesetter sets them one by one."""
_TEXT = re.compile(r'<text style="([^"]*)"((?: [a-z]+="[^"]*")*)>([^<]*)</text>')
_SIZE = re.compile(r"font-size: ([\d.]+)px")
_ANCHORS = {"middle": 0.5, "end": 1.0}
"""Which part of its width a text stands to the left of its place; none where it starts there."""


def outline_words(svg: str) -> str:
    """An SVG of our plots in which words in other scripts are drawn, not written; the rest stays as it is.

    So do words with a letter that no font of this machine has.
    """
    if not any(sign > LAST_OF_OURS for sign in svg):
        return svg
    return _TEXT.sub(_outlined, svg)


def _outlined(found: re.Match[str]) -> str:
    style, placed, words = found[1], found[2], html.unescape(found[3])
    size = _SIZE.search(style)
    if size is None or not any(_is_foreign(sign) for sign in words):
        return found[0]
    families = families_for(frozenset(words))
    if letters_lacking(frozenset(words), families):
        return found[0]
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextPath

    properties = FontProperties(family=list(families), weight=700 if "font-weight: 700" in style else 400)
    path: Any = TextPath((0, 0), words, size=float(size[1]), prop=properties)  # type: ignore[arg-type]
    anchor = re.search(r"text-anchor: (\w+)", style)
    left = _ANCHORS.get(anchor[1] if anchor else "", 0.0) * float(path.get_extents().x1)
    attributes = dict(re.findall(r' ([a-z]+)="([^"]*)"', placed))
    x, y = float(attributes.get("x", 0)), float(attributes.get("y", 0))
    fill = re.search(r"fill: (#[0-9a-f]{6})", style)
    return (
        f'<g transform="{attributes.get("transform", "")}">'
        f'<path transform="translate({x - left:.3f} {y:.3f}) scale(1 -1)" '
        f'fill="{fill[1] if fill else "#000000"}" d="{_drawn(path)}"/></g>'
    )


def _is_foreign(sign: str) -> bool:
    return sign > LAST_OF_OURS and unicodedata.category(sign)[0] in "LM"


def _drawn(path: Any) -> str:
    """The commands of an outline. (Any: the plotting library's path.)"""
    letters = {path.MOVETO: "M", path.LINETO: "L", path.CURVE3: "Q", path.CURVE4: "C", path.CLOSEPOLY: "Z"}
    return "".join(
        letters[code] + ("" if code == path.CLOSEPOLY else " ".join(f"{number:.3f}" for number in points))
        for points, code in path.iter_segments(curves=True, simplify=False)
    )
