"""An invented boat of forty crimps, read in one season with a steady load of 100 A.

One season: what is expected next then follows from the meters alone, and can be reckoned by hand.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from conftest import Shell

SPANS = [f"C{number:02d}{side}/crimp" for number in range(1, 21) for side in "AB"]
METERS = ("MV1", "CL1")


def drop_of(number: int) -> str:
    """What a span reads at 100 A and 20 degC [mV]: 0.80 to 1.19 by its place in the list."""
    return f"{0.80 + 0.01 * number:.2f}"


def make_boat(shell: "Shell") -> None:
    """Fill an empty folder's book with the boat."""
    shell.does("book", "new", shell.book)
    shell.does("build", "add", "Kittiwake", "--zone", "Europe/Lisbon")
    accuracy = ("--percent", "0.5 %", "--counts", "3", "--resolution")
    shell.does("instrument", "add", "MV1", "--kind", "millivoltmeter", *accuracy, "0.001 mV")
    shell.does("instrument", "add", "CL1", "--kind", "clamp", *accuracy, "0.1 A")
    places = ("engine", "bilge", "dry", "exposed")
    spans = [f"Kittiwake,{tag},crimp,{places[number // 10]}\n" for number, tag in enumerate(SPANS)]
    shell.does("import", "spans", shell.file("spans.csv", "build,span,kind,place\n" + "".join(spans)))
    headings = "span,round,taken_at,drop_millivolt,current_ampere,joint_celsius,voltage_instrument,current_instrument\n"
    rows = [
        f"{tag},2025,2025-05-01 {9 + number // 30:02d}:{2 * number % 60:02d},{drop_of(number)},100,20,MV1,CL1\n"
        for number, tag in enumerate(SPANS)
    ]
    shell.does("import", "readings", shell.file("readings.csv", headings + "".join(rows)))
