"""An invented trial of four die settings, and a cable made by the one that held most."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from conftest import Shell

UL = "UL 486A-486B"
PART = ("--conductor", "2/0 tinned", "--lug", "2/0 M10", "--tool", "press", "--strip", "26 mm")
# Pounds-force of five samples by die; by hand the means are 1950, 2300, 2040 and 1500 lbf.
PULLS = {
    "12": (1910, 1990, 1930, 1970, 1950),
    "13": (2250, 2350, 2280, 2320, 2300),
    "14": (2000, 2080, 2020, 2060, 2040),
    "15": (1480, 1520, 1490, 1510, 1500),
}


def enter_trial(shell: "Shell") -> None:
    """Four recipes, five samples of each, one standard."""
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "My boat", "--zone", "Europe/Lisbon")
    shell.does("conductor", "add", "2/0 tinned", "--size", "2/0 AWG", "--tinned", "--class", "class 5")
    shell.does("lug", "add", "2/0 M10", "--barrel", "2/0 AWG", "--wall", "1.8 mm")
    for die in PULLS:
        shell.does("recipe", "add", f"R{die}", *PART, "--die", f"{die} hex", "--presses", "2")
    rows = "".join(
        f"R{die},{number},2026-11-0{number},{pull},pulled out\n"
        for die, pulls in PULLS.items()
        for number, pull in enumerate(pulls, start=1)
    )
    shell.does(
        "import", "pulls", shell.file("pulls.csv", f"recipe,sample,pulled_at,pull_lbf,failure\n{rows}")
    )
    # 76 mm of this cable are 20.3 microohm at 20 degC: 2.07 mV at 100 A is 1.02 times as much.
    rows = "".join(
        f"R{die},{number},2026-11-0{number},{'2.40' if die == '15' else '2.07'},100,20,76,"
        f"{'yes' if die == '12' else 'no'},0\n"
        for die in PULLS
        for number in range(1, 6)
    )
    headings = (
        "recipe,sample,tested_at,drop (mV),current_ampere,joint_celsius,length_millimetre,ears,strands_cut\n"
    )
    shell.does("import", "samples", shell.file("samples.csv", headings + rows))
    shell.does("recipe", "choose-standard", *(f"R{die}" for die in PULLS), "--standard", UL, "--by", "owner")


def make_cable(trial: "Shell") -> None:
    """Two meters, one landing, one cable made at both ends and read."""
    accuracy = ("--percent", "0.5 %", "--counts", "3", "--resolution")
    trial.does("instrument", "add", "bench meter", "--kind", "millivoltmeter", *accuracy, "0.01 mV")
    trial.does("instrument", "add", "clamp", "--kind", "clamp", *accuracy, "0.1 A")
    trial.does(
        "landing", "add", "start post", "--kind", "post", "--torque", "11 N m", "--maker-torque", "12 N m"
    )
    trial.does(
        *(
            "cable",
            "add",
            "C12",
            "--conductor",
            "2/0 tinned",
            "--length",
            "1.80 m",
            "--from",
            "engine",
            "--to",
        ),
        *("bilge", "--circuit", "start", "--current", "250 A", "--system", "12 V", "--budget", "3 %"),
    )
    trial.does(
        "terminal", "make", "C12A", "C12B", "--recipe", "R13", "--by", "owner", "--landing", "start post"
    )
    meters = ("--voltmeter", "bench meter", "--ammeter", "clamp")
    for end, drop in (("C12A", "2.10 mV"), ("C12B", "2.08 mV")):
        trial.does("span", "amend", f"{end}/crimp", "probe_millimetre=50 mm", "--reason", "measured")
        trial.does("reading", "add", f"{end}/crimp", drop, "--at", "100 A", "--temp", "20 degC", *meters)
