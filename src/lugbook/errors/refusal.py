"""What a refusal is, and the small phrases that refusals share."""

from collections.abc import Sequence
from difflib import get_close_matches


class Refusal(Exception):
    """Something Lugbook will not do; the sentence says what, where and what to do instead."""

    exit_code = 3


def nearest(word: str, known: Sequence[str]) -> str:
    """' (did you mean C12A/crimp?)' where a known word is close to the one given, else ''."""
    close = get_close_matches(word, known, n=1, cutoff=0.6)
    return f" (did you mean {close[0]}?)" if close else ""


def quoted(text: str) -> str:
    """The text as typed, between quotes, on one line, and cut at 40 characters."""
    shown = "".join(character if character.isprintable() else " " for character in text[:41])
    return f'"{shown[:40]}..."' if len(text) > 40 else f'"{shown}"'


def listed(words: Sequence[str], joined_by: str = "and") -> str:
    """The words in one phrase: "span, round and taken_at"."""
    return f"{', '.join(words[:-1])} {joined_by} {words[-1]}" if len(words) > 1 else "".join(words)
