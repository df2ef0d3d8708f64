"""Somebody with a cheap meter finds out what their readings are worth, and is stopped while the probes are still on."""

import pytest

from conftest import Shell

READ = ("--temp", "20 degC")


@pytest.fixture
def locker(shell: Shell) -> Shell:
    """A book with one cable of 2/0, its crimps, a coarse meter and a clamp with a floor and a range."""
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "Kittiwake")
    shell.does("conductor", "add", "2/0 tinned", "--size", "2/0 AWG", "--tinned")
    for number in range(1, 6):
        shell.does("cable", "add", f"C{number}", "--conductor", "2/0 tinned", "--length", "1.8 m")
        shell.does("span", "add", f"C{number}A/crimp", "--kind", "crimp", "--place", "engine", "--end", f"C{number}A",
                   "--probes", "25 mm")  # fmt: skip
    shell.does("span", "add", "C1/cable", "--kind", "cable", "--place", "engine", "--end", "C1A")
    shell.does("instrument", "add", "handheld", "--kind", "millivoltmeter", "--percent", "0.5 %", "--counts", "2",
               "--resolution", "0.1 mV", "--greatest", "400 mV", "--calibrated", "2024-03-01",
               "--due", "2026-03-01")  # fmt: skip
    shell.does("instrument", "add", "clamp", "--kind", "clamp", "--percent", "2 %", "--counts", "5",
               "--resolution", "0.1 A", "--least", "2 A", "--greatest", "400 A")  # fmt: skip
    return shell


def test_five_readings_with_a_cheap_meter_say_that_a_better_one_is_needed(locker: Shell) -> None:
    for number, drop in enumerate(("0.3", "0.3", "0.4", "0.3", "0.3"), start=1):
        locker.does("reading", "add", f"C{number}A/crimp", f"{drop} mV", "--at", "20 A", *READ)

    said = locker.does("reading", "show", str(locker.readings_of("C1A/crimp")[0]["entry"]), "--budget")
    plan = locker.tells("plan", "reading", "C1A/crimp", "--change", "10 %")

    # 0.3 mV: 0.1190 mV of counts and digit is 40 % of it, and nearly all of the doubt.
    assert "C1A/crimp: 15.0 ± 6.0 µΩ at 20 °C" in said
    assert "Most of the doubt (over 99 %) is the voltmeter, counts and last digit; what helps is more current" in said
    assert "The calibration of handheld had lapsed on 2026-03-01." in said
    assert "No calibration of clamp is on record" in said
    # 25 mm x 0.2557 microohm x 1.025 (tin) x 1.02 (strands) = 6.68 of the 15.0.
    assert "The crimp adds 8.3 ± 6.0 µΩ, as much as 31 ± 22 mm of its own cable." in said
    # With this meter 10 % shows at no current under 400 A unless it is read both ways and repeated.
    assert all(need["ampere"] is None or need["ampere"] >= 150 for need in plan["needs"])
    # Both ways at 20 A: counts of 0.01 mV leave 2.8 % of 0.3 mV, and 13 % would show; of 0.001 mV the clamp is left.
    assert plan["resolution_millivolt"] == 0.001
    assert min(sight["visible_percent"] for sight in plan["sights"]) > 50


def test_both_ways_are_one_value_with_one_budget_from_whichever_side_it_is_asked(locker: Shell) -> None:
    for drop, way in (("4.1", "forward"), ("-3.9", "reverse")):
        locker.does("reading", "add", "C1A/crimp", f"{drop} mV", "--at", "100 A", *READ, "--polarity", way,
                    "--when", "2026-01-10")  # fmt: skip

    entries = [reading["entry"] for reading in locker.readings_of("C1A/crimp")]
    forward, reverse = (locker.tells("reading", "show", str(entry), "--budget") for entry in entries)
    said = locker.does("reading", "show", str(entries[1]), "--budget")

    # (4.1 + 3.9) mV / 200 A; counts of 0.119 mV / sqrt 2 of 4 mV, and no thermal voltage.
    assert forward | {"entry": 0} == reverse | {"entry": 0}
    assert forward["entries"] == entries
    assert forward["microohm_20c"] == pytest.approx(40.0, abs=0.001)
    counts = {one["component"]: one["relative_percent"] for one in forward["components"]}
    assert counts["voltmeter, counts and last digit"] == pytest.approx(100 * 0.1190 / 2**0.5 / 4, rel=0.01)
    assert "thermal voltage of the probes" not in counts
    assert f"C1A/crimp, mean of both ways (entries {entries[0]} and {entries[1]}): 40.00 ± 0.99 µΩ" in said


