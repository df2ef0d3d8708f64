"""The chain: canonical bytes of one fact, sealed to the line before by SHA-256.

Canonical form: JSON with sorted keys, no blanks, UTF-8, of strings, booleans, null, whole numbers, arrays and
objects; no floats ever. In that subset it is the form of RFC 8785. A measured value is the decimal text that was
typed; the key that holds it names the unit.
"""

import json
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from json.encoder import encode_basestring
from typing import NamedTuple

from lugbook.errors import NotCanonical

Fact = Mapping[str, str | int | None]

NO_LINE = bytes(32)
LARGEST_WHOLE = 2**53 - 1
ALLOWED = frozenset((str, int, type(None)))
SCHEMA = 1
GENESIS = "genesis"


class Line(NamedTuple):
    """One ledger line; `hash` seals `payload`, which names `prev`."""

    seq: int
    kind: str
    payload: bytes
    prev: bytes
    hash: bytes


@dataclass(frozen=True, slots=True)
class ChainBreak:
    """The first line at which the chain does not hold, and why."""

    seq: int
    why: str


def canonical(fact: Fact) -> str:
    """The one text of a fact; what is null is left out. Raises NotCanonical as `canonical_writer` does."""
    return canonical_writer(tuple(fact))(tuple(fact.values()))


@lru_cache(maxsize=256)
def canonical_writer(names: tuple[str, ...]) -> Callable[[Sequence[str | int | None]], str]:
    """How facts that all have these names are written.

    The writer raises NotCanonical for a float, a boolean, a whole number beyond 2**53 - 1, or text that is not
    in Unicode form NFC.
    """
    ordered = [(place, f'"{name}":') for place, name in sorted(enumerate(names), key=lambda one: one[1])]

    def write(values: Sequence[str | int | None]) -> str:
        if not ALLOWED.issuperset(map(type, values)):
            raise NotCanonical(next(n for n, v in zip(names, values, strict=True) if type(v) not in ALLOWED))
        parts = [
            key + encode_basestring(value) if isinstance(value, str) else key + _whole(value, names[place])
            for place, key in ordered
            if (value := values[place]) is not None
        ]
        text = "{" + ",".join(parts) + "}"
        if not text.isascii():
            for name, value in zip(names, values, strict=True):
                if isinstance(value, str) and not _is_clean(value):
                    raise NotCanonical(name)
        return text

    return write


def _whole(value: int, name: str) -> str:
    if abs(value) > LARGEST_WHOLE:
        raise NotCanonical(name)
    return str(value)


def seal_line(kind: str, fact: str, *, seq: int, prev: bytes, at: str, book: str, salt: str) -> Line:
    """The ledger line of one canonical fact.

    `at` is the UTC instant of recording, `book` the book's own name, `salt` 32 hex digits that keep one fact from
    being guessed from its hash. The hash is SHA-256 of a zero byte and the payload: the leaf hash of RFC 9162, 2.1.1.
    """
    payload = (
        f'{{"at":"{at}","book":"{book}","fact":{fact},"kind":"{kind}",'
        f'"prev":"{prev.hex()}","salt":"{salt}","schema":{SCHEMA},"seq":{seq}}}'
    ).encode()
    return Line(seq, kind, payload, prev, leaf_hash(payload))


def leaf_hash(payload: bytes) -> bytes:
    """SHA-256 of 0x00 and the payload (RFC 9162, 2.1.1)."""
    return sha256(b"\x00" + payload).digest()


def first_break(lines: Iterable[Sequence[object]]) -> ChainBreak | None:
    """The first of (seq, kind, payload, prev, hash), in order, that does not follow; None if all do."""
    prev, expected = NO_LINE, 1
    for seq, kind, payload, named, sealed in lines:
        assert isinstance(seq, int)
        if seq != expected:
            return ChainBreak(expected, "the line is missing")
        if named != prev:
            return ChainBreak(seq, "it does not name the line before it")
        if not isinstance(payload, bytes) or leaf_hash(payload) != sealed:
            return ChainBreak(seq, "its seal does not fit its text")
        head = _head_of(payload)
        if head is None or head != (seq, kind, prev.hex()):
            return ChainBreak(seq, "its text says another number, kind or line before")
        prev, expected = sealed, seq + 1
    return None


def _head_of(payload: bytes) -> tuple[object, object, object] | None:
    try:
        text = json.loads(payload)
    except ValueError:
        return None
    return (text.get("seq"), text.get("kind"), text.get("prev")) if isinstance(text, dict) else None


def _is_clean(text: str) -> bool:
    return unicodedata.is_normalized("NFC", text) and not any("\ud800" <= c <= "\udfff" for c in text)
