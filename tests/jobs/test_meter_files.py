"""Files as spreadsheets and logging meters write them come in with the right numbers."""

import codecs
from typing import Any

import pytest

from conftest import Shell

HEADINGS = (
    "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument"
)


def read_in(bench: Shell, content: str | bytes, *options: str) -> Any:
    bench.does("import", "readings", bench.file("log.csv", content), *options)
    (reading,) = bench.readings_of("C12B/crimp")
    return reading


LOGGER = """Logging meter export
Channels;3
Decimal sign;comma

span;round;taken_at;drop (mV);current (A);joint (°C);voltage_instrument;current_instrument
C12B/crimp;2026;18.04.2026 14:32;0,842;100,5;31,0;bench meter;hand clamp
"""


@pytest.mark.parametrize(
    "content",
    [
        pytest.param(LOGGER.encode(), id="UTF-8"),
        pytest.param(codecs.BOM_UTF8 + LOGGER.encode(), id="UTF-8 with its mark"),
        pytest.param(LOGGER.encode("utf-16"), id="UTF-16"),
        pytest.param(LOGGER.encode("cp1252"), id="Windows-1252"),
        pytest.param(LOGGER.replace("\n", "\r\n").encode(), id="CR LF"),
        pytest.param(LOGGER.replace(";", "\t").encode(), id="tabs"),
    ],
)
def test_a_loggers_file_is_read_whatever_its_encoding(bench: Shell, content: bytes) -> None:
    reading = read_in(bench, content)

    # 14:32 in Lisbon in April is 13:32 UTC. 0.842 / 100.5 mohm at 31 degC = 8.03093 microohm at 20 degC by hand.
    assert reading["taken_at"] == "2026-04-18T13:32:00.000000Z"
    assert (reading["drop_millivolt"], reading["current_ampere"], reading["joint_celsius"]) == (
        0.842,
        100.5,
        31.0,
    )
    assert reading["microohm_20c"] == pytest.approx(8.03093, rel=1e-4)


def test_a_heading_may_say_another_unit(bench: Shell) -> None:
    headings = HEADINGS.replace("drop_millivolt", "drop_volt").replace("joint_celsius", "joint_fahrenheit")

    reading = read_in(
        bench, f"{headings}\nC12B/crimp,2026,2026-04-18,0.00084,100,68,bench meter,hand clamp\n"
    )

    assert (reading["drop_millivolt"], reading["joint_celsius"]) == (0.84, 20.0)


def test_a_cell_may_say_another_unit_than_its_heading(bench: Shell) -> None:
    reading = read_in(
        bench, f"{HEADINGS}\nC12B/crimp,2026,2026-04-18,840 uV,0.1 kA,68 degF,bench meter,hand clamp\n"
    )

    assert (reading["drop_millivolt"], reading["current_ampere"], reading["joint_celsius"]) == (
        0.84,
        100.0,
        20.0,
    )


def test_a_pull_testers_pounds_become_newtons(bench: Shell) -> None:
    recipe = "R1,2/0 AWG,L20,press,13 hex,2,26\n"
    headings = "recipe,conductor_size,lug,tool,die,presses,strip_millimetre\n"
    bench.does("import", "recipes", bench.file("recipes.csv", headings + recipe))
    pulls = "recipe,sample,pulled_at,pull_lbf,failure\nR1,1,2026-04-18,1000,pulled out\n"

    bench.does("import", "pulls", bench.file("pulls.csv", pulls))

    # 1 lbf = 4.4482216152605 N exactly (NIST SP 811, appendix B.8).
    (pull,) = bench.tells("pull", "list")["pulls"]
    assert pull["pull_newton"] == "4448.2216152605"


def test_a_comma_with_two_meanings_is_settled_by_the_person(bench: Shell) -> None:
    row = f'{HEADINGS}\nC12B/crimp,2026,2026-04-18,"1,234",100,20,bench meter,hand clamp\n'

    assert read_in(bench, row, "--decimal", "comma")["drop_millivolt"] == 1.234


def test_columns_of_a_meters_own_can_be_left_out(bench: Shell) -> None:
    content = f"{HEADINGS},battery\nC12B/crimp,2026,2026-04-18,0.84,100,20,bench meter,hand clamp,87 %\n"

    sentence = bench.refuses("import", "readings", bench.file("log.csv", content))

    assert sentence == (
        'Nothing of log.csv was written. Line 1: "battery" is not a heading of a table of readings; '
        "rename the column, take it out, or leave it out with --skip-unknown."
    )
    assert read_in(bench, content, "--skip-unknown")["drop_millivolt"] == 0.84


def test_refused_lines_set_aside_keep_the_unit_of_their_heading(bench: Shell) -> None:
    headings = HEADINGS.replace("drop_millivolt", "drop_microvolt")
    good = "C12B/crimp,2026,2026-04-18,840,100,20,bench meter,hand clamp\n"
    bad = "C12B/crmp,2026,2026-04-18 15:00,850,100,20,bench meter,hand clamp\n"
    aside = bench.folder / "aside.csv"

    ran = bench("import", "readings", bench.file("log.csv", f"{headings}\n{good}{bad}"), "--set-aside", aside)

    assert ran.out == "log.csv: 1 reading entered.\n"
    assert ran.err == (
        '  refused: Line 3, span: read "C12B/crmp"; expected a span that is in this book (did you mean C12B/crimp?).\n'
        f"  the refused lines are in {aside}; correct them and import that file.\n"
    )
    aside.write_text(aside.read_text().replace("C12B/crmp", "C12B/crimp"))
    assert bench.does("import", "readings", aside) == "aside.csv: 1 reading entered.\n"
    assert [r["drop_millivolt"] for r in bench.readings_of("C12B/crimp")] == [0.84, 0.85]


def test_a_file_without_refused_lines_leaves_nothing_aside(bench: Shell) -> None:
    good = f"{HEADINGS}\nC12B/crimp,2026,2026-04-18,0.84,100,20,bench meter,hand clamp\n"
    aside = bench.folder / "aside.csv"

    bench.does("import", "readings", bench.file("log.csv", good), "--set-aside", aside)

    assert not aside.exists()