def test_what_a_better_meter_would_see_can_be_asked_before_it_is_used(locker: Shell) -> None:
    locker.does("instrument", "add", "bench", "--kind", "millivoltmeter", "--percent", "0.05 %", "--counts", "3",
                "--resolution", "0.001 mV")  # fmt: skip

    asked = ("plan", "reading", "C1A/crimp", "--expect", "15 microohm", "--at", "100 A", "--ammeter", "clamp")
    coarse = locker.tells(*asked, "--voltmeter", "handheld")
    fine = locker.tells(*asked, "--voltmeter", "bench")

    assert fine["sights"][0]["visible_percent"] < coarse["sights"][0]["visible_percent"] / 3
    assert coarse["expected_from"] == "what was said"
    # Read alone, with nothing else beside it, the clamp's 2 % stands in full: 1.15 % sqrt 2 x 3.29.
    assert fine["sights"][0]["visible_percent"] > 5.3


def test_meters_that_cannot_have_shown_it_stop_a_reading(locker: Shell) -> None:
    add = ("reading", "add", "C1A/crimp")

    assert locker.refuses(*add, "0.3 mV", "--at", "1.5 A", *READ) == (
        "Not written: 1.5 A: clamp clamp shows nothing to rely on below 2 A; use more of it, or a finer instrument."
    )
    assert locker.refuses(*add, "0.3 mV", "--at", "450 A", *READ) == (
        "Not written: 450 A: clamp clamp shows nothing more than 400 A; read it on a wider range."
    )
    assert locker.refuses(*add, "0.45 V", "--at", "100 A", *READ) == (
        "Not written: 450 mV: millivoltmeter handheld shows nothing more than 400 mV; read it on a wider range."
    )
    assert locker.refuses(*add, "0.2 mV", "--at", "100 A", "--zero", "0.3 mV", *READ) == (
        "Not written: 0.2 mV is no more than the 0.3 mV that was read at zero current, which leaves no drop; check the "
        "probes, the polarity and the zero."
    )
    assert locker.refuses(*add, "1.5 mV", "--at", "100 A", "--temp", "160 degC") == (
        'Not written: The joint temperature "160 degC" is outside -40 °C to 150 °C; look again at the number and its '
        "unit."
    )


def test_a_wider_range_lets_it_be_read_and_is_worth_less(locker: Shell) -> None:
    locker.does("instrument", "range", "handheld", "--greatest", "4 V", "--percent", "0.5 %", "--counts", "2",
                "--resolution", "1 mV")  # fmt: skip
    locker.does("span", "add", "bus", "--kind", "joint", "--place", "dry")

    locker.does("reading", "add", "bus", "450 mV", "--at", "100 A", *READ)
    locker.does("reading", "add", "C1A/crimp", "1.5 mV", "--at", "100 A", *READ)

    budgets = [locker.tells("reading", "show", str(locker.readings_of(span)[0]["entry"]), "--budget")
               for span in ("bus", "C1A/crimp")]  # fmt: skip
    counts = [{one["component"]: one["relative_percent"] for one in budget["components"]} for budget in budgets]
    # 2.062 mV / sqrt 3 of 450 mV, ten times as much as on the finer range; 0.119 mV of 1.5 mV on that.
    assert counts[0]["voltmeter, counts and last digit"] == pytest.approx(100 * 2.062 / 3**0.5 / 450, rel=0.001)
    assert counts[1]["voltmeter, counts and last digit"] == pytest.approx(100 * 0.119 / 1.5, rel=0.001)


