"""The types hold, strictly."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_types_of_the_whole_program_hold() -> None:
    """Its cache is kept beside the other caches: the first run takes half a minute, the next ones seconds."""
    ran = subprocess.run(
        [sys.executable, "-m", "mypy"], cwd=ROOT, capture_output=True, text=True, check=False
    )

    assert ran.returncode == 0, ran.stdout
