"""Every unit a person may type: its symbol here, the ways it is spelt, what look-alikes of it mean."""

from __future__ import annotations

from functools import lru_cache

# Symbol -> the spellings read as it. Exactly as written here, because m and M, or k and K, differ by a lot.
_SPELLINGS = {
    "mV": ("mv",),
    "V": ("v",),
    "uV": ("uv",),
    "A": ("a", "Amp", "Amps"),
    "mA": (),
    "kA": (),
    "microohm": ("uohm", "uOhm", "uΩ"),
    "milliohm": ("mohm", "mOhm", "mΩ"),
    "ohm": ("Ω",),
    "degC": ("C", "c", "deg C", "degc"),
    "degF": ("F", "f", "deg F", "degf"),
    "K": (),
    "N": (),
    "kN": (),
    "lbf": ("lb f",),
    "kgf": ("kg f", "kp"),
    "N m": ("Nm", "N.m", "N-m"),
    "lbf ft": ("lbf.ft", "lbf-ft", "ft lbf", "ft-lbf", "lb ft", "lb-ft", "ft lb", "ft-lb", "ftlb", "lbft"),
    "lbf in": ("lbf.in", "lbf-in", "in lbf", "in-lbf", "lb in", "lb-in", "in lb", "in-lb", "inlb", "lbin"),
    "m": (),
    "cm": (),
    "mm": (),
    "ft": ("'",),
    "in": ('"',),
    "mm2": ("mm^2", "mm 2", "sq mm", "sqmm"),
    "kcmil": ("MCM", "mcm"),
    "cmil": (),
    "%": (),
    "s": ("sec",),
    "min": (),
    "counts": ("count", "digits", "digit", "dgt"),
}

# Symbol -> its names in words; these are read in capitals too, since no two of them differ by case alone.
_WORDS = {
    "mV": ("millivolt", "millivolts"),
    "V": ("volt", "volts"),
    "uV": ("microvolt", "microvolts"),
    "A": ("ampere", "amperes", "amp", "amps"),
    "mA": ("milliampere", "milliamperes", "milliamp", "milliamps"),
    "kA": ("kiloampere", "kiloamperes"),
    "microohm": ("microohm", "microohms", "micro-ohm", "micro-ohms"),
    "milliohm": ("milliohm", "milliohms"),
    "ohm": ("ohm", "ohms"),
    "degC": ("celsius", "degrees celsius"),
    "degF": ("fahrenheit", "degrees fahrenheit"),
    "K": ("kelvin",),
    "N": ("newton", "newtons"),
    "kN": ("kilonewton", "kilonewtons"),
    "lbf": ("lbf", "pound force", "pounds force"),
    "kgf": ("kgf", "kilogram force"),
    "N m": ("newton metre", "newton metres", "newton meter", "newton meters", "newton_metre"),
    "m": ("metre", "metres", "meter", "meters"),
    "cm": ("centimetre", "centimetres", "centimeter", "centimeters"),
    "mm": ("millimetre", "millimetres", "millimeter", "millimeters"),
    "ft": ("foot", "feet"),
    "in": ("inch", "inches"),
    "kcmil": ("kcmil",),
    "cmil": ("circular mil", "circular mils"),
    "%": ("percent", "per cent"),
    "s": ("second", "seconds"),
    "min": ("minute", "minutes"),
}

# What is often typed for something else, and what it is.
_MEANINGS = {
    "MV": "MV is megavolt",
    "Mv": "Mv is no unit; mV is millivolt",
    "KV": "kV is kilovolt",
    "MA": "MA is megaampere",
    "Mohm": "Mohm is megaohm",
    "MOhm": "MOhm is megaohm",
    "MΩ": "MΩ is megaohm",
    "MN": "MN is meganewton",
    "Mm": "Mm is megametre",
    "MM": "MM is no unit; mm is millimetre",
    "lb": "lb is a mass; lbf is the force",
    "lbs": "lbs is a mass; lbf is the force",
    "kg": "kg is a mass; kgf is the force",
    "Ah": "Ah is a charge",
    "W": "W is a power",
    "AWG": "AWG names a size",
}

# Other code points for the same sign: micro and mu, ohm sign and omega, and the ways a product is dotted.
_SAME_SIGN = str.maketrans(
    {
        "\N{MICRO SIGN}": "u",
        "\N{GREEK SMALL LETTER MU}": "u",
        "\N{OHM SIGN}": "\N{GREEK CAPITAL LETTER OMEGA}",
        "\N{SUPERSCRIPT TWO}": "2",
        "\N{MIDDLE DOT}": " ",
        "\N{DOT OPERATOR}": " ",
        "\N{BULLET OPERATOR}": " ",
        "*": " ",
        "_": " ",
        "\N{PRIME}": "'",
        "\N{DOUBLE PRIME}": '"',
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{DEGREE CELSIUS}": "degC",
        "\N{DEGREE FAHRENHEIT}": "degF",
        "\N{DEGREE SIGN}": "deg",
        "\N{MASCULINE ORDINAL INDICATOR}": "deg",
    }
)

# How a symbol looks in a sentence or on paper, where that is not the symbol itself.
_SHOWN = {
    "uV": "µV",
    "microohm": "µΩ",
    "milliohm": "mΩ",
    "ohm": "Ω",
    "degC": "°C",
    "degF": "°F",
    "mm2": "mm²",
}

_BY_SPELLING = {spelling: symbol for symbol, more in _SPELLINGS.items() for spelling in (symbol, *more)}
_BY_WORD = {word.replace("_", " "): symbol for symbol, words in _WORDS.items() for word in words}


@lru_cache(maxsize=1024)
def symbol_of(spelling: str) -> str | None:
    """The symbol of a unit as typed ("µΩ", "millivolts", "ft-lb"); None where it is no unit known here."""
    plain = " ".join(spelling.translate(_SAME_SIGN).split())
    return _BY_SPELLING.get(plain) or _BY_WORD.get(plain.casefold())


def meaning_of(spelling: str) -> str:
    """What a refused unit means, for the refusal; '' where it is not one of the usual mistakes."""
    return _MEANINGS.get(" ".join(spelling.translate(_SAME_SIGN).split()), "")


def shown(symbol: str) -> str:
    """The unit as it stands in a sentence or on paper: "µΩ" for "microohm", "°C" for "degC"."""
    return _SHOWN.get(symbol, symbol)
