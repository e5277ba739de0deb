"""Every operation, every field of GraphQL and every page, asked about a club with a player under age, tells nothing of them.

``test_under_age.py`` tries what was thought of; here a new question is tried by being there.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.db import transaction

from courses.layout.models import Course, TeeSet
from golfstats.ground.clubs.models import Role
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.webhooks.models import Delivery, Destination
from players.files.models import Import
from players.people.models import Player, Squad
from players.record.tables import OF_PLAYER
from players.rounds import services as posting
from players.rounds.input import RoundInput
from players.rounds.models import Round
from tests import factories
from tests.api.calls import CALLS
from tests.api.graphql_calls import call_of, root_fields
from tests.api.requests import UUID, send, undone, valid
from tests.api.routes import operations
from tests.api.world import World, make_world
from tests.web.conftest import signed_in
from tests.web.test_pages_of_every_role import walk

NAME = "Zqxyoungzqx"
"""Of the player, and in every text of theirs."""
OTHERS = (Role.MANAGER, Role.COACH, Role.GREENKEEPER)
WHAT_GUARDIANS_SAID = {"under-age-players", "player-consents", "underAgePlayers", "playerConsents"}
"""Who is protected, for the manager who records it: a name and no golf."""
WHO_IS_IN_A_SQUAD = {"squad", "squads"}
"""A name and no golf, for whoever looks after the squad."""
TOLD_ALL_THE_SAME = WHAT_GUARDIANS_SAID | WHO_IS_IN_A_SQUAD
READINGS = sorted(
    name for name in CALLS if name.startswith("GET ") and name.removeprefix("GET ") not in TOLD_ALL_THE_SAME
)
FIELDS = sorted(
    name for name, kind in root_fields().items() if kind == "query" and name not in WHAT_GUARDIANS_SAID
)


@pytest.fixture(scope="module")
def young(django_db_setup: None, django_db_blocker: pytest.FixtureRequest) -> Iterator[World]:
    """A club whose rows are all about one player, who is under age, beside a squad mate who is not."""
    with django_db_blocker.unblock(), transaction.atomic():
        world = make_world("larkmoor", "Club", private=NAME)
        with club_scope(world.club.id):
            _call_what_is_not_theirs_otherwise(world)
            mate = Player.objects.get(id=world.mate_id)
            place = {"course": world.id(Course), "tee": world.id(TeeSet)}
            for day in (1, 2, 3):
                body = factories.round_body(mate, played_on=f"2026-04-0{day}") | place
                posting.post_round(world.members[Role.MANAGER], RoundInput.model_validate(body))
            Player.objects.filter(id=world.id(Player)).update(under_age=True)
        yield world
        transaction.set_rollback(True)


def _call_what_is_not_theirs_otherwise(world: World) -> None:
    for number, squad in enumerate(Squad.objects.all()):
        squad.name = f"Squad {number}"
        squad.save()
    Player.objects.exclude(id=world.id(Player)).update(name="A mate")
    Import.objects.update(file="a file")
    Destination.objects.update(url="https://example.org/", secret="s")
    Delivery.objects.update(body={})


@pytest.fixture(scope="module")
def theirs(young: World) -> set[str]:
    """The ids of the player and of every row about them."""
    with club_scope(young.club.id):
        player = Player.objects.get(id=young.id(Player))
        return {str(key) for kept in OF_PLAYER for key in kept.of(player).values_list("pk", flat=True)}


def told(text: str, asked: str, theirs: set[str]) -> list[str]:
    """What an answer tells of the player that the question did not."""
    found = [f"the name: …{text[max(0, at - 60) : at + 40]}…"] if (at := text.find(NAME)) >= 0 else []
    return found + sorted((set(UUID.findall(text)) - set(UUID.findall(asked))) & theirs)


@pytest.mark.parametrize("name", READINGS)
def test_no_operation_tells_of_them(young: World, theirs: set[str], name: str) -> None:
    route, method = operations()[name]
    sent = valid(young, route, method, CALLS[name])
    for role in OTHERS:
        with undone():
            answer = send(young.members[role], sent)
        assert told(answer.text, sent.words, theirs) == [], role
        if young.id(Player) in sent.address or young.id(Round) in sent.address:
            assert answer.status_code in {403, 404}, role


@pytest.mark.parametrize("name", FIELDS)
def test_no_field_of_graphql_tells_of_them(young: World, theirs: set[str], name: str) -> None:
    sent = valid(young, *operations()["POST graphql"], call_of(name))
    for role in OTHERS:
        with undone():
            answer = send(young.members[role], sent)
        assert told(answer.text, sent.words, theirs) == [], role


@pytest.mark.parametrize("role", OTHERS)
def test_no_page_tells_of_them(young: World, theirs: set[str], role: Role) -> None:
    with undone():
        for address, page in walk(signed_in(young.members[role]), f"/clubs/{young.club.slug}/").items():
            if "/members" in address:
                continue  # who is protected, for the manager who records it
            assert told(f"{page.text} {' '.join(page.links)}", address, theirs) == [], address
