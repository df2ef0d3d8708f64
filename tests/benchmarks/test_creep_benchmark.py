"""The creep benchmark runs, and what it finds holds for one seed and another: few replicates daily, many when asked."""

import json
import subprocess
import sys
from pathlib import Path

import creep
import numpy as np
import pytest
from creep_builds import invent_builds
from creep_methods import (
    CLAIRVOYANT,
    FAST,
    INFORMED,
    OURS,
    SIMPLE,
    mann_kendall,
    mann_kendall_of_library,
)


def by_case(
    seed: int, spans_in_all: int, cases: list[tuple[int, float, float]]
) -> dict[tuple, dict[str, dict]]:
    """The rows of the comparison: case, then method."""
    found: dict[tuple, dict[str, dict]] = {case: {} for case in cases}
    for row in creep.compare(seed, spans_in_all, FAST, cases):
        found[creep.case_of(row)][row["method"]] = row
    return found


@pytest.mark.parametrize("seed", [1, 20261])
def test_creep_is_found_hardly_later_than_by_one_who_knows_and_sooner_than_by_a_rule_of_thumb(
    seed: int,
) -> None:
    # 120 creeping spans: the standard error of a ratio is about 0.035; two of them are left as room.
    found = by_case(seed, 1200, [(40, 0.0, 0.08), (40, 0.03, 0.08)])

    for (_, bad_share, _), rows in found.items():
        best = min(rows[name]["excess"] for name in SIMPLE)
        assert rows[OURS]["to_clairvoyant"] < (1.10 if bad_share == 0 else 1.15) + 0.07
        assert rows[OURS]["excess"] / best < (0.70 if bad_share == 0 else 0.80) + 0.07
        assert rows[INFORMED]["excess"] <= rows[CLAIRVOYANT]["excess"]


def test_pymannkendall_agrees_with_the_scores_of_all_rows_at_once() -> None:
    pytest.importorskip("pymannkendall")
    rows = invent_builds((5,), builds=1, spans=30).log_resistance[0]

    assert mann_kendall(np.arange(10), rows) == pytest.approx(mann_kendall_of_library(rows))


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 20261])
@pytest.mark.parametrize("case", creep.CASES, ids=str)
def test_the_numbers_that_were_asked_for_hold_in_many_builds(
    case: tuple[int, float, float], seed: int
) -> None:
    # 1600 creeping spans (1333 in small builds): two standard errors of a ratio are about 0.02.
    rows = by_case(seed, 16_000, [case])[case]

    _, bad_share, rate = case
    best = min(rows[name]["excess"] for name in SIMPLE)
    if bad_share > 0:
        assert rows[OURS]["to_clairvoyant"] < (1.35 if rate == 0.16 else 1.15) + 0.02
    elif rate == 0.08:
        assert rows[OURS]["to_clairvoyant"] < 1.10 + 0.02
    if rate == 0.08:
        assert rows[OURS]["excess"] / best < (0.70 if bad_share == 0 else 0.80) + 0.02
    assert rows[OURS]["excess"] < best


@pytest.mark.slow
def test_the_script_prints_a_table_and_writes_its_numbers(tmp_path: Path) -> None:
    script, out = Path(creep.__file__), tmp_path / "found.json"

    ran = subprocess.run(
        [sys.executable, script, "--quick", "--seed", "4", "--json", out],
        capture_output=True,
        text=True,
        check=True,
    )

    assert "clairvoyant" in ran.stdout
    assert set(json.loads(out.read_text(encoding="utf-8"))) >= {
        "methods",
        "false_alarms",
        "coverage",
        "power",
        "speed",
    }
