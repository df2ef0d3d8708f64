"""Files are short, open with what they know, are no drawers, and say what each public thing does."""

import ast
from collections import Counter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "src").rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("*.py"))
MOST_LINES = 400
DRAWERS = {
    "utils",
    "util",
    "helpers",
    "helper",
    "core",
    "common",
    "misc",
    "api",
    "types",
    "manager",
    "process",
}


def named(files: list[Path]) -> list:
    """One case a file, called by its path."""
    return [pytest.param(file, id=file.relative_to(ROOT).as_posix()) for file in files]


@pytest.mark.parametrize("file", named(SOURCES + TESTS))
def test_a_file_is_short_and_opens_with_a_docstring(file) -> None:
    text = file.read_text(encoding="utf-8")

    assert len(text.splitlines()) <= MOST_LINES
    assert ast.get_docstring(ast.parse(text))


@pytest.mark.parametrize("file", named(SOURCES))
def test_every_public_thing_says_what_it_does(file) -> None:
    assert undocumented(ast.parse(file.read_text(encoding="utf-8")), "") == []


def test_no_file_or_folder_is_a_drawer() -> None:
    names = {part for file in SOURCES + TESTS for part in file.relative_to(ROOT).with_suffix("").parts}

    assert names & DRAWERS == set()


def test_no_two_tests_have_one_name() -> None:
    """Without packages, pytest knows a test file by its name alone."""
    counts = Counter(file.name for file in TESTS)

    assert [name for name, count in counts.items() if count > 1] == []


def test_table_files_do_not_put_off_their_annotations() -> None:
    """SQLModel reads the annotations of a table as types."""
    files = [*(ROOT / "src/lugbook/records").glob("tables*.py"), ROOT / "src/lugbook/records/facts.py"]

    assert len(files) == 9
    for file in files:
        tree = ast.parse(file.read_text(encoding="utf-8"))
        modules = [node.module for node in tree.body if isinstance(node, ast.ImportFrom)]
        assert "__future__" not in modules, file


def undocumented(node: ast.AST, owner: str) -> list[str]:
    """Public functions, classes and methods without a docstring; what stands inside a function is not public."""
    missing = []
    for child in ast.iter_child_nodes(node):
        if isinstance(
            child, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef
        ) and not child.name.startswith("_"):
            if not ast.get_docstring(child):
                missing.append(owner + child.name)
            if isinstance(child, ast.ClassDef):
                missing += undocumented(child, f"{owner}{child.name}.")
    return missing
