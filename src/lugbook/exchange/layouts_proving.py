"""The tables of proving a crimp and of what it takes: samples, answers to the checklist, reels, prices."""

from __future__ import annotations

from lugbook.exchange.layout import MAYBE_BUILD, NOTE, OPERATOR, Layout, maybe, needed
from lugbook.units import fields

SAMPLES = Layout(
    kind="samples",
    says="crimps made to be spoilt: what they measured and how they looked",
    key=("recipe", "sample"),
    columns=(
        needed("recipe", "label", "how the crimp was made"),
        needed("sample", "label", "your number for the sample, as in its pull"),
        needed("tested_at", "time", "when it was measured and looked at"),
        maybe("drop_millivolt", "measure", "millivolt drop across it", field=fields.DROP_MILLIVOLT),
        maybe("current_ampere", "measure", "current through it", field=fields.CURRENT_AMPERE),
        maybe("joint_celsius", "measure", "its temperature", field=fields.JOINT_CELSIUS),
        maybe("voltage_instrument", "label", "the meter of the drop"),
        maybe("current_instrument", "label", "the meter of the current"),
        maybe(
            "length_millimetre",
            "measure",
            "between the probes along the cable, barrel included",
            field=fields.LENGTH_MILLIMETRE,
        ),
        maybe("width_millimetre", "measure", "across the crimp", field=fields.WIDTH_MILLIMETRE),
        maybe("height_millimetre", "measure", "the other way across", field=fields.HEIGHT_MILLIMETRE),
        maybe("ears", "yes or no", "yes if flash or ears stand out of the crimp; empty if nobody looked"),
        maybe(
            "strands_cut", "whole", "how many strands were cut; empty if nobody looked", least=0, most=10_000
        ),
        OPERATOR,
        NOTE,
    ),
)

ANSWERS = Layout(
    kind="answers",
    says="answers to the workmanship checklist, of terminals and of samples",
    key=("build", "cable_end", "recipe", "sample", "item", "looked_at"),
    columns=(
        needed("item", "label", "the line of the checklist, like no ears"),
        needed(
            "answer",
            "choice",
            "yes is good; of two answers the later one counts",
            words=("yes", "no", "not applicable", "not answered"),
        ),
        needed("looked_at", "time", "when somebody looked"),
        maybe("cable_end", "label", "the end whose terminal was looked at"),
        MAYBE_BUILD,
        maybe("recipe", "label", "of a sample: its recipe"),
        maybe("sample", "label", "of a sample: its number"),
        OPERATOR,
        NOTE,
    ),
)

REELS = Layout(
    kind="reels",
    says="cable on reels, in stock or to be bought",
    key=("reel",),
    columns=(
        needed("reel", "label", "your name for it"),
        needed("conductor", "label", "what is on it"),
        needed("length_metre", "measure", "how much is on it", field=fields.LENGTH_METRE),
        needed(
            "count", "whole", "how many; empty if as many as wanted can be bought", blank_ok=True, most=10_000
        ),
        NOTE,
    ),
)

PRICES = Layout(
    kind="prices",
    says="what parts and metres cost",
    key=("what",),
    columns=(
        needed("what", "label", "the conductor, the lug, the sealing; or loom, or heat shield"),
        needed("price", "money", "with its currency, like 4.20 EUR"),
        needed("per", "choice", "for a piece or for a metre", words=("piece", "metre")),
        NOTE,
    ),
)
