"""The forms of a page, as a browser would find them."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urlencode

from tests.api.requests import Sent, value_of
from tests.api.routes import Route
from tests.api.world import World

FORM = "application/x-www-form-urlencoded"


def address(route: Route, world: World) -> str:
    """Of a page of this club."""
    values = {one: value_of(route, world, one) for one in route.parameters if one != "slug"}
    return route.address(values | {"slug": world.club.slug})


@dataclass
class Form:
    action: str
    method: str
    fields: dict[str, list[str]] = field(default_factory=dict)
    """Every value that a field offers, by its name; the first one is sent unless something else is chosen."""

    def first_values(self) -> dict[str, str]:
        return {name: values[0] for name, values in self.fields.items() if values}


class _Finder(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append(Form(given.get("action", ""), given.get("method", "get").upper()))
        elif self.forms:
            self._field(tag, given)

    def _field(self, tag: str, given: dict[str, str]) -> None:
        fields = self.forms[-1].fields
        if tag == "select":
            self._select = given.get("name", "")
        elif tag == "option":
            fields.setdefault(self._select, []).append(given.get("value", ""))
        elif tag in ("input", "textarea", "button") and given.get("name"):
            fields.setdefault(given["name"], []).append(given.get("value", ""))


def forms_of(page: str) -> list[Form]:
    finder = _Finder()
    finder.feed(page)
    return finder.forms


def submitted(form: Form, target: str, values: dict[str, str]) -> Sent:
    """The request that a browser would make of it."""
    body = urlencode(values)
    if form.method == "POST":
        return Sent("POST", target, body, FORM)
    return Sent("GET", f"{target.partition('?')[0]}?{body}")
