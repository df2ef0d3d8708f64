"""The canonical form of a fact, the seal of a line, and where a chain is found to break.

The canonical form is compared with RFC 8785, read for texts and whole numbers: 3.2.1 no blanks between tokens;
3.2.2.2 in a string only `"`, `\\` and U+0000 to U+001F are escaped, as \\b \\t \\n \\f \\r where JSON has a letter for
them, else \\u00xx in lower case, and all else stands as it is; 3.2.2.3 a whole number as ECMAScript prints it, which
is its plain digits up to 2**53; 3.2.3 names sorted by UTF-16 code units, which for ASCII names is by byte;
3.2.4 in UTF-8.
"""

import hashlib
import json
import math
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lugbook.errors import NotCanonical
from lugbook.records.ledger import NO_LINE, ChainBreak, Line, canonical, first_break, leaf_hash, seal_line

SHORT_ESCAPES = {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}
ASCII_NAMES = st.text(st.sampled_from("abcdefghijklmnopqrstuvwxyz_0123456789"), min_size=1)
CLEAN_TEXTS = st.text(st.characters(exclude_categories=["Cs"])).map(
    lambda text: unicodedata.normalize("NFC", text)
)
WHOLE_NUMBERS = st.integers(-(2**53) + 1, 2**53 - 1)


def rfc_8785_string(text: str) -> str:
    """3.2.2.2, written from its text."""
    parts = []
    for character in text:
        if character in SHORT_ESCAPES:
            parts.append(SHORT_ESCAPES[character])
        elif ord(character) < 0x20:
            parts.append(f"\\u{ord(character):04x}")
        else:
            parts.append(character)
    return '"' + "".join(parts) + '"'


def rfc_8785_object(fact: dict[str, str | int]) -> bytes:
    """3.2.3 and 3.2.4: members by the UTF-16 code units of their names, in UTF-8."""
    members = [
        rfc_8785_string(name)
        + ":"
        + (rfc_8785_string(fact[name]) if isinstance(fact[name], str) else str(fact[name]))
        for name in sorted(fact, key=lambda name: name.encode("utf-16-be"))
    ]
    return ("{" + ",".join(members) + "}").encode()


@given(st.dictionaries(ASCII_NAMES, CLEAN_TEXTS | WHOLE_NUMBERS))
def test_the_canonical_form_is_that_of_rfc_8785(fact) -> None:
    assert canonical(fact).encode() == rfc_8785_object(fact)


@given(st.dictionaries(ASCII_NAMES, CLEAN_TEXTS | WHOLE_NUMBERS))
def test_the_canonical_form_reads_back_as_the_fact(fact) -> None:
    assert json.loads(canonical(fact)) == fact


def test_names_are_sorted_blanks_and_nulls_left_out() -> None:
    fact = {"tag": "C12", "build_id": 4, "note": None, "length_metre": "1.80"}

    assert canonical(fact) == '{"build_id":4,"length_metre":"1.80","tag":"C12"}'


