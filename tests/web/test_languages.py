"""Pages in another language: its catalogue is complete, and what a page itself says is not left in English."""

from __future__ import annotations

import gettext as catalogues
import json
import os
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any
from zoneinfo import available_timezones

import pytest
from django.http import HttpResponse
from django.test import Client
from django.utils.translation import override, trans_real

from golfstats.calc.plan.card import CAUTION, CardRow, plan_page
from golfstats.doors.pages.drawn_words import in_readers_words
from golfstats.doors.pages.script_words import script_words
from players.rounds.models import Round
from tests import factories
from tests.players.conftest import client_of
from tests.web import catalogue
from tests.web.conftest import Place, signed_in
from tests.web.pages import VOID, Page
from tests.web.test_pages_of_every_role import OURS

OTHERS = ["de"]
FOR_PROGRAMS = ("/problems/",)
"""Pages about the API, which is English."""
DATA = re.compile(
    r"Ines( Aldana)?|Tomas( Rehn)?|ines|tomas|coach|Coach|manager|Manager|greenkeeper|Greenkeeper|Larkmoor|First team|White|"
    r"Long course|Long Course|golfstats|GraphQL|English|Deutsch|UTC|"
    r"(?s:\d dogleg right.*)"  # an example in the notation, whose words are read by the service
)
ZONES = available_timezones()
"""Names, languages, clubs and examples, as the rows have them."""


class Marked(catalogues.NullTranslations):
    """A language in which every sentence stands between marks."""

    def gettext(self, message: str) -> str:
        return f"⟦{message.rpartition(chr(4))[2]}⟧"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)

    def to_language(self) -> str:
        return "de"


class Texts(HTMLParser):
    """What a person reads or hears of a page, piece by piece."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in VOID:
            self.open.append(tag)
        self.texts += [text for name, text in attrs if text and name in {"aria-label", "placeholder", "alt"}]

    def handle_endtag(self, tag: str) -> None:
        while self.open and self.open.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if not {"script", "style", "pre", "code", "textarea"} & set(self.open):
            self.texts.append(data.strip())


@pytest.fixture
def marked(settings: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    settings.LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
    monkeypatch.setattr(trans_real, "translation", lambda language: Marked())


def unmarked(html: str) -> Iterator[str]:
    """What is left of a page's words outside the marks."""
    page = Texts()
    page.feed(html)
    for text in page.texts:
        left = text
        while (inner := re.sub(r"⟦[^⟦⟧]*⟧", "", left)) != left:
            left = inner
        left = re.sub("^[^⟦]*⟧", "", left)  # a page that shows the end of a sentence cuts off its first mark
        if text not in ZONES and re.search(r"[A-Za-z]{3}", DATA.sub("", left)):
            yield left


def german_pages(client: Client, *starts: str) -> Iterator[tuple[str, HttpResponse]]:
    """Each of our pages that links lead to from these, as a German browser is given it."""
    seen: set[str] = set()
    ahead = list(starts)
    while ahead:
        address = ahead.pop()
        path = address.partition("?")[0].partition("#")[0]
        if path in seen or path.startswith(FOR_PROGRAMS):
            continue
        seen.add(path)
        response = client.get(address, follow=True, headers={"Accept-Language": "de"})
        yield path, response
        if not response.headers["Content-Type"].startswith("text/html"):
            continue  # a file
        ahead += [one for one in Page.of(response.content).links if one == "/" or one.startswith(OURS)]


@pytest.mark.parametrize("role", ["player_member", "coach", "greenkeeper", "manager"])
def test_what_pages_say_goes_through_the_catalogue(
    role: str, marked: None, place: Place, played: Round
) -> None:
    client: Client = signed_in(getattr(place, role))
    pages = 0
    english: dict[str, str] = {}
    for path, response in german_pages(client, "/", "/account", "/sign-in"):
        assert response.status_code == 200, path
        assert response.headers["Content-Language"] == "de", path
        english |= dict.fromkeys(unmarked(response.content.decode()), path)
        pages += 1
    assert pages > 15  # a greenkeeper opens the fewest
    assert english == {}


@pytest.mark.parametrize("language", OTHERS)
def test_every_sentence_has_words_in(language: str) -> None:
    """``UPDATE_CATALOGUE=1`` takes up new sentences, without words, and writes what Django reads."""
    words = catalogue.catalogue_of(language)
    if os.environ.get("UPDATE_CATALOGUE"):
        words = catalogue.updated(words)
        catalogue.write(words)
    said = catalogue.sentences()
    known = {(one.context, _english(one.id)) for one in words if one.id}
    assert set(said) - known == set(), "these are new: run this test with UPDATE_CATALOGUE=1"
    assert known - set(said) == set(), "nobody says these any more: run this test with UPDATE_CATALOGUE=1"
    without = [one.english for one in said.values() if not all(_strings(words, one))]
    assert without == []
    wrong = [
        (one.english, string)
        for one in said.values()
        for string in _strings(words, one)
        if catalogue.placeholders(string) != catalogue.placeholders(one.plural or one.english)
    ]
    assert wrong == []


