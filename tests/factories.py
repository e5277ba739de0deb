"""Invented golf for tests. Every function writes through the application role, inside a club's scope."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from courses.layout.models import Course, Gender, Hole, Rating, Section, TeeSet
from golfstats.ground.clubs.models import Club, Member, Role, User
from golfstats.ground.ids import new_id
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player, Squad, SquadCoach, SquadPlayer
from players.rounds import services as posting
from players.rounds.input import RoundInput
from players.rounds.models import Round

PARS = [4, 4, 3, 5, 4, 4, 3, 5, 4, 4, 5, 3, 4, 4, 4, 3, 5, 4]
LENGTHS = [390, 410, 165, 520, 375, 430, 190, 545, 400, 385, 505, 150, 420, 365, 440, 205, 530, 415]
STROKE_INDEXES = [7, 3, 17, 5, 11, 1, 15, 9, 13, 8, 6, 18, 2, 14, 4, 16, 10, 12]


def make_club(slug: str = "larkmoor", **fields: Any) -> Club:
    """A club, made in its own scope as the application role has to. Measured by the professional: by a peer, what is
    stored of a player's rounds would move with their handicap.
    """
    club_id = new_id()
    with club_scope(club_id):
        return Club.objects.create(
            id=club_id, slug=slug, name=slug.title(), **{"benchmark": "professional", **fields}
        )


def make_user(username: str) -> User:
    return User.objects.create_user(username=username)  # no password: hashing one is slow


def make_member(role: Role, username: str | None = None) -> Member:
    """A member of the club in scope, with a user of his own."""
    name = username or f"{role.value}-{new_id().hex[-8:]}"
    return Member.objects.create(club=Club.objects.get(), user=make_user(name), role=role, name=name)


def make_course(name: str = "Long course", hole_count: int = 18) -> Course:
    return Course.objects.create(name=name, hole_count=hole_count)


def make_tee_set(course: Course, name: str = "White") -> TeeSet:
    """A tee set with holes, and ratings for men and women over 18 holes and each nine."""
    tee_set = TeeSet.objects.create(course=course, name=name)
    count = course.hole_count
    indexes = (
        STROKE_INDEXES
        if count == 18
        else [sorted(STROKE_INDEXES[:9]).index(si) + 1 for si in STROKE_INDEXES[:9]]
    )
    Hole.objects.bulk_create(
        Hole(
            tee_set=tee_set,
            number=number + 1,
            length=LENGTHS[number],
            par_men=PARS[number],
            par_women=PARS[number],
            stroke_index_men=indexes[number],
            stroke_index_women=indexes[number],
        )
        for number in range(count)
    )
    sections = [(Section.FRONT, "35.9", 36)]
    if count == 18:
        sections += [(Section.BACK, "35.8", 36), (Section.EIGHTEEN, "71.7", 72)]
    Rating.objects.bulk_create(
        Rating(
            tee_set=tee_set,
            gender=gender,
            section=section,
            course_rating=Decimal(rating),
            slope_rating=126,
            par=par,
        )
        for gender in Gender.values
        for section, rating, par in sections
    )
    return tee_set


def make_player(
    name: str = "Ines Aldana", member: Member | None = None, gender: str = Gender.WOMEN
) -> Player:
    return Player.objects.create(name=name, member=member, rating_gender=gender)


def make_squad(name: str, coach: Member, *players: Player) -> Squad:
    squad = Squad.objects.create(name=name)
    SquadCoach.objects.create(squad=squad, member=coach)
    SquadPlayer.objects.bulk_create(SquadPlayer(squad=squad, player=player) for player in players)
    return squad


def plain_shots(par: int, length: float) -> list[dict[str, Any]]:
    """A par: tee shot, approach(es), and two putts."""
    approaches = {3: [], 4: [("fairway", 140.0)], 5: [("fairway", 240.0), ("fairway", 60.0)]}[par]
    shots = [("tee", length), *approaches, ("green", 18.0), ("green", 2.0)]
    return [{"lie": lie, "distance": distance} for lie, distance in shots]


def round_body(player: Player | None = None, course: Course | None = None, **fields: Any) -> dict[str, Any]:
    """The JSON body of an 18-hole round of pars, every shot given."""
    body: dict[str, Any] = {
        "course": course.name if course else "Long course",
        "tee": "White",
        "played_on": "2026-06-14",
        "holes": [
            {"number": number + 1, "shots": plain_shots(PARS[number], LENGTHS[number])}
            for number in range(18)
        ],
    }
    if player is not None:
        body["player"] = str(player.id)
    return body | fields


def make_round(
    member: Member, player: Player, played_on: dt.date = dt.date(2026, 6, 14), **fields: Any
) -> Round:
    body = round_body(player, played_on=played_on.isoformat(), **fields)
    return posting.post_round(member, RoundInput.model_validate(body))
