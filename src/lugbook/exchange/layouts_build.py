"""The tables of one build: what is in it, where, and what is watched."""

from __future__ import annotations

from lugbook.exchange.layout import BUILD, NOTE, OPERATOR, PLACES, TORQUE, Layout, maybe, needed
from lugbook.units import fields

BUILDS = Layout(
    kind="builds",
    says="vessels, vehicles and systems",
    key=("build",),
    columns=(
        needed("build", "label", "name of the vessel, vehicle or system"),
        maybe("description", "note", "what it is, in a sentence"),
        maybe("zone", "zone", "time zone of its times, like Europe/Lisbon; UTC if empty", default="UTC"),
    ),
)

CABLES = Layout(
    kind="cables",
    says="made-up cables; their ends get the tag and A or B",
    key=("build", "cable"),
    columns=(
        BUILD,
        needed("cable", "label", "tag of the cable, like C12"),
        needed("conductor", "label", "what it is made of"),
        needed("length_metre", "measure", "length, lug to lug", field=fields.LENGTH_METRE),
        maybe("from_place", "choice", "what end A has to stand", words=PLACES),
        maybe("to_place", "choice", "what end B has to stand", words=PLACES),
        maybe("recipe", "label", "how its ends are to be made"),
        maybe("route_metre", "measure", "the way it takes, stud to stud", field=fields.ROUTE_METRE),
        maybe("service_loop_metre", "measure", "to spare", field=fields.SERVICE_LOOP_METRE),
        maybe("bends", "whole", "quarter turns that the route leaves out", least=0, most=1000),
        maybe("bend_radius_millimetre", "measure", "of each bend", field=fields.BEND_RADIUS_MILLIMETRE),
        maybe("trim_millimetre", "measure", "cut away at each end", field=fields.TRIM_MILLIMETRE),
        maybe("loom_metre", "measure", "loom over it", field=fields.LOOM_METRE),
        maybe("heat_shield_metre", "measure", "heat shield over it", field=fields.HEAT_SHIELD_METRE),
        maybe("quoted_price", "money", "asked for this cable ready made"),
        maybe("circuit", "label", "the circuit it is a part of"),
        maybe("circuit_ampere", "measure", "current the circuit carries", field=fields.CIRCUIT_AMPERE),
        maybe("system_volt", "measure", "volts of the system", field=fields.SYSTEM_VOLT),
        maybe(
            "drop_budget_percent",
            "measure",
            "percent of the system's volts that the round trip may lose",
            field=fields.DROP_BUDGET_PERCENT,
        ),
        NOTE,
    ),
)

LANDINGS = Layout(
    kind="landings",
    says="posts, studs and bus bars that terminals are bolted to",
    key=("build", "landing"),
    columns=(
        BUILD,
        needed("landing", "label", "tag of the landing"),
        needed("kind", "choice", "what it is", words=("post", "stud", "bus bar")),
        maybe("hardware", "label", "nut and washers"),
        maybe("torque_newton_metre", "measure", TORQUE, field=fields.TORQUE_NEWTON_METRE),
        maybe(
            "maker_torque_newton_metre",
            "measure",
            "torque that the maker of the part states",
            field=fields.MAKER_TORQUE_NEWTON_METRE,
        ),
        NOTE,
    ),
)

TERMINALS = Layout(
    kind="terminals",
    says="lugs crimped on cable ends",
    key=("build", "cable_end", "made_at"),
    columns=(
        BUILD,
        needed("cable_end", "label", "cable tag and end, like C12A"),
        needed("recipe", "label", "how it was made"),
        needed("made_at", "time", "when it was crimped"),
        OPERATOR,
        maybe("landing", "label", "where it is bolted"),
        maybe("die", "label", "the die setting, where it was not that of the recipe"),
        NOTE,
    ),
)

SPANS = Layout(
    kind="spans",
    says="pairs of probe places watched over the years",
    key=("build", "span"),
    columns=(
        BUILD,
        needed("span", "label", "tag of the span, like C12A/crimp"),
        needed(
            "kind",
            "choice",
            "what lies between; a fuse holder, a plug or a switch is a joint",
            words=("crimp", "landing", "cable", "joint", "check standard"),
        ),
        needed("place", "choice", "what it has to stand", words=PLACES),
        maybe("cable_end", "label", "the end it is on"),
        maybe("landing", "label", "the landing it is on"),
        maybe(
            "duty",
            "choice",
            "what fails with it, where that asks for more care",
            words=("starting", "steering", "bilge pump", "grounding"),
        ),
        maybe("limit_microohm", "measure", "your own limit at 20 degC", field=fields.LIMIT_MICROOHM),
        maybe(
            "probe_millimetre",
            "measure",
            "bare cable between the probes; for a crimp, from the barrel to the probe on the cable",
            field=fields.PROBE_MILLIMETRE,
        ),
        maybe(
            "placement_millimetre",
            "measure",
            "how closely the probes find the same places, plus or minus",
            field=fields.PLACEMENT_MILLIMETRE,
        ),
        NOTE,
    ),
)
