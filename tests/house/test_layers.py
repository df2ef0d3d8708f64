"""Imports point down only: the contracts of pyproject.toml are kept."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
LINT = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"


def test_no_room_knows_a_room_above_or_beside_it() -> None:
    """In a process of its own: the linter prints, and warns of what is not ours."""
    env = os.environ | {"PYTHONPATH": str(ROOT / "src"), "NO_COLOR": "1"}
    ran = subprocess.run(
        [sys.executable, "-c", LINT], cwd=ROOT, env=env, capture_output=True, text=True, check=False
    )

    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert "2 kept, 0 broken" in ran.stdout
