"""Refusals while crimps are proved: too few samples, sizes no standard covers, lengths no reel holds."""

from collections.abc import Sequence

from lugbook.errors.refusal import Refusal, listed, nearest, quoted


class TooFewSamples(Refusal):
    """A scatter or a bound from none or one."""

    def __init__(self, count: int) -> None:
        said = (
            "One sample says nothing of the scatter" if count == 1 else "Without samples there is no scatter"
        )
        super().__init__(f"{said}; pull at least two, better five.")


class NotAShare(Refusal):
    """A share or a confidence outside of 0 to 1."""

    exit_code = 2

    def __init__(self, share: float) -> None:
        super().__init__(f"{share:g} is not a share of all pieces; say a number between 0 and 1, like 0.99.")


class StandardUnknown(Refusal):
    """A pull standard that is none of ours."""

    exit_code = 2

    def __init__(self, standard: str, known: Sequence[str]) -> None:
        super().__init__(
            f"{quoted(standard)} is not a pull standard here{nearest(standard, known)}; choose {listed(known, 'or')}."
        )


class SizeNotCovered(Refusal):
    """A size for which the chosen standard states no minimum."""

    def __init__(self, standard: str, size: str, covering: Sequence[str]) -> None:
        others = f"{listed(covering)} cover it" if len(covering) > 1 else f"{''.join(covering)} covers it"
        advice = f"{others}: choose one" if covering else "no standard here covers it"
        super().__init__(f"{standard} states no pull minimum for {size}; {advice}.")


class ItemUnknown(Refusal):
    """A line of the workmanship checklist that is not on it."""

    exit_code = 2

    def __init__(self, item: str, known: Sequence[str]) -> None:
        super().__init__(
            f"{quoted(item)} is not on the checklist{nearest(item, known)}; its lines are {', '.join(known)}."
        )


class AnswerMissing(Refusal):
    """A line of the checklist without what was answered to it."""

    exit_code = 2

    def __init__(self, text: str) -> None:
        super().__init__(
            f"{quoted(text)} is no answer to a line of the checklist; "
            'type LINE=ANSWER, like "no ears=yes", or all=yes for every line.'
        )


class TooFewRecipes(Refusal):
    """Nothing to compare with."""

    exit_code = 2

    def __init__(self) -> None:
        super().__init__(
            "One recipe alone cannot be compared; name two or more, one for each die setting tried."
        )


class AnswerUnknown(Refusal):
    """An answer that is none of the four."""

    exit_code = 2

    def __init__(self, answer: str, known: Sequence[str]) -> None:
        super().__init__(f"{quoted(answer)} is not an answer; answer {listed(known, 'or')}.")


class PieceTooLong(Refusal):
    """A cut that no reel can give."""

    def __init__(self, piece: str, length_metre: float, longest_metre: float) -> None:
        self.piece = piece
        super().__init__(
            f"{piece} needs {length_metre:g} m in one piece and the longest reel has {longest_metre:g} m; "
            "add a longer reel, or plan a joint on purpose."
        )


class StockTooShort(Refusal):
    """Fewer metres on the reels than the list needs, or none of the ways to cut them fits."""

    def __init__(self, needed_metre: float, held_metre: float) -> None:
        if needed_metre > held_metre:
            why = f"The list needs {needed_metre:g} m and the reels hold {held_metre:g} m"
        else:
            why = (
                f"The list needs {needed_metre:g} m and the reels hold {held_metre:g} m, "
                "but no way was found to cut every piece whole"
            )
        super().__init__(f"{why}; add a reel.")


class NothingToCut(Refusal):
    """No cable is left to be made."""

    def __init__(self) -> None:
        super().__init__(
            "No cable is left to cut: each has a terminal on one of its ends; name the cables to cut, or add planned "
            "ones."
        )


class PriceByOther(Refusal):
    """A price by the metre for what is counted, or the other way round."""

    def __init__(self, what: str, held: str, wanted: str) -> None:
        super().__init__(
            f"The price of {what} is for a {held}, and it is taken by the {wanted}; "
            f"put it right with `lugbook price amend`."
        )


class CurrenciesMixed(Refusal):
    """Prices that cannot be added."""

    def __init__(self, currencies: Sequence[str]) -> None:
        super().__init__(f"Prices in {listed(currencies)} cannot be added up; state all in one currency.")


class LengthImpossible(Refusal):
    """A part of a cut length that is below zero, or a cut of no length."""

    def __init__(self, what: str, value: float) -> None:
        super().__init__(f"The {what} of {value:g} m cannot be; look again at the number and its unit.")
