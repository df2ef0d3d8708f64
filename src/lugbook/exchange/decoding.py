"""Which encoding a file of text is in."""

from __future__ import annotations

import re
from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE

from lugbook.errors import CutFile, NulByte, Undecodable

_SEVERAL_BYTES = re.compile(rb"[\xc2-\xdf][\x80-\xbf]|[\xe0-\xef][\x80-\xbf]{2}|[\xf0-\xf4][\x80-\xbf]{3}")


def decode_text(raw: bytes) -> str:
    """The text of a file, every line end made a newline, no byte order mark.

    UTF-16 only with its mark; else UTF-8; else Windows-1252, the usual encoding of a logging meter's µ and °.
    No byte is ever replaced by a stand-in.
    Raises Undecodable, NulByte, CutFile (the bytes end inside a character).
    """
    text = _decode_utf16(raw) if raw.startswith((BOM_UTF16_LE, BOM_UTF16_BE)) else _decode_bytewise(raw)
    if "\0" in text:
        raise NulByte(line=text.count("\n", 0, text.index("\0")) + 1)
    return text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text


def _decode_utf16(raw: bytes) -> str:
    try:
        return raw.decode("utf-16")
    except UnicodeDecodeError as error:
        if error.end == len(raw):
            raise CutFile from error
        raise Undecodable(error.start, "UTF-16") from error


def _decode_bytewise(raw: bytes) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        if not raw.endswith((b"\n", b"\r")):
            raise CutFile from error
        # With the mark, or with whole UTF-8 characters elsewhere, the file is UTF-8 and damaged: read as
        # Windows-1252, every µ would become Âµ.
        if raw.startswith(BOM_UTF8):
            raise Undecodable(error.start + len(BOM_UTF8), "UTF-8") from error
        if _SEVERAL_BYTES.search(raw):
            raise Undecodable(error.start, "UTF-8") from error
    try:
        return raw.decode("cp1252")
    except UnicodeDecodeError as error:
        raise Undecodable(error.start, "UTF-8 or Windows-1252") from error
