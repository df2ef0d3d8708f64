"""How every picture of ours looks: its paper, its type, its colours, and bytes without date or version."""

from __future__ import annotations

import textwrap
import unicodedata
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import TYPE_CHECKING, Any

from lugbook.errors import PictureFormatUnknown
from lugbook.reports.plain_text import spell

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# What each format must be told so that no date and no version gets into its bytes.
METADATA: dict[str, dict[str, None]] = {
    "svg": {"Date": None, "Creator": None},
    "png": {"Software": None},
    "pdf": {"CreationDate": None, "Creator": None, "Producer": None},
}

# Dark to light in this order, so that grey print keeps them apart; each has its own shape as well.
SERIES_LOOKS = (("#123a5c", "o"), ("#a4480b", "s"), ("#2b7d63", "^"), ("#8b5a9e", "D"), ("#7a7a14", "v"))
FAINT, BAND, LIMIT, INK = "#71777d", "#c3d4e0", "#8a1c2b", "#22262a"

STYLE: dict[str, Any] = {
    "svg.hashsalt": "lugbook",
    "svg.fonttype": "none",
    "pdf.fonttype": 42,
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 9.0,
    "text.parse_math": False,
    "text.color": INK,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.color": INK,
    "ytick.color": INK,
}
LAST_OF_LATIN = "\u024f"
WIDTH_INCH, HEIGHT_INCH, DOTS_PER_INCH = 7.2, 4.5, 150
LEFT, RIGHT, BOTTOM, TOP = 0.095, 0.975, 0.235, 0.82


@contextmanager
def blank_page(file_format: str) -> Iterator[Figure]:
    """A figure of our size under our style alone, whatever the person's own matplotlib settings say."""
    if file_format not in METADATA:
        raise PictureFormatUnknown(file_format, tuple(METADATA))
    from matplotlib import style
    from matplotlib.figure import Figure

    with style.context(["default", STYLE]), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing")  # a letter may be measured before it is spelled
        yield Figure(figsize=(WIDTH_INCH, HEIGHT_INCH))


def print_page(figure: Figure, file_format: str) -> bytes:
    """The figure as the bytes of a file. An SVG holds its words, and is shown in the fonts of whoever looks at it."""
    from matplotlib import rc_context
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    borrowed = file_format != "svg" and _borrow_fonts(figure)
    page = BytesIO()
    # The library can name no kind for some fonts of a machine in a PDF but that of single glyphs.
    with rc_context({"pdf.fonttype": 3} if borrowed else {}):
        FigureCanvasAgg(figure).print_figure(
            page, format=file_format, dpi=DOTS_PER_INCH, metadata=METADATA[file_format]
        )
    return page.getvalue()


def _borrow_fonts(figure: Figure) -> bool:
    """Draw letters that our font lacks in those of the machine, and spell what none has; whether any was borrowed."""
    from matplotlib.text import Text

    from lugbook.reports.machine_fonts import families_for, letters_lacking

    borrowed = False
    for text in figure.findobj(Text):
        letters = frozenset(text.get_text())
        if not letters or max(letters) <= LAST_OF_LATIN:
            continue
        families = families_for(letters)
        missing = letters_lacking(letters, families)
        if len(families) > 1:
            text.set_fontfamily(list(families))
            borrowed = True
        if missing:
            text.set_text(spell(text.get_text(), missing))
    return borrowed


def place_axes(figure: Figure) -> Axes:
    """The one pair of axes, inside fixed margins: pictures laid side by side line up."""
    return figure.add_axes((LEFT, BOTTOM, RIGHT - LEFT, TOP - BOTTOM))


def write_title(figure: Figure, title: str, subtitle: str) -> None:
    """The title, smaller where it is long, and the sentence under it in at most two lines."""
    shown = shortened(title, 120)
    size = min(13.0, 13.0 * 62 / max(len(shown), 1))
    lines = textwrap.wrap(shortened(subtitle, 220), 120)[:2]
    figure.text(LEFT - 0.075, 0.975, shown, fontsize=size, fontweight="bold", va="top")
    figure.text(LEFT - 0.075, 0.912, "\n".join(lines), fontsize=8.2, va="top", linespacing=1.25)


def write_corner(figure: Figure, text: str) -> None:
    """Whose span it is, small under the axes at the right."""
    figure.text(RIGHT, 0.172, shortened(text, 60), fontsize=7.5, color=FAINT, ha="right", va="top")


def write_foot(figure: Figure, text: str) -> None:
    """How to read the marks, small at the very bottom."""
    figure.text(LEFT - 0.075, 0.01, text, fontsize=7, color=FAINT)


def place_legend(figure: Figure, axes: Axes) -> None:
    """What the marks mean, in the lower margin where it hides nothing."""
    handles, labels = axes.get_legend_handles_labels()
    if handles:
        corner = (LEFT - 0.085, 0.03)
        figure.legend(
            handles, labels, loc="lower left", bbox_to_anchor=corner, ncols=3, fontsize=7.5, frameon=False
        )


def shortened(text: str, longest: int) -> str:
    """The text on one line without control characters, its middle left out where it is longer."""
    plain = "".join(
        "\ufffd" if unicodedata.category(sign) in ("Cc", "Cs", "Cn") else sign
        for sign in " ".join(text.split())
    )
    if len(plain) <= longest:
        return plain
    return f"{plain[: longest - longest // 3 - 1]}…{plain[-(longest // 3) :]}"
