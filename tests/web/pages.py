"""Reads a page as a browser would: what it loads, what its forms ask, how its tables are headed."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any

VOID = frozenset({"input", "meta", "link", "br", "hr", "img", "circle", "line", "path", "rect"})
ADDRESSES = frozenset({"src", "href", "action", "data-library", "data-rounds", "data-sign-in"})
NEED_NO_LABEL = frozenset({"hidden", "submit", "button"})


@dataclass
class Page(HTMLParser):
    """Everything about a page that a test asks."""

    addresses: list[str] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    inline: list[str] = field(default_factory=list)
    """Scripts, styles and handlers written into the page."""
    labelled: set[str] = field(default_factory=set)
    fields: list[dict[str, Any]] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)
    tables: int = 0
    headed: int = 0
    text: str = ""
    _open: list[tuple[str, dict[str, Any]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()

    @classmethod
    def of(cls, html: bytes) -> Page:
        page = cls()
        page.feed(html.decode())
        return page

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        named = {name: value or "" for name, value in attrs}
        self.addresses += [value for name, value in named.items() if name in ADDRESSES]
        self.inline += [f"{tag} {name}" for name in named if name.startswith("on") or name == "style"]
        if tag == "style":
            self.inline.append("style")
        if tag == "a":
            self.links.append(named.get("href", ""))
        if tag == "label":
            self.labelled.add(named.get("for", ""))
        if tag in {"input", "select", "textarea"} and named.get("type") not in NEED_NO_LABEL:
            self.fields.append(named)
        if tag == "table":
            self.tables += 1
        if tag == "th" and named.get("scope") == "col" and named not in [one for _, one in self._open]:
            self.headed += 1
        if tag not in VOID:
            self._open.append((tag, named))

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        inside = [tag for tag, _ in self._open]
        if inside and inside[-1] == "script":
            if self._open[-1][1].get("type") != "application/json" and data.strip():
                self.inline.append(f"script: {data[:40]}")
            return
        if "h1" in inside:
            self.headings.append(data.strip())
        self.text += f" {data.strip()}" if data.strip() else ""
