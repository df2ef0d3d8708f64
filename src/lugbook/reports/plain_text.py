"""Which characters of a person's text may reach paper or a screen, how, and where a line may break."""

from __future__ import annotations

import re
import unicodedata

REPLACEMENT = "\ufffd"
_KEPT_CONTROLS = frozenset("\n\u200c\u200d")
"""The line end, and the two joiners that some scripts cannot do without."""
_LONG_RUN = re.compile(r"[!-~\u00a1-\u052f]{25,}")
_DIGEST = re.compile(r"[0-9a-f]{32}[,.]?|[0-9a-f]{64}")
_BREAK_EVERY = 12
_BEFORE_UNIT = re.compile(r"(?<=[0-9]) (?=(?:%|°C|µ?Ω|[mµ]?V|A|k?N|lbf|mm²?|m|s)(?!\w))")


def fit_to_show(text: str) -> str:
    """Plain text in which a number stays on one line with its unit."""
    return _BEFORE_UNIT.sub("\u00a0", plain(text))


def plain(text: str) -> str:
    """The text without controls: what drives a terminal, turns the line round, or is no character becomes \ufffd.

    Line ends of every kind become one; a tab becomes a blank. Text that runs from right to left needs no controls.
    """
    if text.isascii() and text.isprintable():
        return text
    lines = text.replace("\r\n", "\n").replace("\r", "\n").replace("\u2028", "\n").replace("\u2029", "\n")
    return "".join(_shown(sign) for sign in lines.replace("\t", " "))


def breakable(text: str) -> str:
    """Plain text in which a run of more than 24 letters without a blank may break every 12."""
    return _LONG_RUN.sub(lambda run: "\u200b".join(_cut(run.group())), fit_to_show(text))


def spell(text: str, missing: frozenset[str]) -> str:
    """The text with letters that no font has as their Unicode numbers: "[U+6F22]"."""
    return "".join(f"[U+{ord(sign):04X}]" if sign in missing else sign for sign in text)


def _shown(sign: str) -> str:
    if sign in _KEPT_CONTROLS or unicodedata.category(sign) not in ("Cc", "Cf", "Cs", "Cn", "Co"):
        return sign
    return REPLACEMENT


def _cut(run: str) -> list[str]:
    if _DIGEST.fullmatch(run):
        return [run]  # it is copied from the page and compared: nothing unseen may get into it
    return [run[at : at + _BREAK_EVERY] for at in range(0, len(run), _BREAK_EVERY)]