def test_probes_further_apart_than_the_cable_is_long_are_refused(locker: Shell) -> None:
    sentence = locker.refuses("span", "add", "C2/cable", "--kind", "cable", "--place", "dry", "--end", "C2A",
                              "--probes", "2 m")  # fmt: skip

    assert sentence == "Not written: 2 m between the probes is more than cable C2 is long, 1.8 m."


def test_a_first_reading_far_from_its_siblings_is_stopped_and_can_be_confirmed(locker: Shell) -> None:
    for number in range(1, 5):
        locker.does("reading", "add", f"C{number}A/crimp", "1.5 mV", "--at", "100 A", *READ)
    slipped = ("reading", "add", "C5A/crimp", "15 mV", "--at", "100 A", *READ)

    sentence = locker.refuses(*slipped)
    locker.does(*slipped, "--confirm")

    assert sentence == (
        "Not written: C5A/crimp, 15 mV at 100 A: this comes to 150 µΩ, 10 times above what spans made alike read "
        "(15.0 µΩ): a slipped decimal point? Look again, and if it is right say --confirm (in a file: yes under "
        "confirmed)."
    )
    assert [reading["confirmed"] for reading in locker.readings_of("C5A/crimp")] == [True]


def test_a_digit_too_many_on_a_steady_span_is_asked_about_while_the_probes_are_on(locker: Shell) -> None:
    for year, drop in (("2022", "8.4"), ("2023", "8.5"), ("2024", "8.4")):
        for cable in ("C1A", "C2A", "C3A"):
            locker.does("reading", "add", f"{cable}/crimp", f"{drop} mV", "--at", "100 A", *READ,
                        "--when", f"{year}-05-01")  # fmt: skip
    typed = ("reading", "add", "C1A/crimp", "18.4 mV", "--at", "100 A", *READ, "--when", "2025-05-01")

    sentence = locker.refuses(*typed)
    before = len(locker.readings_of("C1A/crimp"))
    locker.does(*typed, "--confirm")

    assert sentence.startswith(
        "Not written: C1A/crimp, 18.4 mV at 100 A: this comes to 184 µΩ at 20 °C; by what it has read, and even if it "
        "creeps, "
    )
    assert sentence.endswith(
        " µΩ is to be believed: digits swapped, a loose nut, the right span? Look again, and if it is right say "
        "--confirm."
    )
    assert (before, len(locker.readings_of("C1A/crimp"))) == (3, 4)
    # 10 % more in a year is what joints do.
    locker.does("reading", "add", "C2A/crimp", "9.3 mV", "--at", "100 A", *READ, "--when", "2025-05-01")


def test_a_cable_that_reads_less_than_its_copper_is_stopped(locker: Shell) -> None:
    # 1.8 m of 2/0 tinned: 1.8 x 255.7 x 1.025 x 1.02 = 481 microohm; 0.48 mV at 100 A is a hundredth of it.
    sentence = locker.refuses("reading", "add", "C1/cable", "0.48 mV", "--at", "100 A", *READ)

    assert "this comes to 4.80 µΩ, 100 times below what the cable between its probes comes to (481 µΩ): " in sentence
    assert "a slipped decimal point?" in sentence


def test_readings_past_the_day_of_a_calibration_are_counted_wherever_they_are_used(locker: Shell) -> None:
    locker.does("reading", "add", "C1A/crimp", "1.5 mV", "--at", "100 A", *READ, "--when", "2026-02-01")
    locker.does("reading", "add", "C1A/crimp", "1.5 mV", "--at", "100 A", *READ, "--when", "2026-10-01")

    said = locker.does("status")
    reasons = locker.verdict_of("C1A/crimp")["reasons"]
    (handheld, clamp) = locker.tells("instrument", "calibrations")["calibrations"]

    assert "1 reading taken with a meter whose calibration had lapsed (1 in round 2026-10-01)" in said
    assert any("1 reading of 2 taken with a meter whose calibration had lapsed" in reason for reason in reasons)
    assert (handheld["state"], handheld["lapsed_readings"]) == ("lapsed", 1)
    assert (clamp["state"], clamp["lapsed_readings"]) == ("none on record", 0)


