"""Files with the headings that bulk use needs, and no others, fill a book in which nothing was entered before."""

import pytest

from conftest import Shell

READ = "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument"
FILES = {
    "builds": "build,description\nBoat,a sloop\nVan,a van\n",
    "instruments": (
        "instrument,kind,percent_of_reading,counts,resolution,unit\n"
        "MV,millivoltmeter,0.5,3,0.01,mV\nCL,clamp,2,3,0.1,A\nSH,shunt,0.5,2,0.01,A\n"
        "TH,thermometer,0,5,0.1,degC\nPT,pull tester,1,2,10,N\nTW,torque wrench,4,1,0.1,N m\n"
    ),
    "recipes": (
        "recipe,conductor_size,lug,tool,die,presses,strip_millimetre\n"
        "R1,2/0 AWG,L20,press,13 hex,2,26\nR2,70 mm2,L70,press,12 hex,2,24\nR3,2/0 AWG,L20,press,14 hex,2,26\n"
    ),
    "spans": (
        "build,span,kind,place\nBoat,C1A/crimp,crimp,dry\nBoat,C1A/landing,landing,engine\nBoat,C1/cable,cable,bilge\n"
        "Boat,fuse/joint,joint,exposed\nVan,C9A/crimp,crimp,dry\n"
    ),
    "readings": (
        "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument\n"
        "C1A/crimp,2025,2025-05-01 10:00,0.84,100,31,MV,CL\n"
        "C1A/landing,2025,2025-05-01 10:05,1.20,102.5,,MV,CL\n"
        "C1/cable,2025,2025-05-01 10:10,45.6,98.7,12.5,MV,CL\n"
        "C9A/crimp,2025,2025-05-01 11:00,0.61,75.25,-5,MV,SH\n"
    ),
    "pulls": (
        "recipe,sample,pulled_at,pull_newton,failure\n"
        "R1,1,2025-02-01,9100,conductor broke\nR1,2,2025-02-01,8700,pulled out\nR2,1,2025-02-01,7000,lug cracked\n"
    ),
}


@pytest.fixture
def filled(shell: Shell) -> Shell:
    """A new book into which the files were imported one after another."""
    shell.does("book", "new", shell.book)
    for kind, text in FILES.items():
        count = text.count("\n") - 1
        said = shell.does("import", kind, shell.file(f"{kind}.csv", text))
        assert said == f"{kind}.csv: {count} {kind} entered.\n"
    return shell


def test_six_files_with_the_needed_headings_fill_an_empty_book(filled: Shell) -> None:
    rows = filled.tells("book", "info")["rows"]

    assert {name: rows[name] for name in ("build", "instrument", "recipe", "span", "reading", "pull")} == {
        "build": 2, "instrument": 6, "recipe": 3, "span": 5, "reading": 4, "pull": 3,
    }  # fmt: skip
    assert {name: rows[name] for name in ("conductor", "lug", "tool")} == {
        "conductor": 2,
        "lug": 2,
        "tool": 1,
    }
    assert filled.tells("book", "verify")["sound"] is True


def test_the_same_six_files_again_add_nothing(filled: Shell) -> None:
    before = filled.line_count()

    for kind, text in FILES.items():
        count = text.count("\n") - 1
        said = filled.does("import", kind, filled.folder / f"{kind}.csv")
        assert said == f"{kind}.csv: 0 {kind} entered, {count} the book already had.\n"

    assert filled.line_count() == before


@pytest.mark.parametrize(
    ("span", "microohm"),
    [
        # R = V / I / (1 + 0.00393 (T - 20)), by hand:
        pytest.param("C1A/crimp", 8.051916, id="0.84/100 = 8.4; 1 + 0.00393*11 = 1.04323"),
        pytest.param("C1A/landing", 11.707317, id="1.20/102.5, no temperature: as at 20 degC"),
        pytest.param("C1/cable", 476.0373, id="45.6/98.7 = 462.00608; 1 - 0.00393*7.5 = 0.970525"),
        pytest.param("C9A/crimp", 8.989533, id="0.61/75.25 = 8.106312; 1 - 0.00393*25 = 0.90175"),
    ],
)
def test_a_resistance_is_ohms_law_at_20_degrees(filled: Shell, span: str, microohm: float) -> None:
    (reading,) = filled.readings_of(span)

    assert reading["microohm_20c"] == pytest.approx(microohm, rel=1e-4)
    assert filled.verdict_of(span)["microohm_20c"] == pytest.approx(microohm, rel=1e-4)
    assert 0 < reading["u_microohm"] < 0.1 * microohm


