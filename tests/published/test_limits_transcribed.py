"""Limits of drops and of hurt strands against the copies they were taken from."""

import csv
from pathlib import Path

from lugbook.assessment.criteria import CRANKING_DROPS, STRAND_DAMAGE, strand_damage_for

DATA = Path(__file__).parent / "data"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8") as table:
        return list(csv.DictReader(table))


def test_every_published_cranking_drop_is_a_row_word_for_word() -> None:
    # All but the control side, which carries no heavy cable.
    copied = [
        (
            row["where"],
            float(row["system_v"]),
            float(row["limit_v"]),
            row["meaning"],
            row["source"],
            row["provenance"],
        )
        for row in rows("starting_circuit_drop.csv")
        if "control" not in row["where"]
    ]

    held = [
        (row.where, row.system_volt, row.limit_volt, row.meaning, row.source, row.provenance)
        for row in CRANKING_DROPS
    ]

    assert held == copied


def test_every_row_of_hurt_strands_is_that_of_the_copy() -> None:
    copied = [row for row in rows("strand_damage.csv") if row["awg"] != "any"]

    assert [row.strands for row in STRAND_DAMAGE] == [row["strands_in_conductor"] for row in copied]
    for held, row in zip(STRAND_DAMAGE, copied, strict=True):
        assert (held.most_nicked, held.most_broken) == (int(row["max_nicked"]), int(row["max_broken"]))
        assert (held.source, held.provenance) == (row["source"], row["provenance"])
        ends = row["awg"].split("-")
        assert (held.gauges[0], held.gauges[-1]) == (ends[0], ends[-1])


def test_a_size_outside_the_table_has_no_row_of_hurt_strands() -> None:
    found = strand_damage_for("2/0")

    assert found is not None
    assert found.most_broken == 6
    assert strand_damage_for("3") is None
