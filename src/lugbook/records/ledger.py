"""The chain: canonical bytes of one fact, sealed to the line before by SHA-256.

Canonical form: JSON with sorted keys, no blanks, UTF-8, of strings, booleans, null, whole numbers, arrays and
objects; no floats ever. In that subset it is the form of RFC 8785. A measured value is the decimal text that was
typed; the key that holds it names the unit.
"""

import json
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from json.encoder import encode_basestring
from typing import NamedTuple

from lugbook.errors import NotCanonical

Value = str | int | None
Fact = Mapping[str, Value]
Columns = Mapping[str, Sequence[Value]]
"""Facts that all have the same names, column by column: name -> the value of each fact."""

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
    """The one text of a fact; what is null is left out.

    Raises NotCanonical for a float, a boolean, a whole number beyond 2**53 - 1, or text that is not in Unicode
    form NFC.
    """
    members = {name: _member(name, value) for name, value in fact.items()}
    return "{" + "".join(members[name] for name in sorted(members))[1:] + "}"


def canonical_texts(columns: Columns) -> list[str]:
    """The one text of each of several facts, given column by column. Raises NotCanonical as `canonical` does."""
    members = {name: _members(name, values) for name, values in columns.items()}
    joined = map("".join, zip(*(members[name] for name in sorted(members)), strict=True))
    return [f"{{{text[1:]}}}" for text in joined]


def _members(name: str, values: Sequence[Value]) -> list[str]:
    """As `_member` of each value, worked out once for equal ones."""
    if not ALLOWED.issuperset(map(type, values)):  # asked first: True equals 1
        raise NotCanonical(name)
    known = {value: _member(name, value) for value in dict.fromkeys(values)}
    return [known[value] for value in values] if len(known) > 1 else [*known.values()] * len(values)


def _member(name: str, value: Value) -> str:
    """A comma, the name and the value; '' for null."""
    if value is None:
        return ""
    if type(value) is str:
        if not value.isascii() and not _is_clean(value):
            raise NotCanonical(name)
        return f',"{name}":{encode_basestring(value)}'
    if type(value) is int and abs(value) <= LARGEST_WHOLE:
        return f',"{name}":{value}'
    raise NotCanonical(name)


def seal_line(kind: str, fact: str, *, seq: int, prev: bytes, at: str, book: str, salt: str) -> Line:
    """The ledger line of one canonical fact, as `seal_lines` makes it."""
    return Line(*seal_lines(kind, [fact], seq=seq, prev=prev, at=at, book=book, salts=[salt])[0])


def seal_lines(
    kind: str, facts: Iterable[str], *, seq: int, prev: bytes, at: str, book: str, salts: Iterable[str]
) -> list[tuple[int, str, bytes, bytes, bytes]]:
    """The lines of canonical facts of one kind, each the values of a Line; the first is number `seq`, after `prev`.

    `at` is the UTC instant of recording, `book` the book's own name, a salt 32 hex digits that keep one fact from
    being guessed from its hash. The hash is SHA-256 of a zero byte and the payload: the leaf hash of RFC 9162, 2.1.1.
    """
    before, between = f'{{"at":"{at}","book":"{book}","fact":', f',"kind":"{kind}","prev":"'
    lines = []
    for number, (fact, salt) in enumerate(zip(facts, salts, strict=True), start=seq):
        payload = (
            f'{before}{fact}{between}{prev.hex()}","salt":"{salt}","schema":{SCHEMA},"seq":{number}}}'
        ).encode()
        seal = leaf_hash(payload)
        lines.append((number, kind, payload, prev, seal))
        prev = seal
    return lines


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
