"""The command `demo`."""

from pathlib import Path
from typing import Annotated

import typer

from lugbook.cli.arguments import now, today
from lugbook.cli.console import say, show_table, warn
from lugbook.cli.tables import noun
from lugbook.cli.verdicts import HEADINGS, row_of, word_counts, words_of_rounds

demo = noun("Fill a folder with an invented boat's book and plots.")
COMMANDS = {"demo": demo}

TOLD = ("over limit", "creeping", "stepped")


@demo.command()
def fill(folder: Annotated[Path, typer.Argument(help="A new folder.")]) -> None:
    """Import the sample logs of an invented boat as a user would, show where it stands, leave plots there."""
    from lugbook.jobs.demonstrating import fill_demo

    say("This boat, its cables and all its readings are invented, to show what Lugbook does.")
    done = fill_demo(folder, now(), today(), tell=say, refuse=warn)
    (standing,) = done.standings
    verdicts = standing.judgement.verdicts
    told = [verdict for verdict in verdicts if verdict.verdict in TOLD]
    say("")
    say(f"{standing.build}, invented: {word_counts(verdicts)}.")
    say("")
    show_table(HEADINGS, [row_of(verdict) for verdict in told], right=(2, 3, 4))
    say("")
    for verdict in told:
        say(f"{verdict.span}: {done.sentences[verdict.span]}")
    for sentence in words_of_rounds(standing.judgement.round_shifts):
        say(sentence)
    say("")
    say(f"Which die for the lugs still to be made, {', '.join(done.trial)}: {done.trial_sentence}")
    say("")
    say(
        "Plots of these, of the span that was serviced, of what each round did and of the trial are in "
        f"{done.plots}."
    )
    say(f"All spans: lugbook --book {done.book} status")
    say(f"The trial: lugbook --book {done.book} recipe compare {' '.join(done.trial)}")
    say(f"The cables still to be made: lugbook --book {done.book} cable cut-list")
