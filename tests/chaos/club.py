"""What a chaos test does inside its installation, in another process: found the club, and audit it afterwards."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from typing import Any

from django.contrib.auth.hashers import make_password
from django.db.models.functions import Now

from courses.greens.models import GreenWork
from golfstats.ground.clubs.membership import memberships
from golfstats.ground.clubs.models import Club, Role, User
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.conditions.refresh import refresh_all
from players.figures import audit
from players.people.models import Player
from players.rounds.models import Round
from players.rounds.services import analyse_everything
from tests import factories
from tests.chaos import stored

PASSWORD = "wind from the left"
SLUG = "brackwater"
CORED = dt.date(2026, 4, 6)
"""So that some rounds have notes about the greens."""


def found(players: int, slug: str = SLUG) -> dict[str, Any]:
    """A club with a course and so many players, all in the squad of one coach; each has a sign-in."""
    club = factories.make_club(slug)
    with club_scope(club.id):
        course = factories.make_course()
        factories.make_tee_set(course)
        GreenWork.objects.create(
            course=course, kind="coring_medium", starts_on=CORED, ends_on=CORED, uid="spring"
        )
        members = [factories.make_member(Role.PLAYER, f"{slug}-golfer-{number}") for number in range(players)]
        golfers = [factories.make_player(f"Golfer {number}", one) for number, one in enumerate(members)]
        coach = factories.make_member(Role.COACH, f"{slug}-coach")
        manager = factories.make_member(Role.MANAGER, f"{slug}-manager")
        squad = factories.make_squad("Everybody", coach, *golfers)
    hashed = make_password(PASSWORD)
    User.objects.filter(id__in=[one.user_id for one in [*members, coach, manager]]).update(password=hashed)
    return {
        "squad": str(squad.id),
        "coach": {"user": coach.user.username, "password": PASSWORD},
        "manager": {"user": manager.user.username, "password": PASSWORD},
        "players": [
            {"user": member.user.username, "password": PASSWORD, "player": str(golfer.id)}
            for member, golfer in zip(members, golfers, strict=True)
        ],
    }


def audited(user: str) -> dict[str, Any]:
    """How many rounds there are and in what state, what is still asked for, and what differs from fresh figures."""
    club = _club_of(user)
    with club_scope(club.id):
        rounds = list(Round.objects.values_list("id", flat=True))
        return {
            "rounds": sorted(map(str, rounds)),
            "analysis": Counter(Round.objects.values_list("analysis", flat=True)),
            "due": list(OutstandingWork.objects.filter(due_at__lte=Now()).values_list("kind", flat=True)),
            "given up": list(OutstandingWork.objects.filter(due_at=None).values_list("kind", flat=True)),
            "differ": [
                *map(str, audit.differing_rounds(club, rounds)),
                *(
                    str(one)
                    for one in Player.objects.values_list("id", flat=True)
                    if audit.record_differs(one)
                ),
            ],
        }


def figures(user: str) -> dict[str, Any]:
    """What is stored of this person's club, by whose it is."""
    return _after_a_night(_club_of(user))


def made_anew(user: str) -> list[str]:
    """What comes out otherwise when all of the club's golf is analysed once more, by this process alone."""
    club = _club_of(user)
    before = _after_a_night(club)
    with club_scope(club.id):
        analyse_everything(Round.objects.all())
        analysis.analyse_pending()
    worker.drain()
    return stored.differences(before, _after_a_night(club))


def _after_a_night(club: Club) -> stored.Stored:
    """A round's note weighs its putting against the rounds that there are when it is written; each night all are."""
    with club_scope(club.id):
        refresh_all()
        return stored.everything()


def _club_of(user: str) -> Club:
    (club,) = (one.club for one in memberships(User.objects.get(username=user).id))
    return club