def test_the_control_characters_of_the_rfc_example_are_written_as_there() -> None:
    # RFC 8785, 3.2.2.2 and its test data: U+20AC, $, U+000F, U+000A, A, ', B, ", \, \, ", /
    assert canonical({"string": '\u20ac$\u000f\u000aA\'B"\\\\"/'}) == (
        '{"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )


@pytest.mark.parametrize("whole", [2**53 - 1, -(2**53) + 1, 0])
def test_a_whole_number_that_every_json_reader_keeps_is_taken(whole) -> None:
    assert canonical({"line_count": whole}) == f'{{"line_count":{whole}}}'


@pytest.mark.parametrize(
    "value",
    [
        pytest.param(2**53, id="beyond 2**53 - 1"),
        pytest.param(-(2**53), id="below -(2**53 - 1)"),
        pytest.param(1.84, id="a float"),
        pytest.param(math.nan, id="NaN"),
        pytest.param(True, id="a boolean"),
        pytest.param(b"C12", id="bytes"),
        pytest.param("Pe\u0301trel", id="e and an accent apart: not NFC"),
        pytest.param("\u212b", id="the angstrom sign: NFC is another letter"),
        pytest.param("C\ud800", id="half a surrogate pair"),
    ],
)
def test_what_has_no_single_form_is_refused(value) -> None:
    with pytest.raises(NotCanonical) as refused:
        canonical({"file_name": value})

    assert str(refused.value) == (
        "The file name holds characters that cannot be kept unchanged; type it again in plain letters."
    )


def test_a_line_is_sealed_as_its_format_says() -> None:
    line = sealed(2, b"\xab" * 32, kind="build", fact='{"name":"Pétrel"}')

    by_hand = (
        '{"at":"2031-04-18T12:00:00.000000Z","book":"'
        + "0" * 32
        + '","fact":{"name":"Pétrel"},"kind":"build",'
        '"prev":"' + "ab" * 32 + '","salt":"' + "1" * 32 + '","schema":1,"seq":2}'
    ).encode("utf-8")
    assert line.payload == by_hand
    assert line.hash == hashlib.sha256(b"\x00" + by_hand).digest()


def test_the_payload_of_a_line_is_itself_canonical() -> None:
    payload = sealed(2, NO_LINE, kind="build", fact='{"name":"Pétrel"}').payload

    again = json.dumps(json.loads(payload), sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert again.encode() == payload


def test_the_leaf_hash_of_nothing_is_the_known_one() -> None:
    # SHA-256 of one zero byte: the first leaf of the test vectors that RFC 6962 implementations share.
    assert leaf_hash(b"").hex() == "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d"


def test_a_whole_chain_has_no_break() -> None:
    assert first_break(rows(chain(4))) is None
    assert first_break([]) is None


def test_a_missing_line_is_found() -> None:
    lines = rows(chain(4))

    del lines[2]

    assert first_break(lines) == ChainBreak(3, "the line is missing")


def test_a_chain_that_does_not_begin_at_one_is_found() -> None:
    assert first_break(rows(chain(4))[1:]) == ChainBreak(1, "the line is missing")


def test_a_line_that_names_another_before_it_is_found() -> None:
    lines = rows(chain(4))
    lines[2][3] = b"\x01" * 32

    assert first_break(lines) == ChainBreak(3, "it does not name the line before it")


def test_a_first_line_that_names_one_before_it_is_found() -> None:
    line = sealed(1, b"\x01" * 32)

    assert first_break(rows([line])) == ChainBreak(1, "it does not name the line before it")


def test_a_changed_payload_is_found() -> None:
    lines = rows(chain(4))
    lines[1][2] = lines[1][2].replace(b"C2", b"C9")

    assert first_break(lines) == ChainBreak(2, "its seal does not fit its text")


def test_a_payload_that_became_text_is_found() -> None:
    lines = rows(chain(4))
    lines[1][2] = lines[1][2].decode()

    assert first_break(lines) == ChainBreak(2, "its seal does not fit its text")


def test_a_changed_kind_is_found() -> None:
    lines = rows(chain(4))
    lines[3][1] = "span"

    assert first_break(lines) == ChainBreak(4, "its text says another number, kind or line before")


def test_a_resealed_line_breaks_the_next() -> None:
    lines = rows(chain(4))
    lines[1][2] = lines[1][2].replace(b"C2", b"C9")
    lines[1][4] = hashlib.sha256(b"\x00" + lines[1][2]).digest()

    assert first_break(lines) == ChainBreak(3, "it does not name the line before it")


@pytest.mark.parametrize("payload", [b"", b"not JSON", b"[2]", b"\xff", b'"text"'])
def test_a_well_sealed_line_of_nonsense_is_found(payload) -> None:
    lines = [[1, "cable", payload, NO_LINE, hashlib.sha256(b"\x00" + payload).digest()]]

    assert first_break(lines) == ChainBreak(1, "its text says another number, kind or line before")


def sealed(seq: int, prev: bytes, *, kind: str = "cable", fact: str | None = None) -> Line:
    """A line of an invented book whose name is all zeros."""
    text = f'{{"tag":"C{seq}"}}' if fact is None else fact
    return seal_line(
        kind, text, seq=seq, prev=prev, at="2031-04-18T12:00:00.000000Z", book="0" * 32, salt="1" * 32
    )


def chain(length: int) -> list[Line]:
    """Lines 1 to `length`, each naming the one before."""
    lines: list[Line] = []
    for seq in range(1, length + 1):
        lines.append(sealed(seq, lines[-1].hash if lines else NO_LINE))
    return lines


def rows(lines: list[Line]) -> list[list]:
    """Lines as the ledger table gives them."""
    return [[line.seq, line.kind, line.payload, line.prev, line.hash] for line in lines]
