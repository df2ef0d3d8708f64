"""A joint is taken apart and cleaned; what was read before and after belongs to different lives of it."""

import pytest

from conftest import Shell

HEADINGS = (
    "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument"
    ",stage\n"
)
METERS = "20,bench meter,hand clamp"


def service(shell: Shell, *words: str) -> str:
    return shell.does("service", "record", "C12B/crimp", "--done", "cleaned", *words)


def test_a_service_with_two_readings_starts_a_new_series(bench: Shell) -> None:
    bench.does(
        "reading",
        "add",
        "C12B/crimp",
        "0.84 mV",
        "--at",
        "100 A",
        "--temp",
        "20 degC",
        "--when",
        "2025-05-01",
    )

    said = service(bench, "--found", "1.90 mV", "--left", "0.80 mV", "--at", "100 A", "--temp", "20 degC")

    assert said == "C12B/crimp: cleaned, entered with 2 readings; a new series starts here.\n"
    verdict = bench.verdict_of("C12B/crimp")
    assert verdict["as_made_microohm"] == pytest.approx(8.0)
    assert verdict["microohm_20c"] == pytest.approx(8.0)
    assert [r["stage"] for r in bench.readings_of("C12B/crimp")] == [None, "as found", "as left"]


def test_the_readings_of_a_service_belong_to_the_round_that_is_going_on(bench: Shell) -> None:
    service(bench, "--found", "1.90 mV", "--left", "0.80 mV", "--at", "100 A")

    assert {r["round"] for r in bench.readings_of("C12B/crimp")} == {"2026-11-09"}


@pytest.mark.parametrize("order", ["service first", "readings first"])
def test_dates_alone_split_the_series_by_stage(bench: Shell, order: str) -> None:
    rows = [
        f"C12B/crimp,2024,2024-05-01,0.84,100,{METERS},\n",
        f"C12B/crimp,2025,2025-05-01,1.60,100,{METERS},as found\n",
        f"C12B/crimp,2025,2025-05-01,0.80,100,{METERS},as left\n",
        f"C12B/crimp,2026,2026-05-01,0.82,100,{METERS},\n",
    ]
    readings = bench.file("readings.csv", HEADINGS + "".join(rows))
    services = bench.file("services.csv", "span,serviced_at,action\nC12B/crimp,2025-05-01,cleaned\n")
    imports = [("services", services), ("readings", readings)]
    for kind, file in imports if order == "service first" else reversed(imports):
        bench.does("import", kind, file)

    verdict = bench.verdict_of("C12B/crimp")

    assert verdict["as_made_microohm"] == pytest.approx(8.0)
    assert verdict["microohm_20c"] == pytest.approx(8.2)
    assert verdict["verdict"] == "too few readings"  # two since the service


def test_clock_times_split_the_series_without_a_stage(bench: Shell) -> None:
    rows = [
        f"C12B/crimp,2025,2025-05-01 09:00,1.60,100,{METERS},\n",
        f"C12B/crimp,2025,2025-05-01 11:00,0.80,100,{METERS},\n",
    ]
    bench.does("import", "readings", bench.file("readings.csv", HEADINGS + "".join(rows)))
    service(bench, "--when", "2025-05-01 10:00")

    assert bench.verdict_of("C12B/crimp")["as_made_microohm"] == pytest.approx(8.0)


def test_two_deeds_on_one_day_still_leave_the_last_reading_in_the_last_series(bench: Shell) -> None:
    bench.does(
        "reading",
        "add",
        "C12B/crimp",
        "0.84 mV",
        "--at",
        "100 A",
        "--temp",
        "20 degC",
        "--when",
        "2024-05-01",
    )
    service(
        bench,
        "--found",
        "1.60 mV",
        "--left",
        "0.80 mV",
        "--at",
        "100 A",
        "--temp",
        "20 degC",
        "--when",
        "2025-05-01",
    )

    bench.does("service", "record", "C12B/crimp", "--done", "re-torqued", "--when", "2025-05-01")

    assert bench.verdict_of("C12B/crimp")["as_made_microohm"] == pytest.approx(8.0)


def test_a_service_with_readings_says_at_what_current(bench: Shell) -> None:
    sentence = bench.refuses(
        "service", "record", "C12B/crimp", "--done", "cleaned", "--found", "1.9 mV", exit_code=2
    )

    assert sentence == "Say with --at the current at which it was read; nothing in the book says it yet."


def test_a_service_whose_reading_is_refused_is_not_written_either(bench: Shell) -> None:
    sentence = bench.refuses(
        "service",
        "record",
        "C12B/crimp",
        "--done",
        "cleaned",
        "--found",
        "1.9 mV",
        "--left",
        "0.8",
        "--at",
        "100 A",
    )

    assert sentence == (
        'Not written: The millivolt drop "0.8" has no unit; type it with its unit, like "0.84 mV".'
    )


def test_an_unknown_deed_is_refused_with_the_known_ones(bench: Shell) -> None:
    sentence = bench.refuses("service", "record", "C12B/crimp", "--done", "washed")

    assert sentence == (
        'Not written: action "washed": expected one of cleaned, re-torqued, re-sealed, remade, replaced.'
    )


def test_the_picture_of_a_serviced_span_is_drawn(bench: Shell) -> None:
    service(bench, "--found", "1.90 mV", "--left", "0.80 mV", "--at", "100 A")

    for ending in ("svg", "png", "pdf"):
        bench.does("span", "plot", "C12B/crimp", "--out", bench.folder / f"joint.{ending}")

    beginnings = {
        ending: (bench.folder / f"joint.{ending}").read_bytes()[:5] for ending in ("svg", "png", "pdf")
    }
    assert beginnings == {"svg": b"<?xml", "png": b"\x89PNG\r", "pdf": b"%PDF-"}


def test_what_was_read_at_a_service_says_nothing_of_the_meters(bench: Shell) -> None:
    bench.does("span", "add", "C13A/crimp", "--kind", "crimp", "--place", "bilge")
    rows = [
        f"{span},{year},{year}-05-01,1.20,100,{METERS},\n"
        for year in ("2024", "2025", "2026")
        for span in ("C12B/crimp", "C13A/crimp")
    ]
    bench.does("import", "readings", bench.file("rounds.csv", HEADINGS + "".join(rows)))
    before = bench.verdict_of("C13A/crimp")

    service(bench, "--found", "1.90 mV", "--left", "0.80 mV", "--at", "100 A", "--temp", "20 degC", "--round", "mended")

    assert bench.verdict_of("C13A/crimp") == before
    assert "mended" not in bench.does("status")
    assert "No other span was read in the same rounds" in bench.does("span", "show", "C12B/crimp")
