"""A document on paper."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from lugbook.errors import PaperUnknown
from lugbook.reports.blocks import Document, Print
from lugbook.reports.plain_text import breakable
from lugbook.reports.typesetting import FAMILIES, IN_HTML, Paper, set_pages

PAPERS = {"a4": "a4", "letter": "us-letter"}


def pdf_document(document: Document, paper: str = "a4") -> Paper:
    """The document as a tagged PDF on "a4" or "letter"; the same document gives the same bytes.

    Raises PaperUnknown.
    """
    data, pictures = pages_of(document, paper)
    return set_pages("report.typ", data, pictures, document.day, elsewhere=IN_HTML)


def check_paper(paper: str) -> None:
    """Refuse a paper we do not print on. Raises PaperUnknown."""
    if paper.lower() not in PAPERS:
        raise PaperUnknown(paper, list(PAPERS))


def pages_of(document: Document, paper: str) -> tuple[dict[str, Any], dict[str, bytes]]:
    """The document as JSON for the template, and the photos it names by file. Raises PaperUnknown. (Any: JSON.)"""
    check_paper(paper)
    pictures: dict[str, bytes] = {}
    data = _json_of(document, pictures)
    data |= {"has_contents": document.has_contents, "paper": PAPERS[paper.lower()], "fonts": list(FAMILIES)}
    return data, pictures


def _json_of(value: Any, pictures: dict[str, bytes]) -> Any:
    """Dataclasses become objects with their kind, text is made fit for paper, photos become names of files."""
    if isinstance(value, Print):
        name = f"photo-{len(pictures)}.jpg"
        pictures[name] = value.jpeg
        ratio = value.width_pixel / value.height_pixel
        return {"file": name, "caption": breakable(value.caption), "ratio": ratio}
    if isinstance(value, str):
        return breakable(value)
    if isinstance(value, tuple):
        return [_json_of(one, pictures) for one in value]
    if hasattr(value, "__dataclass_fields__"):
        made = {field.name: _json_of(getattr(value, field.name), pictures) for field in fields(value)}
        if "svg" in made:
            made["svg"] = value.svg
        return {**made, "kind": getattr(value, "kind", ""), "letters": _count_letters(made)}
    return value


def _count_letters(made: Any) -> int:
    """How much text there is to set: a long block must be let break over pages. (Any: JSON.)"""
    if isinstance(made, str):
        return len(made)
    if isinstance(made, list):
        return sum(map(_count_letters, made))
    if isinstance(made, dict):
        return sum(_count_letters(value) for name, value in made.items() if name not in ("svg", "letters"))
    return 0
