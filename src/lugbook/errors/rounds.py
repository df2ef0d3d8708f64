"""Refusals of what was asked of a round."""

from collections.abc import Sequence

from lugbook.errors.refusal import Refusal, listed, quoted


class NoRoundOpen(Refusal):
    """Nothing to enter readings into."""

    def __init__(self, build: str | None) -> None:
        of = f" of {build}" if build else ""
        super().__init__(f"No round{of} is open; open one with `lugbook round open`.")


class SeveralRoundsOpen(Refusal):
    """More than one round is open, in several builds, and none was named."""

    def __init__(self, rounds: Sequence[str]) -> None:
        super().__init__(f"Several rounds are open: {listed(rounds)}; say which with --build.")


class RoundStillOpen(Refusal):
    """A build has one open round at a time: readings would fall into the wrong one."""

    def __init__(self, name: str, build: str, day: str, open_for: str) -> None:
        super().__init__(
            f"Round {name} of {build} has been open since {day} ({open_for}); "
            "close it first with `lugbook round close`."
        )


class RoundNameTaken(Refusal):
    """A round of that name was held before."""

    def __init__(self, name: str, build: str) -> None:
        super().__init__(f"{build} has a round {quoted(name)} already; give this one another name.")


class RoundClosed(Refusal):
    """A round that was ended."""

    def __init__(self, name: str, day: str) -> None:
        super().__init__(
            f"Round {name} was closed on {day}; open another, or add what was read before then with "
            f"`lugbook reading add ... --round {quoted(name)} --when TIME`."
        )


class TakenAfterClosing(Refusal):
    """A reading that was taken when the round it is to belong to had ended."""

    def __init__(self, name: str, closed_on: str, taken_on: str) -> None:
        super().__init__(
            f"Round {name} was closed on {closed_on}, and this reading is of {taken_on}; leave --round out, and it "
            "becomes one of another round, or say --when if it was taken before."
        )


class RoundNotOpened(Refusal):
    """A round known by its readings only: nobody said with what it is to be read."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"Round {name} was never opened, it came with readings; open a round with `lugbook round open`."
        )


class SheetOfAnotherBuild(Refusal):
    """A filled sheet that belongs elsewhere."""

    def __init__(self, sheet: str, build: str, round_name: str) -> None:
        super().__init__(
            f"This sheet is of build {quoted(sheet)}, and round {round_name} is of {build}. "
            f"Nothing was written; name the other with --build, or look for the right sheet."
        )


class SheetOfAnotherRound(Refusal):
    """A filled sheet of another outing."""

    def __init__(self, sheet: str, round_name: str) -> None:
        super().__init__(
            f"This sheet is of round {quoted(sheet)}, and the open one is {round_name}. "
            "Nothing was written; name the round on the command line, or look for the right sheet."
        )


class MoreRowsThanStops(Refusal):
    """A logger's file without tags that is longer than what is left to read."""

    def __init__(self, rows: int, stops: int) -> None:
        super().__init__(
            f"The file has no column span and {rows} rows, and {stops} spans of the round are left to read, so which "
            "is which cannot be told. Nothing was written; add a column span, or take out the rows that are not of "
            "this round."
        )


class SheetRefused(Refusal):
    """A filled sheet with rows that cannot be taken; none of it was."""

    def __init__(self, file_name: str, sentences: Sequence[str]) -> None:
        shown = "\n".join(f"  {sentence}" for sentence in sentences[:40])
        rest = f"\n  and {len(sentences) - 40} more" if len(sentences) > 40 else ""
        super().__init__(
            f"Nothing of {file_name} was written:\n{shown}{rest}\nCorrect these rows and import the sheet again."
        )


class SheetKindUnknown(Refusal):
    """A sheet was asked for on paper, or in a kind of file, that we do not make."""

    exit_code = 2

    def __init__(self, asked: str) -> None:
        super().__init__(f"No sheet can be made as {quoted(asked)}; name the file .pdf or .csv.")
