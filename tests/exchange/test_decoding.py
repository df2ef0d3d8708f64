"""Encodings: what spreadsheets and meters save as."""

import pytest

from lugbook.errors import CutFile, NulByte, Undecodable
from lugbook.exchange.decoding import decode_text

TEXT = "drop (µV),31 °C\n"


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        (TEXT.encode("utf-8"), "UTF-8"),
        (b"\xef\xbb\xbf" + TEXT.encode("utf-8"), "UTF-8 with its mark"),
        (b"\xff\xfe" + TEXT.encode("utf-16-le"), "UTF-16, small end first"),
        (b"\xfe\xff" + TEXT.encode("utf-16-be"), "UTF-16, big end first"),
        (b"drop (\xb5V),31 \xb0C\n", "Windows-1252: B5 is the micro sign, B0 the degree sign"),
    ],
)
def test_every_encoding_gives_the_same_text(raw: bytes, why: str) -> None:
    assert decode_text(raw) == TEXT, why


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_line_end_becomes_a_newline(end: str) -> None:
    assert decode_text(f"a{end}b{end}".encode()) == "a\nb\n"


def test_a_damaged_utf8_file_is_not_read_as_windows_1252() -> None:
    with pytest.raises(Undecodable) as refusal:
        decode_text("31 °C\n".encode() + b"\xb0\n")

    assert str(refusal.value) == (
        "Byte 7 of the file (counted from 0) is not UTF-8 text; save the file as UTF-8 and try again."
    )


def test_the_byte_offset_counts_the_byte_order_mark() -> None:
    with pytest.raises(Undecodable, match="Byte 4 of the file"):
        decode_text(b"\xef\xbb\xbfa\xb0\n")


def test_a_byte_that_windows_1252_lacks_is_refused() -> None:
    with pytest.raises(Undecodable, match=r"Byte 3 .* is not UTF-8 or Windows-1252 text"):
        decode_text(b"ab,\x81\n")


def test_half_a_surrogate_pair_in_utf16_is_refused() -> None:
    with pytest.raises(Undecodable, match=r"Byte 4 .* is not UTF-16 text"):
        decode_text(b"\xff\xfea\x00\x00\xd8b\x00\n\x00")


@pytest.mark.parametrize(
    "raw", ["31 °".encode()[:-1], b"\xff\xfea\x00\n"], ids=["UTF-8 inside a character", "UTF-16 odd byte"]
)
def test_bytes_that_end_inside_a_character_are_a_cut_file(raw: bytes) -> None:
    with pytest.raises(CutFile):
        decode_text(raw)


def test_a_nul_is_refused_with_its_line() -> None:
    with pytest.raises(NulByte) as refusal:
        decode_text(b"a,b\n1,\x002\n")

    assert str(refusal.value) == (
        "Line 2 holds a NUL byte, so this is not a table of text; export it again as CSV."
    )