def test_status_has_the_documented_keys(filled: Shell) -> None:
    spans = filled.tells("status")["spans"]

    documented = {
        *("span", "verdict", "creep_probability", "rate_percent_per_year", "rate_low", "rate_high"),
        *("microohm_20c", "u_microohm", "as_made_microohm", "limit_microohm", "reasons", "next_test"),
    }
    assert [facts["span"] for facts in spans] == [
        "C1A/crimp", "C1A/landing", "C1/cable", "fuse/joint", "C9A/crimp",
    ]  # fmt: skip
    for facts in spans:
        assert documented <= set(facts)
        assert facts["reasons"]
        assert all(isinstance(reason, str) for reason in facts["reasons"])
    assert {facts["span"]: facts["verdict"] for facts in spans}["fuse/joint"] == "not judged"
    assert filled.verdict_of("fuse/joint")["microohm_20c"] is None


def test_span_show_and_due_have_the_documented_keys(filled: Shell) -> None:
    shown = filled.tells("span", "show", "C1A/crimp")
    due = filled.tells("due")["due"]

    assert {"span", "verdict", "readings"} <= set(shown)
    assert {"microohm_20c", "u_microohm"} <= set(shown["readings"][0])
    assert {one["span"] for one in due} == {"C1A/crimp", "C1A/landing", "C1/cable", "fuse/joint", "C9A/crimp"}
    assert all({"span", "next_test", "reason"} <= set(one) for one in due)


def test_a_span_that_was_never_read_is_due_today(filled: Shell) -> None:
    (due,) = [one for one in filled.tells("due")["due"] if one["span"] == "fuse/joint"]

    assert due == {
        "span": "fuse/joint", "build": "Boat", "next_test": "2026-11-10",
        "reason": "It has not been read yet: read it now.", "overdue": False, "joining": None,
    }  # fmt: skip


def test_one_build_can_be_looked_at_alone(filled: Shell) -> None:
    spans = filled.tells("status", "--build", "Van")["spans"]

    assert [facts["span"] for facts in spans] == ["C9A/crimp"]
    assert filled.does("export", "readings", "--build", "Van").count("\n") == 2


def test_readings_of_builds_in_two_time_zones_are_read_on_their_own_clocks(shell: Shell) -> None:
    shell.does("book", "new", shell.book)
    files = {
        **{kind: FILES[kind] for kind in ("instruments", "spans", "readings")},
        "builds": "build,zone\nBoat,Pacific/Auckland\nVan,Europe/Lisbon\n",
    }
    for kind in ("builds", "instruments", "spans", "readings"):
        shell.does("import", kind, shell.file(f"{kind}.csv", files[kind]))

    (boat,), (van,) = shell.readings_of("C1A/crimp"), shell.readings_of("C9A/crimp")

    # 1 May: New Zealand keeps UTC+12, Portugal UTC+1.
    assert boat["taken_at"] == "2025-04-30T22:00:00.000000Z"
    assert van["taken_at"] == "2025-05-01T10:00:00.000000Z"


def test_forward_and_reversed_readings_cancel_a_stray_voltage(filled: Shell) -> None:
    # (0.90 + 0.80) / 2 mV at 100 A and 20 degC = 8.5 microohm; the stray 0.05 mV falls out.
    headings = f"{READ},polarity\n"
    rows = (
        "fuse/joint,2026,2026-05-01 10:00,0.90,100,20,MV,CL,forward\n"
        "fuse/joint,2026,2026-05-01 10:01,-0.80,100,20,MV,CL,reverse\n"
    )

    filled.does("import", "readings", filled.file("pair.csv", headings + rows))

    assert filled.verdict_of("fuse/joint")["microohm_20c"] == pytest.approx(8.5, rel=1e-4)


def test_a_zero_is_taken_off_the_drop(filled: Shell) -> None:
    headings = f"{READ},zero_millivolt\n"
    row = "fuse/joint,2026,2026-05-01 10:00,0.90,100,20,MV,CL,0.05\n"

    filled.does("import", "readings", filled.file("zero.csv", headings + row))

    assert filled.verdict_of("fuse/joint")["microohm_20c"] == pytest.approx(8.5, rel=1e-4)
