"""Names that deceive whoever reads them: of people, players, squads, courses, tees, clubs, and to sign in with.

Sources: Unicode Technical Standard #39, 3.1 (what is left out of names) and 5.2 (one script a word); the characters are
those of the Unicode Character Database, Default_Ignorable_Code_Point.
"""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from golfstats.ground.clubs.models import User
from golfstats.ground.names import readable
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.api.test_api_behaviour import is_problem
from tests.players.conftest import Place, client_of

DECEIVING = [
    "Ines\u200b Aldana",  # ZERO WIDTH SPACE
    "\u2066Ines Aldana\u2069",  # LEFT-TO-RIGHT ISOLATE
    "Ines \u202enadlA",  # RIGHT-TO-LEFT OVERRIDE
    "In\u00ades Aldana",  # SOFT HYPHEN
    "Ines\u200d Aldana",  # ZERO WIDTH JOINER, where nothing is joined
    "Ines\nAldana",
    "Ines\ufeff Aldana",  # BYTE ORDER MARK
    "Ines\u3164Aldana",  # HANGUL FILLER
    "\u2800",  # BRAILLE PATTERN BLANK, and nothing else
    "Ines\U000e0041",  # TAG LATIN CAPITAL LETTER A
    "In\u0435s Aldana",  # CYRILLIC SMALL LETTER IE
    "\u0399nes Aldana",  # GREEK CAPITAL LETTER IOTA
    "\U0001d408nes Aldana",  # MATHEMATICAL BOLD CAPITAL I
    "\uff29nes Aldana",  # FULLWIDTH LATIN CAPITAL LETTER I
]
ORDINARY = [
    "Pádraic Ó Duignan-Ström",
    "Анна Smith",  # each word in one alphabet
    "Мария-Луиза",
    "Αθηνά",
    "山田 太郎 ヤマダ",
    "علی‌رضا",  # with a joiner that Persian needs
    "ක්‍රිෂාන්",  # and one that Sinhala needs
    "Mª José",
    "Old Heath № 2 (9½ holes)",
    "O'Neil & Søn",
]


@pytest.mark.parametrize("name", DECEIVING)
def test_a_name_that_deceives_is_none(name: str) -> None:
    with pytest.raises(ValueError, match=r"a name has|write|a word"):
        readable(name)


@pytest.mark.parametrize("name", ORDINARY)
def test_a_name_of_any_language_is_one(name: str) -> None:
    assert readable(name) == name


def test_letters_and_their_accents_are_one_letter() -> None:
    assert readable("Pa\u0301draic") == "P\u00e1draic"
    assert len(readable("\u0958" * 120)) == 120  # DEVANAGARI LETTER QA, which NFC takes apart


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["In\u0435s Aldana", "Ines\u200b Aldana", "Ines\rAldana"])
def test_no_door_takes_one(place: Place, name: str) -> None:
    client = client_of(place.manager)
    with club_scope(place.club.id):
        course = factories.make_course("Heath")
    asked: list[tuple[str, str, dict[str, Any]]] = [
        ("post", "invitations", {"name": name, "role": "player"}),
        ("patch", f"members/{place.coach.id}", {"name": name}),
        ("post", "players", {"name": name, "rating_gender": "women"}),
        ("patch", f"players/{place.player.id}", {"name": name}),
        ("post", "squads", {"name": name}),
        ("patch", "club", {"name": name}),
        ("post", "courses", {"name": name, "hole_count": 18}),
        ("post", f"courses/{course.id}/tees", {"name": name}),
    ]
    for method, path, body in asked:
        answer = getattr(client, method)(f"/api/v1/{path}", body, format="json")
        problem = is_problem(answer, 422, "invalid-request")
        assert "/name" in {error["pointer"] for error in problem["errors"]}, path


@pytest.mark.django_db
@pytest.mark.parametrize("field", ["name", "username"])
def test_nor_does_who_founds_a_club(settings: Any, field: str) -> None:
    settings.OPEN_FOUNDING = True
    given = {"name": "Larkmoor", "slug": "larkmoor", "time_zone": "UTC", "username": "rosa"}
    given |= {"password": "six words of a long password", field: "In\u0435s"}
    assert Client().post("/found", given).status_code == 422
    assert not User.objects.exists()
