"""What a chaos test does inside its installation, in another process: found the club, and audit it afterwards."""

from __future__ import annotations

from collections import Counter
from typing import Any

from django.contrib.auth.hashers import make_password
from django.db.models.functions import Now

from golfstats.ground.clubs.membership import memberships
from golfstats.ground.clubs.models import Role, User
from golfstats.ground.clubs.scope import club_scope
from golfstats.ground.outbox.models import OutstandingWork
from players.figures import audit
from players.people.models import Player
from players.rounds.models import Round
from tests import factories

PASSWORD = "wind from the left"
SLUG = "brackwater"


def found(players: int, slug: str = SLUG) -> dict[str, Any]:
    """A club with a course and so many players, all in the squad of one coach; each has a sign-in."""
    club = factories.make_club(slug)
    with club_scope(club.id):
        factories.make_tee_set(factories.make_course())
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
    (club,) = (one.club for one in memberships(User.objects.get(username=user).id))
    with club_scope(club.id):
        rounds = list(Round.objects.values_list("id", flat=True))
        return {
            "rounds": sorted(map(str, rounds)),
            "analysis": Counter(Round.objects.values_list("analysis", flat=True)),
            "due": list(OutstandingWork.objects.filter(due_at__lte=Now()).values_list("kind", flat=True)),
            "given up": list(OutstandingWork.objects.filter(due_at=None).values_list("kind", flat=True)),
            "differ": len(list(audit.differing_rounds(club, rounds)))
            + sum(audit.record_differs(one) for one in Player.objects.values_list("id", flat=True)),
        }
