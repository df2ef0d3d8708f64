"""The pages and the program name the same things."""

import re
from pathlib import Path

import pytest
from typer.main import get_command

import lugbook.errors as errors
from lugbook.assessment.judging import SpanVerdict
from lugbook.cli.app import NOUNS, app
from lugbook.errors import Refusal
from lugbook.exchange.layouts import LAYOUTS

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
NOT_REFUSALS = {0, 1, 2, 10}
"""Done, verify found something, not understood by the command line itself, and `status --exit-code`."""


def test_the_readme_names_every_exit_code_and_no_other() -> None:
    listed = [int(code) for code in re.findall(r"^\| (\d+) \| .+ \|$", README, re.M)]

    classes = [
        thing for thing in vars(errors).values() if isinstance(thing, type) and issubclass(thing, Refusal)
    ]
    assert listed == sorted({refusal.exit_code for refusal in classes} | NOT_REFUSALS)


@pytest.mark.parametrize("heading", ["Run it", "Test it"])
def test_running_and_testing_take_one_line_each(heading) -> None:
    section = README.split(f"\n## {heading}\n")[1].split("\n## ")[0]

    (block,) = re.findall(r"^```\n(.*?)^```$", section, re.M | re.S)
    assert len(block.splitlines()) == 1


def test_the_readme_names_every_kind_of_table() -> None:
    sentence = re.search(r"^The kinds are (.+?);", README, re.M | re.S)

    assert sentence is not None
    assert set(re.findall(r"`(\w+)`", sentence[1])) == set(LAYOUTS)


def test_the_readme_names_every_noun_and_each_has_a_sentence() -> None:
    sentence = re.search(r"The nouns are (.+?)\.\n", README, re.S)

    assert sentence is not None
    assert re.findall(r"`(\w+)`", sentence[1]) == list(NOUNS)
    assert all(says.endswith(".") for _, says in NOUNS.values())


@pytest.mark.parametrize("noun", NOUNS)
def test_every_noun_is_found_where_the_list_says(noun: str) -> None:
    assert get_command(app).get_command(None, noun).name == noun


def test_every_command_of_the_readme_exists() -> None:
    commands = get_command(app)
    typed = re.findall(r"^lugbook ([\w-]+)(?: ([\w-]+))?", README, re.M)

    assert typed
    for noun, verb in typed:
        assert noun in NOUNS, noun
        command = commands.get_command(None, noun)
        verbs = getattr(command, "commands", None)
        assert verbs is None or verb in verbs, (noun, verb)


def test_every_verdict_has_its_row_in_the_readme() -> None:
    table = README.split("### What the verdicts mean")[1].split("\n\n")[1]

    rows = set(re.findall(r"^\| `([a-z ]+)` \|", table, re.M))
    assert rows == {"steady", "creeping", "stepped", "over limit", "too few readings", "not judged"}
    assert "verdict" in SpanVerdict.__annotations__
