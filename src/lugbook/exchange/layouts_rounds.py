"""The sheet of a round as a table: what is printed beside each box, and the boxes."""

from __future__ import annotations

from dataclasses import replace

from lugbook.exchange.layout import MAYBE_BUILD, NOTE, Layout, maybe, needed
from lugbook.units import fields

ROUND_SHEET = Layout(
    kind="a round sheet",
    says="the sheet of a round, one row a stop; rows without a drop were not read",
    key=("stop",),
    columns=(
        maybe("stop", "whole", "number of the stop in walking order", most=100_000),
        maybe("span", "label", "the span; without this column the rows are the spans left to read, in order"),
        maybe("place", "label", "where it is"),
        maybe("where", "note", "landing and place of the end"),
        maybe("last", "note", "what it read last"),
        maybe("expected", "note", "what it should read"),
        replace(
            needed("drop_millivolt", "measure", "to fill in: the drop", field=fields.DROP_MILLIVOLT),
            blank_ok=True,
        ),
        maybe(
            "polarity",
            "choice",
            "to fill in: reverse where the current ran the other way",
            words=("forward", "reverse"),
        ),
        maybe(
            "current_ampere", "measure", "to fill in; as above where it is empty", field=fields.CURRENT_AMPERE
        ),
        maybe(
            "joint_celsius", "measure", "to fill in; as above where it is empty", field=fields.JOINT_CELSIUS
        ),
        maybe("taken_at", "time", "to fill in, if you like"),
        maybe("skipped", "note", "to fill in: why it was not read"),
        maybe("confirmed", "yes or no", "yes if it looked wrong and was read again"),
        NOTE,
        maybe("round", "label", "the round"),
        MAYBE_BUILD,
    ),
)
