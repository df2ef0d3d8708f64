"""The noun `criterion`: published limits, each with its source and how we know it."""

from typing import Annotated

import typer

from lugbook.cli.arguments import AsJson
from lugbook.cli.console import say, show_json, show_table
from lugbook.cli.tables import noun

criterion = noun("Published limits, each with its source and how it is known.")
COMMANDS = {"criterion": criterion}

DISAGREE = (
    "These limits differ by five between equally good sources, and none is applied by Lugbook: compare like with "
    "like, and keep the current beside the drop."
)
CAUTION = (
    "Cranking draws hundreds of amperes: keep clear of belts and gears, stop the engine from starting, crank for "
    "seconds only, and let cables and starter cool in between."
)


@criterion.command("list")
def list_all(as_json: AsJson = False) -> None:
    """List every limit but those of pulls, which `lugbook recipe show` has, and those of cranking."""
    from lugbook.assessment.criteria import USES, word_provenance

    if as_json:
        show_json({"criteria": [
            {"criterion": row.code, "asks": row.says, "limit": row.limit, "unit": row.unit, "source": row.source,
             "edition": row.edition or None, "provenance": row.provenance, "applied_to": used}
            for row, used in USES
        ]})  # fmt: skip
        return
    rows = [
        [row.code, row.says, row.cited, word_provenance(row.provenance) or row.provenance, used]
        for row, used in USES
    ]
    show_table(("criterion", "asks", "source", "how it is known", "applied to"), rows, wrap=(1, 2, 3, 4))


@criterion.command("cranking")
def cranking(
    drop: Annotated[
        str | None, typer.Option(help='A drop seen while cranking, to hold against them: "0.35 V".')
    ] = None,
    at: Annotated[str | None, typer.Option("--at", help='The current it was seen at: "180 A".')] = None,
    as_json: AsJson = False,
) -> None:
    """List the limits published for the drop while cranking, and hold a drop against them."""
    from lugbook.assessment.criteria import CRANKING_DROPS, milliohm_of, word_provenance
    from lugbook.units.fields import CURRENT_AMPERE, DROP_MILLIVOLT
    from lugbook.units.parsing import read_measured
    from lugbook.units.wording import word_number

    seen = abs(read_measured(drop, DROP_MILLIVOLT).value) / 1000 if drop else None
    ampere = read_measured(at, CURRENT_AMPERE).value if at else None
    milliohm = milliohm_of(seen, ampere) if seen is not None and ampere is not None else None
    held = [row.allows(seen, ampere) for row in CRANKING_DROPS]
    if as_json:
        show_json({"milliohm": milliohm, "limits": [
            {"where": row.where, "system_volt": row.system_volt, "limit_volt": row.limit_volt, "meaning": row.meaning,
             "source": row.source, "provenance": row.provenance, "within": within}
            for row, within in zip(CRANKING_DROPS, held, strict=True)
        ]})  # fmt: skip
        return
    words = {None: "", True: "within", False: "over"}
    rows = [
        [row.where, f"{row.limit_volt:g}", f"{row.system_volt:g}", row.meaning, row.source,
         word_provenance(row.provenance) or row.provenance, words[within]]
        for row, within in zip(CRANKING_DROPS, held, strict=True)
    ]  # fmt: skip
    headings = ("where", "most V", "system V", "what it means", "source", "how it is known", "yours")
    columns = len(headings) - (seen is None)
    show_table(headings[:columns], [row[:columns] for row in rows], right=(1, 2), wrap=(0, 3, 4, 5))
    say("")
    if milliohm is not None:
        say(f"{drop} at {at} is {word_number(milliohm)} mΩ.")
    say(DISAGREE)
    say(CAUTION)
