from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from rest_framework.test import APIClient

from golfstats.ground.clubs.models import Club, Member, Role
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player, Squad
from tests import factories


def client_of(member: Member) -> APIClient:
    """A client signed in as this member, naming his club."""
    client = APIClient(headers={"Club": member.club.slug})
    client.force_authenticate(member.user)
    return client


@dataclass
class Place:
    """One club with a course, a manager, a coach with a squad of one, and two players with sign-ins."""

    club: Club
    manager: Member
    coach: Member
    greenkeeper: Member
    player_member: Member
    player: Player
    other_member: Member
    other_player: Player
    squad: Squad


@pytest.fixture
def place(db: None) -> Place:
    club = factories.make_club("larkmoor")
    with club_scope(club.id):
        course = factories.make_course()
        factories.make_tee_set(course)
        player_member = factories.make_member(Role.PLAYER, "ines")
        other_member = factories.make_member(Role.PLAYER, "tomas")
        player = factories.make_player("Ines Aldana", player_member)
        other = factories.make_player("Tomas Rehn", other_member, gender="men")
        coach = factories.make_member(Role.COACH, "coach")
        return Place(
            club=club,
            manager=factories.make_member(Role.MANAGER, "manager"),
            coach=coach,
            greenkeeper=factories.make_member(Role.GREENKEEPER, "greenkeeper"),
            player_member=player_member,
            player=player,
            other_member=other_member,
            other_player=other,
            squad=factories.make_squad("First team", coach, player),
        )


@pytest.fixture
def scope(place: Place) -> Iterator[None]:
    """The place's club in scope for the whole test."""
    with club_scope(place.club.id):
        yield
