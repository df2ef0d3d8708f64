"""The tables of what terminals are made of, how and by whom."""

from __future__ import annotations

from lugbook.exchange.layout import MAYBE_BUILD, NOTE, OPERATOR, Layout, maybe, needed
from lugbook.units import fields

CONDUCTORS = Layout(
    kind="conductors",
    says="what cables are made of",
    key=("conductor",),
    columns=(
        needed("conductor", "label", "your name for it"),
        needed("size", "size", "like 2/0 AWG, SAE 2/0, 70 mm2 or 250 kcmil"),
        maybe("tinned", "yes or no", "yes if the strands are tinned; empty if not known"),
        maybe("strands", "label", "how it is stranded, like 1330 x 0.25"),
        maybe("insulation_celsius", "measure", "temperature rating", field=fields.INSULATION_CELSIUS),
        maybe("area_mm2", "measure", "metal area; from the size if empty", field=fields.AREA_MM2),
        maybe("strand_class", "label", "how fine its strands are, like class 5"),
        NOTE,
    ),
)

LUGS = Layout(
    kind="lugs",
    says="the parts that are crimped on",
    key=("lug",),
    columns=(
        needed("lug", "label", "your name for it"),
        maybe("barrel_size", "size", "the conductor size its barrel is made for"),
        maybe("stud_millimetre", "measure", "the stud its hole is made for", field=fields.STUD_MILLIMETRE),
        maybe("material", "label", "like copper"),
        maybe("plating", "label", "like tin"),
        maybe("wall_millimetre", "measure", "wall of its barrel", field=fields.WALL_MILLIMETRE),
        NOTE,
    ),
)

TOOLS = Layout(
    kind="tools",
    says="what crimps are made with",
    key=("tool",),
    columns=(
        needed("tool", "label", "your name for it"),
        maybe("kind", "label", "like hydraulic or hand"),
        NOTE,
    ),
)

OPERATORS = Layout(
    kind="operators",
    says="who makes and measures",
    key=("operator",),
    columns=(needed("operator", "label", "name or initials"), NOTE),
)

RECIPES = Layout(
    kind="recipes",
    says="how terminals are made",
    key=("recipe",),
    columns=(
        needed("recipe", "label", "your name for it"),
        needed("conductor_size", "label", "the conductor, by its name in your book or by its size"),
        needed("lug", "label", "the lug"),
        needed("tool", "label", "the tool"),
        needed("die", "label", "the die or its setting"),
        needed("presses", "whole", "how many presses along the barrel", most=50),
        needed("strip_millimetre", "measure", "insulation taken off", field=fields.STRIP_MILLIMETRE),
        maybe("sealing", "label", "like adhesive sleeve 40 mm"),
        maybe("compound", "label", "like antioxidant paste"),
        maybe(
            "joining",
            "choice",
            "how conductor and lug are joined; crimped if empty",
            words=("crimped", "soldered", "clamped"),
        ),
        maybe("press_order", "label", "which press comes first"),
        maybe("crimp_millimetre", "measure", "across the finished crimp", field=fields.CRIMP_MILLIMETRE),
        maybe("pull_standard", "label", "whose pull minimum it is held against, like UL 486A-486B"),
        maybe(
            "share_percent",
            "measure",
            "share of all such crimps that the bound is for; 99 if empty",
            field=fields.SHARE_PERCENT,
        ),
        NOTE,
    ),
)

PULLS = Layout(
    kind="pulls",
    says="sample crimps pulled to failure, and loads held on made terminals",
    key=("recipe", "sample", "pulled_at"),
    columns=(
        needed("recipe", "label", "how the crimp was made"),
        needed("sample", "label", "your number for the sample"),
        needed("pulled_at", "time", "when it was pulled"),
        needed("pull_newton", "measure", "greatest force", field=fields.PULL_NEWTON),
        needed(
            "failure",
            "choice",
            "what gave way",
            words=("conductor broke", "pulled out", "lug cracked", "not to failure"),
        ),
        maybe(
            "kind",
            "choice",
            "sample, or proof on a made terminal; sample if empty",
            words=("sample", "proof"),
            default="sample",
        ),
        maybe("cable_end", "label", "the end a proof pull was held on"),
        MAYBE_BUILD,
        maybe("hold_second", "measure", "how long the load was held", field=fields.HOLD_SECOND),
        maybe("instrument", "label", "the pull tester"),
        OPERATOR,
        maybe("moved", "yes or no", "of a proof pull: whether the lug moved"),
        maybe("confirmed", "yes or no", "yes if it looked wrong and was looked at again", default=False),
        NOTE,
    ),
)
