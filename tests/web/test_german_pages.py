"""No page says a word of English to a German reader, whatever stands within its sentences."""

from __future__ import annotations

import re

import pytest
from django.utils.translation import override

from golfstats.calc.clubs import USUAL_NAMES
from golfstats.ground.club_names import club_words
from golfstats.ground.words import spoken
from golfstats.sentences import Sentence, as_kept, from_kept
from players.plans.models import RoundPlan
from players.rounds.models import Round
from tests.web import catalogue
from tests.web.conftest import Place, signed_in
from tests.web.pages import Page
from tests.web.test_languages import ZONES, Texts, german_pages
from tests.web.test_tomorrow import made

__all__ = ["made"]

GERMAN = {"Accept-Language": "de"}
WORD = re.compile(r"[^\W\d_]+")
GIVEN = re.compile(r"Long [Cc]ourse|First team|White|[Yy]ellow|golf-record\.zip|(?s:\d dogleg right.*)")
"""Names that the club gave, and an example in the notation."""
WEEKDAY = {"do"}
"""Thursday, and no English."""


def only_english() -> set[str]:
    """Words of the catalogue's English sentences that stand in none of its German ones."""
    english: set[str] = set()
    german: set[str] = set()
    for message in catalogue.catalogue_of("de"):
        for said, words in ((english, message.id), (german, message.string)):
            for text in (words,) if isinstance(words, str) else words:
                said.update(WORD.findall(catalogue.PLACEHOLDER.sub(" ", text).lower()))
    return english - german - WEEKDAY


@pytest.mark.parametrize("role", ["player_member", "coach", "greenkeeper", "manager"])
def test_no_page_has_an_english_word(
    role: str,
    place: Place,
    played: Round,
    made: RoundPlan,
) -> None:
    english = only_english()
    assert {"the", "rounds", "shots", "iron", "short"} <= english
    client = signed_in(getattr(place, role))
    pages = 0
    left: dict[str, str] = {}
    for path, response in german_pages(client, "/", "/account"):
        pages += 1
        if not response.headers["Content-Type"].startswith("text/html"):
            continue  # a file
        page = Texts()
        page.feed(response.content.decode())
        for text in page.texts:
            if text not in ZONES and english & set(WORD.findall(GIVEN.sub("", text).lower())):
                left[text] = path
    assert pages > 15  # a greenkeeper opens the fewest
    assert left == {}


def test_the_card_of_a_plan_is_printed_in_german(place: Place, made: RoundPlan) -> None:
    client = signed_in(place.player_member)
    text = " ".join(
        Page.of(
            client.get(f"/clubs/{place.club.slug}/plans/{made.id}/card", headers=GERMAN).content
        ).text.split()
    )
    assert re.search(r"(Driver|Eisen \d|Holz \d|Hybrid \d): ", text)
    assert "nicht " in text
    assert "Erwarten Sie" in text


def test_every_club_has_a_german_name() -> None:
    with override("de"):
        assert club_words("7-iron") == "Eisen 7"
        assert club_words("my old mashie") == "my old mashie"
        assert {name for name in USUAL_NAMES if club_words(name) == name} == set()
    assert {club_words(name) for name in USUAL_NAMES} == USUAL_NAMES


@pytest.mark.parametrize("kept", [False, True])
def test_a_club_within_a_sentence_is_told_by_its_german_name(*, kept: bool) -> None:
    words = Sentence("{club} is a club that was not used before", club="3-wood")
    assert words == "3-wood is a club that was not used before"
    with override("de"):
        assert spoken(from_kept(as_kept(words)) if kept else words).startswith("Holz 3 ")