def test_a_picture_kept_in_english_is_told_in_the_readers_language() -> None:
    row = CardRow(number=1, par=4, yards=380, club="driver", aim="middle", expected=4.5, avoid="")
    card = plan_page("Long course", [row], [])
    hole = '<svg aria-label="The hole from above"><path><title>out of bounds</title></path></svg>'
    assert "par 4" in card
    assert in_readers_words(card) == card
    with override("de"):
        told, above = in_readers_words(card), in_readers_words(hole)
    assert "Par 4" in told
    assert CAUTION not in told
    assert above == '<svg aria-label="Das Loch von oben"><path><title>Aus</title></path></svg>'


SCRIPTS = catalogue.LOCALE.parent / "static" / "web"
LITERAL = re.compile(
    r'(?P<call>\bt\(|Error\(|\bseveral\([^"`;]*, )?(?:"(?P<plain>[^"\n]*)"|`(?P<filled>[^`]*)`)'
)
WORDY = re.compile(r"[A-Za-z]{2,} [a-z]{2,}|^[A-Z][a-z]+( |$)")
NO_WORDS = {"Accept", "Backspace", "Query", "Mutation", "Club", "use strict"}
"""Names of keys, headers and types."""
HEARD = "spoken_words.js"
"""What people say in each language, not what a script tells them."""


def test_what_scripts_say_has_words() -> None:
    asked: set[str] = set()
    left: list[tuple[str, str]] = []
    for path in sorted(path for path in SCRIPTS.rglob("*.js") if path.name != HEARD):
        code = re.sub(r"(?m)^ *(//|/?\*).*$|; // .*$", "", path.read_text(encoding="utf-8"))
        for one in LITERAL.finditer(code):
            literal = one["plain"] if one["filled"] is None else re.sub(r"\$\{.*?\}", "", one["filled"])
            call = one["call"] or ""
            if call.startswith(("t(", "several(")):
                asked.add(literal)
            elif not call and WORDY.search(literal) and literal not in NO_WORDS:
                left.append((path.name, literal))
    assert left == []
    words = script_words()
    assert asked == {*words["one"], *words["several"]}


@pytest.mark.parametrize("language", OTHERS)
def test_what_django_reads_is_the_catalogue(language: str) -> None:
    path = catalogue.path_of(language)
    assert path.with_suffix(".mo").read_bytes() == catalogue.compiled(catalogue.catalogue_of(language))


def test_a_language_that_is_not_offered_is_not_spoken(place: Place, settings: Any) -> None:
    client = Client(headers={"Accept-Language": "de"})
    settings.LANGUAGES = [("en-gb", "English")]
    assert "Sign in" in Page.of(client.get("/").content).text
    settings.LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
    response = client.get("/")
    assert "Anmelden" in Page.of(response.content).text
    assert response.headers["Content-Language"] == "de"
    assert "Accept-Language" in response.headers["Vary"]
    assert b'<html lang="de">' in response.content
    assert "Sign in" in Page.of(client.get("/", headers={"Accept-Language": "fr, en;q=0.5"}).content).text


def test_a_language_is_chosen_in_the_browser(place: Place, settings: Any) -> None:
    client = signed_in(place.coach)
    settings.LANGUAGES = [("en-gb", "English")]
    assert 'name="language"' not in client.get("/account").content.decode()
    settings.LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
    assert 'name="language"' in client.get("/account").content.decode()
    chosen = client.post("/language", {"language": "de", "next": "/account"})
    assert chosen["Location"] == "/account"
    assert "Ihr Konto" in Page.of(client.get("/account").content).text
    client.post("/language", {"language": "en-gb", "next": "/account"})
    assert "Your account" in Page.of(client.get("/account").content).text
    assert (
        client.post("/language", {"language": "de", "next": "https://elsewhere.example/"})["Location"] == "/"
    )


def test_programs_are_answered_in_english(place: Place, settings: Any) -> None:
    settings.LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
    answer = signed_in(place.coach).get("/api/v1/clubs", headers={"Accept-Language": "de"})
    assert answer.headers["Content-Language"] == "en"
    refused = Client().get("/api/v1/rounds", headers={"Accept-Language": "de"})
    assert refused.json()["title"].startswith("Authentication credentials")


def test_what_a_script_of_a_page_was_refused_is_in_the_language_of_the_page(
    place: Place, settings: Any
) -> None:
    settings.LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
    body = factories.round_body()
    body["player"] = "Nobody"
    asked = {"content_type": "application/json", "headers": {"Accept-Language": "de"}}
    refused = signed_in(place.coach).post("/api/v1/rounds", json.dumps(body), **asked)
    (fault,) = refused.json()["errors"]
    assert (refused.status_code, refused.headers["Content-Language"]) == (422, "de")
    program = client_of(place.coach).post("/api/v1/rounds", body, format="json", headers=asked["headers"])
    assert program.headers["Content-Language"] == "en"
    (in_english,) = program.json()["errors"]
    assert fault["code"] == in_english["code"]
    assert fault["detail"] != in_english["detail"]
    assert refused.json()["title"] != program.json()["title"]


def _english(key: str | tuple[str, ...]) -> str:
    return key if isinstance(key, str) else key[0]


def _strings(words: catalogue.Catalog, one: catalogue.Sentence) -> tuple[str, ...]:
    message = words.get(one.english, one.context)
    if message is None:
        return ("",)
    return tuple(message.string) if isinstance(message.string, tuple | list) else (message.string,)