def test_a_new_calibration_puts_later_readings_in_date(locker: Shell) -> None:
    locker.does("reading", "add", "C1A/crimp", "1.5 mV", "--at", "100 A", *READ, "--when", "2026-10-01")

    locker.does("instrument", "add", "handheld", "--kind", "millivoltmeter", "--percent", "0.5 %", "--counts", "2",
                "--resolution", "0.1 mV", "--calibrated", "2026-09-20", "--due", "2028-09-20")  # fmt: skip

    (handheld, _) = locker.tells("instrument", "calibrations")["calibrations"]
    assert (handheld["state"], handheld["lapsed_readings"]) == ("in date", 0)


def test_a_calibration_entered_wrongly_is_put_right_and_does_not_stand_beside_the_right_one(locker: Shell) -> None:
    locker.does("instrument", "amend", "handheld", "calibrated_on=2023-03-01", "calibration_due=2025-03-01",
                "--reason", "misread the certificate")  # fmt: skip

    (handheld, _) = locker.tells("instrument", "calibrations")["calibrations"]
    assert (handheld["calibrated_on"], handheld["due_on"]) == ("2023-03-01", "2025-03-01")
    assert locker.tells("instrument", "show", "handheld")["instruments"][0]["calibrated_on"] == "2023-03-01"


def test_another_due_day_of_the_same_calibration_is_refused_where_it_is_not_an_amendment(locker: Shell) -> None:
    sentence = locker.refuses("instrument", "add", "handheld", "--kind", "millivoltmeter", "--percent", "0.5 %",
                              "--counts", "2", "--resolution", "0.1 mV", "--calibrated", "2024-03-01",
                              "--due", "2027-03-01")  # fmt: skip

    assert sentence == (
        'Not written: due on "2027-03-01": expected 2026-03-01, as the book already says of it; put it right with '
        "`lugbook instrument amend`."
    )


def test_a_due_day_without_its_calibration_is_refused(locker: Shell) -> None:
    sentence = locker.refuses("instrument", "amend", "clamp", "calibration_due=2027-03-01", "--reason", "sticker")

    assert sentence == (
        "Not written: calibrated on: expected the day of the calibration that is due again on 2027-03-01."
    )


def test_a_check_standard_that_read_more_at_the_end_is_said(locker: Shell) -> None:
    locker.does("span", "add", "SH/check", "--kind", "check standard", "--place", "dry")
    at = ("--at", "100 A", *READ)
    locker.does("reading", "add", "SH/check", "50.0 mV", *at, "--when", "2026-10-01 10:00")
    locker.does("reading", "add", "C1A/crimp", "1.5 mV", *at, "--when", "2026-10-01 10:10")
    locker.does("reading", "add", "SH/check", "52.0 mV", *at, "--when", "2026-10-01 10:20")

    said = locker.does("status")

    # 4 % more; counts of 0.12 mV in 50 and of 0.5 A in 100 explain 0.24 % and 0.29 % each time.
    assert "Round 2026-10-01: the check standard read 4.0 % more at the end than at the beginning" in said


def test_repeats_on_the_spot_are_one_value_of_their_round(locker: Shell) -> None:
    for repeat, drop in enumerate(("1.5", "1.6", "1.4"), start=1):
        locker.does("reading", "add", "C1A/crimp", f"{drop} mV", "--at", "100 A", *READ, "--when", "2026-10-01",
                    "--repeat", str(repeat))  # fmt: skip

    verdict = locker.verdict_of("C1A/crimp")

    assert verdict["verdict"] == "too few readings"
    assert verdict["microohm_20c"] == pytest.approx(15.0)
    assert any(reason.startswith("Read in 1 round of the current series") for reason in verdict["reasons"])
