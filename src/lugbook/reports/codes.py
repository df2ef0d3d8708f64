"""Text as a square code to scan, drawn as SVG."""

from __future__ import annotations

from lugbook.reports.blocks import Drawing
from lugbook.reports.plain_text import plain

MOST_CHARACTERS = 400


def draw_code(text: str, words: str, *, millimetre: float) -> Drawing:
    """The QR code (ISO/IEC 18004) of a text, with the four modules of quiet margin that the standard asks for.

    `words` say what it holds; of a text longer than 400 characters the beginning is held. Error correction is raised as
    far as the size of the code allows.
    """
    import segno

    code = segno.make_qr(plain(text)[:MOST_CHARACTERS], error="m", boost_error=True)
    side = code.symbol_size(scale=1, border=4)[0]
    bars = []
    for y, cells in enumerate(code.matrix_iter(border=4)):
        row = bytes(cells)
        x = 0
        while x < side:
            run = 0
            while x + run < side and row[x + run]:
                run += 1
            if run:
                bars.append(f"M{x} {y}h{run}v1h-{run}z")
            x += run or 1
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" shape-rendering="crispEdges">'
        f'<rect width="{side}" height="{side}" fill="#ffffff"/><path d="{"".join(bars)}" fill="#000000"/></svg>'
    )
    return Drawing(svg, words, millimetre, millimetre)
