"""Setting pages from our own templates: data and files in, a PDF out; nothing is asked from outside.

Three steps, each taken only if the one before fails. The fonts that come with our libraries are tried first, so that
the bytes are the same on every machine; then those of the machine as well, with words in other scripts as outlines
where they stand in a picture, since there the typesetter cannot name the letters of signs that join; then letters that
no font has are written as their Unicode numbers. All three declare PDF/A-2a and PDF/UA-1. Where that still fails, the
declaration is left out, and the file says which part of it is why.
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

from lugbook.reports.plain_text import spell

if TYPE_CHECKING:
    from typst import Fonts, TypstError

STANDARDS = ("a-2a", "ua-1")
FAMILIES = ("Libertinus Serif", "DejaVu Sans")
"""The first comes inside the typesetter, the second with the plotting library."""
DECLARED = "This file declares PDF/A-2a and PDF/UA-1 (tagged, fonts embedded)."
NOT_DECLARED = "This file does not declare PDF/A: {} cannot be set as that standard asks."
IN_OTHER_LETTERS = "Written in other letters they can be."
SPELLED = "No font at hand has these letters, so they stand as their Unicode numbers"
IN_HTML = "the HTML file has them"
PROBE = (
    b'#set document(title: "letters")\n#set text(lang: "en")\n#for sign in json("data.json") { par(sign) }'
)
PROBE_SECOND = 946_684_800
"""2000-01-01 in UNIX time."""
FACES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSans-Oblique.ttf")
MOST_NAMED = 12
MOST_PROBED = 200
"""Words tried one by one where a file cannot declare its standard."""
BLANK = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1"/>'


@dataclass(frozen=True)
class Paper:
    """A PDF, and what has to be said of it."""

    content: bytes
    declares_archive: bool
    """Whether it declares PDF/A-2a and PDF/UA-1."""
    remark: str
    """What a person must be told of how it was set; '' for nothing. It stands in the file as well."""


def set_pages(
    template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes], day: str, *, elsewhere: str = ""
) -> Paper:
    """The PDF of a template of ours; `day` ("2031-04-18", or an instant in UTC) is its time stamp, so the same data
    give the same bytes.

    The template finds in its data `colophon`, how the file was set, in words, and `remark`, the part of it that must
    be said. `elsewhere` says where letters without a font stand as they are.
    """
    with TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "main.typ").write_bytes(files("lugbook.reports").joinpath("templates", template).read_bytes())
        for name, content in pictures.items():
            (root / name).write_bytes(content)
        stamp = int(datetime.fromisoformat(day).replace(tzinfo=UTC).timestamp())
        return _by_steps(root, data, stamp, elsewhere)


def _by_steps(root: Path, data: Mapping[str, Any], stamp: int, elsewhere: str) -> Paper:
    from typst import TypstError

    fonts = _fonts(root, with_system=False)
    try:
        return Paper(_compile(root, _said(data, DECLARED, ""), fonts, stamp, STANDARDS), True, "")
    except TypstError as error:
        _raise_unless_of_standard(error)
    from lugbook.reports.outlines import outline_words

    fonts = _fonts(root, with_system=True)
    drawn = _walk(data, _same, outline_words)
    try:
        return Paper(_compile(root, _said(drawn, DECLARED, ""), fonts, stamp, STANDARDS), True, "")
    except TypstError as error:
        _raise_unless_of_standard(error)
    missing = _letters_without_font(root, _letters(data), fonts)
    remark = _word_missing(missing, elsewhere)
    spelled = _walk(
        data, lambda text: spell(text, missing), lambda svg: outline_words(spell(svg, missing))
    )
    try:
        whole = _said(spelled, f"{DECLARED} {remark}".strip(), remark)
        return Paper(_compile(root, whole, fonts, stamp, STANDARDS), True, remark)
    except TypstError as error:
        _raise_unless_of_standard(error)
        remark = f"{_word_refused(root, spelled, fonts, stamp)} {remark}".strip()
        content = _compile(root, _said(spelled, remark, remark), fonts, stamp, ())
        return Paper(content, False, remark)


def _said(data: Mapping[str, Any], colophon: str, remark: str) -> dict[str, Any]:
    return {**data, "colophon": colophon, "remark": remark}


def _word_refused(root: Path, data: Mapping[str, Any], fonts: Fonts, stamp: int) -> str:
    """That the file declares nothing, which part of it is why, and what to do, as far as that can be found."""
    from typst import TypstError

    try:
        _compile(root, _said(_walk(data, _same, lambda _: BLANK), DECLARED, ""), fonts, stamp, STANDARDS)
    except TypstError:
        words = sorted({word for text in _texts(data) for word in text.split() if max(word) > "\u00ff"})
        refused = next((word for word in words[:MOST_PROBED] if not _can_set(root, [word], fonts)), "")
        if not refused:
            return f"{NOT_DECLARED.format('a part of it')} Which one was not found; it is whole all the same."
        return f"{NOT_DECLARED.format(f'the words “{refused}”')} {IN_OTHER_LETTERS}"
    return f"{NOT_DECLARED.format('the words in a picture')} {IN_OTHER_LETTERS}"


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
    scripts: dict[str, list[str]] = {}
    for letter in sorted(letters):
        scripts.setdefault(unicodedata.name(letter, letter).partition(" ")[0], []).append(letter)
    return frozenset(
        letter for together in scripts.values() if not _can_set(root, together, fonts) for letter in together
    )


def _can_set(root: Path, texts: list[str], fonts: Fonts) -> bool:
    """Whether some texts, each a paragraph, can be set as the standards ask."""
    from typst import TypstError

    probe = root / "probe"
    probe.mkdir(exist_ok=True)
    (probe / "main.typ").write_bytes(PROBE)
    try:
        _compile(probe, texts, fonts, PROBE_SECOND, STANDARDS)  # type: ignore[arg-type]
    except TypstError:
        return False
    return True


def _letters(data: Any) -> set[str]:
    """Every letter beyond Latin-1 in the data and its pictures. (Any: JSON.)"""
    return {sign for text in _texts(data) for sign in text if sign > "\u00ff"}


def _texts(data: Any) -> list[str]:
    """Every text of the data, pictures among them. (Any: JSON.)"""
    texts: list[str] = []

    def note(text: str) -> str:
        texts.append(text)
        return text

    _walk(data, note, note)
    return texts


def _same(text: str) -> str:
    return text


def _walk(data: Any, change: Callable[[str], str], change_svg: Callable[[str], str]) -> Any:
    """The same JSON with every text and every SVG changed; keys stay. (Any: JSON.)"""
    if isinstance(data, str):
        return change(data)
    if isinstance(data, Mapping):
        return {
            key: change_svg(value) if key == "svg" else _walk(value, change, change_svg)
            for key, value in data.items()
        }
    if isinstance(data, list | tuple):
        return [_walk(value, change, change_svg) for value in data]
    return data


def _word_missing(missing: frozenset[str], elsewhere: str) -> str:
    if not missing:
        return ""
    numbers = [f"U+{ord(sign):04X}" for sign in sorted(missing)]
    rest = f" and {len(numbers) - MOST_NAMED} more" if len(numbers) > MOST_NAMED else ""
    return f"{'; '.join(filter(None, (SPELLED, elsewhere)))}: {', '.join(numbers[:MOST_NAMED])}{rest}."
