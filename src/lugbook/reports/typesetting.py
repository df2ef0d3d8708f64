"""Setting pages from our own templates: data and files in, a PDF out; nothing is asked from outside.

Three steps, each taken only if the one before fails. The fonts that come with our libraries are tried first, so that
the bytes are the same on every machine; then those of the machine as well; then letters that no font has are written
as their Unicode numbers. All three declare PDF/A-2a and PDF/UA-1. Where that still fails, the declaration is left out.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from shutil import copyfile
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from typst import Fonts, TypstError

STANDARDS = ("a-2a", "ua-1")
FAMILIES = ("Libertinus Serif", "DejaVu Sans")
"""The first comes inside the typesetter, the second with the plotting library."""
DECLARED = "This file declares PDF/A-2a and PDF/UA-1 (tagged, fonts embedded)."
NOT_DECLARED = "This file does not declare PDF/A: a part of it cannot be set as that standard asks."
SPELLED = (
    "No font at hand has these letters, so they stand as their Unicode numbers; the HTML file has them: "
)
PROBE = (
    b'#set document(title: "letters")\n#set text(lang: "en")\n#for sign in json("data.json") { par(sign) }'
)
PROBE_SECOND = 946_684_800
"""2000-01-01 in UNIX time."""
FACES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSans-Oblique.ttf")
MOST_NAMED = 12


@dataclass(frozen=True)
class Paper:
    """A PDF, and what has to be said of it."""

    content: bytes
    declares_archive: bool
    """Whether it declares PDF/A-2a and PDF/UA-1."""
    remark: str
    """What a person must be told of how it was set; '' for nothing. It stands in the file as well."""


def set_pages(template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes], day: str) -> Paper:
    """The PDF of a template of ours; `day` ("2031-04-18") is its time stamp, so the same data give the same bytes.

    The template finds `colophon` in its data: how the file was set, in words.
    """
    with TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "main.typ").write_bytes(files("lugbook.reports").joinpath("templates", template).read_bytes())
        for name, content in pictures.items():
            (root / name).write_bytes(content)
        return _by_steps(root, data, int(datetime.fromisoformat(day).replace(tzinfo=UTC).timestamp()))


def _by_steps(root: Path, data: Mapping[str, Any], stamp: int) -> Paper:
    from typst import TypstError

    for with_system in (False, True):
        fonts = _fonts(root, with_system=with_system)
        try:
            return Paper(_compile(root, {**data, "colophon": DECLARED}, fonts, stamp, STANDARDS), True, "")
        except TypstError as error:
            _raise_unless_of_standard(error)
    missing = _letters_without_font(root, _letters(data), fonts)
    remark = _word_missing(missing)
    spelled = _walk(data, lambda text: _spell(text, missing))
    try:
        whole = {**spelled, "colophon": f"{DECLARED} {remark}".strip()}
        return Paper(_compile(root, whole, fonts, stamp, STANDARDS), True, remark)
    except TypstError as error:
        _raise_unless_of_standard(error)
        remark = f"{NOT_DECLARED} {remark}".strip()
        content = _compile(root, {**spelled, "colophon": remark}, fonts, stamp, ())
        return Paper(content, False, remark)


def _raise_unless_of_standard(error: TypstError) -> None:
    """What a standard forbids is answered by a further step; anything else is a fault of ours."""
    if not str(error).startswith("PDF/"):
        raise error


def _compile(
    root: Path, data: Mapping[str, Any], fonts: Fonts, stamp: int, standards: tuple[str, ...]
) -> bytes:
    import typst

    (root / "data.json").write_text(json.dumps(data, ensure_ascii=False), "utf-8")
    compile_pages: Any = typst.compile  # Any: the library's own type takes no list of strings
    made = compile_pages(
        str(root / "main.typ"),
        root=str(root),
        font_paths=fonts,
        format="pdf",
        pdf_standards=list(standards),
        timestamp=stamp,
    )
    return bytes(made)


def _fonts(root: Path, *, with_system: bool) -> Fonts:
    """Our own fonts, the same on every machine; and the machine's where asked.

    Of the plotting library's folder only one family is taken: its last-resort font would hide a missing letter. The
    typesetter reads fonts when it needs them, so they lie beside the pages as long as those are set.
    """
    from typst import Fonts

    spec = find_spec("matplotlib")
    assert spec is not None
    assert spec.origin is not None
    shipped, beside = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf", root / "fonts"
    beside.mkdir(exist_ok=True)
    for face in FACES:
        copyfile(shipped / face, beside / face)
    return Fonts(include_system_fonts=with_system, font_paths=[str(beside)])


def _letters_without_font(root: Path, letters: set[str], fonts: Fonts) -> frozenset[str]:
    """Those letters no font has. Letters of one script stand or fall together: "CJK", "HANGUL"."""
    from typst import TypstError

    scripts: dict[str, list[str]] = {}
    for letter in sorted(letters):
        scripts.setdefault(unicodedata.name(letter, letter).partition(" ")[0], []).append(letter)
    missing: set[str] = set()
    probe = root / "probe"
    probe.mkdir()
    (probe / "main.typ").write_bytes(PROBE)
    for together in scripts.values():
        try:
            _compile(probe, together, fonts, PROBE_SECOND, STANDARDS)  # type: ignore[arg-type]
        except TypstError:
            missing.update(together)
    return frozenset(missing)


def _letters(data: Any) -> set[str]:
    """Every letter beyond Latin-1 in the data. (Any: JSON.)"""
    texts: list[str] = []
    _walk(data, lambda text: texts.append(text) or text)  # type: ignore[func-returns-value]
    return {sign for text in texts for sign in text if sign > "\u00ff"}


def _walk(data: Any, change: Callable[[str], str]) -> Any:
    """The same JSON with every text changed; keys and SVG stay. (Any: JSON.)"""
    if isinstance(data, str):
        return change(data)
    if isinstance(data, Mapping):
        return {key: value if key == "svg" else _walk(value, change) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_walk(value, change) for value in data]
    return data


def _spell(text: str, missing: frozenset[str]) -> str:
    return "".join(f"[U+{ord(sign):04X}]" if sign in missing else sign for sign in text)


def _word_missing(missing: frozenset[str]) -> str:
    if not missing:
        return ""
    numbers = [f"U+{ord(sign):04X}" for sign in sorted(missing)]
    rest = f" and {len(numbers) - MOST_NAMED} more" if len(numbers) > MOST_NAMED else ""
    return f"{SPELLED}{', '.join(numbers[:MOST_NAMED])}{rest}."
