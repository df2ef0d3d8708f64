"""An invented boat as a surveyor finds it: circuits, a torque, a joint mended."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from conftest import Shell

METERS = ("--voltmeter", "meter", "--ammeter", "clamp", "--temp", "20 degC", "--at", "100 A", "--by", "owner")


def enter_boat(shell: "Shell", name: str = "My boat", zone: str = "Pacific/Auckland") -> None:
    """Two cables, three terminals, one landing and two meters; nothing read yet."""
    shell.does("book", "new", shell.book)
    shell.does("build", "add", name, "--zone", zone)
    shell.does("conductor", "add", "70 tinned", "--size", "70 mm2", "--tinned")
    for meter, kind, unit in (("meter", "millivoltmeter", "mV"), ("clamp", "clamp", "A")):
        shell.does("instrument", "add", meter, "--kind", kind, "--percent", "0.5 %", "--counts", "3",
                   "--resolution", f"0.01 {unit}")  # fmt: skip
    part = ("--conductor", "70 tinned", "--lug", "L", "--tool", "T", "--strip", "25 mm", "--die", "13 hex")
    shell.does("recipe", "add", "R1", *part)
    cable = ("--conductor", "70 tinned", "--length", "2 m", "--from", "engine", "--to", "dry")
    shell.does("cable", "add", "M1", *cable, "--circuit", "starter", "--current", "150 A", "--system", "12 V",
               "--budget", "3 %", "--note", "bought second hand")  # fmt: skip
    shell.does("cable", "add", "M2", *cable, "--note", "to the windlass")
    shell.does("terminal", "make", "M1A", "M1B", "M2A", "--recipe", "R1", "--when", "2024-04-01")
    shell.does("landing", "add", "Minuspol 1", "--kind", "post", "--torque", "12 N m", "--maker-torque", "10 N m")
    shell.does("span", "add", "M1B/landing", "--kind", "landing", "--place", "dry", "--end", "M1B",
               "--landing", "Minuspol 1", "--limit", "30 microohm")  # fmt: skip


def read_and_mend(shell: "Shell") -> None:
    """A round of three spans, a joint found over its limit and mended, a reading put right, a note amended."""
    for span, drop in (("M1A/crimp", "0.84 mV"), ("M1B/crimp", "0.86 mV"), ("M1B/landing", "1.20 mV")):
        shell.does("reading", "add", span, drop, *METERS, "--round", "2025", "--when", "2025-05-03 10:00")
    shell.does("service", "record", "M1B/landing", "--done", "cleaned", "--found", "6.20 mV", "--left", "0.80 mV",
               *METERS, "--round", "mending", "--when", "2026-05-03 09:30", "--torque", "12 N m",
               "--confirm")  # fmt: skip
