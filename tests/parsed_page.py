"""A page of HTML as its elements and texts."""

from html.parser import HTMLParser

VOID = {"meta", "br", "col", "img", "link", "input", "hr"}


class Page(HTMLParser):
    """Every element with its attributes, every text, in order."""

    def __init__(self, content: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str]]] = []
        self.texts: list[str] = []
        self.open: list[str] = []
        self.feed(content)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style" and data.strip():
            self.texts.append(" ".join(data.split()))
