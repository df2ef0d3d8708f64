"""A document as one HTML file that asks for nothing outside itself and runs nothing."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from lugbook.reports.blocks import Column, Document, Drawing, Print, Table
from lugbook.reports.plain_text import fit_to_show

if TYPE_CHECKING:
    from jinja2 import Template
    from markupsafe import Markup

TEMPLATES = "templates"


def html_document(document: Document) -> bytes:
    """The document as UTF-8 HTML; the same document gives the same bytes.

    Every text is escaped by the template; only our own style and our own drawings stand as they are. The content
    policy lets in no script, no frame, no form and no address; the style is named by its digest.
    """
    from markupsafe import Markup

    style = style_sheet()
    page = _template().render(document=document, style=Markup(style), policy=_policy(style))
    return page.encode("utf-8", "replace")


@cache
def style_sheet() -> str:
    """The style of every HTML report."""
    return files("lugbook.reports").joinpath(TEMPLATES, "report.css").read_text("utf-8")


def _policy(style: str) -> str:
    digest = b64encode(sha256(style.encode()).digest()).decode()
    return (
        f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"
    )


@cache
def _template() -> Template:
    from jinja2 import Environment, StrictUndefined

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, finalize=_shown, keep_trailing_newline=True
    )
    environment.globals.update(share=_share, svg=_svg, svg_address=_svg_address, jpeg_address=_jpeg_address)
    source = files("lugbook.reports").joinpath(TEMPLATES, "report.html.j2").read_text("utf-8")
    return environment.from_string(source)


def _shown(value: Any) -> Any:
    """Text without controls; what is markup of our own stays as it is. (Any: the template library's own contract.)"""
    return fit_to_show(value) if type(value) is str else value


def _share(table: Table, column: Column) -> str:
    """A column's part of the width in percent."""
    return f"{100 * column.share / sum(one.share for one in table.columns):.1f}"


def _svg(drawing: Drawing) -> Markup:
    from markupsafe import Markup

    return Markup(drawing.svg)  # made by sparklines or codes from numbers alone


def _svg_address(drawing: Drawing) -> Markup:
    return _data_address("image/svg+xml", drawing.svg.encode("utf-8", "replace"))


def _jpeg_address(photo: Print) -> Markup:
    return _data_address("image/jpeg", photo.jpeg)


def _data_address(kind: str, content: bytes) -> Markup:
    """Needs no escaping: its letters are those of base64. Megabytes of it need not be looked through either."""
    from markupsafe import Markup

    return Markup(f"data:{kind};base64,{b64encode(content).decode()}")
