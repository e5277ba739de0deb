"""Loads the demo club of ``demo_fixtures/club.json`` and posts the rounds that its players played."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.conf import settings
from django.contrib.auth.hashers import make_password

from courses.calendars.models import Event
from courses.greens.models import GreenReading, GreenWork
from courses.layout.models import Course, Hole, Rating, TeeSet
from golfstats.calc.simulate.bodies import round_bodies
from golfstats.calc.simulate.season import play_season
from golfstats.demo import away
from golfstats.ground.clubs.membership import memberships
from golfstats.ground.clubs.models import Club, Member, Role, User
from golfstats.ground.ids import new_id
from golfstats.ground.outbox import work, worker
from golfstats.ground.walls.scope import club_scope
from players.coaching.goals import set_goal
from players.coaching.history import history_of
from players.coaching.notes import write_note
from players.coaching.questions import GoalBody, NoteBody
from players.coaching.reports import ledger
from players.conditions import analysis, healing
from players.handicap.recompute import recompute
from players.people.models import Player, Squad, SquadCoach, SquadPlayer
from players.rounds import services as posting
from players.rounds.input import RoundInput

Description = Mapping[str, Any]
Say = Callable[[str], None]

PASSWORD = "cored-greens"  # noqa: S105 - printed by the demo for everybody to use
BATCH = 100
LOOKS, DAYS_BETWEEN_LOOKS = 7, 35
"""How often before its last day the demo's players are looked at for the forecast ledger."""


def read_description() -> Description:
    path = settings.BASE_DIR / "demo_fixtures" / "club.json"
    description: Description = json.loads(path.read_text(encoding="utf-8"))
    return description


def find_club(description: Description) -> Club | None:
    """The demo club, if it has been loaded."""
    manager = User.objects.filter(username=_manager(description)["username"]).first()
    if manager is None:
        return None
    demo_clubs = [member.club for member in memberships(manager.pk) if member.club.demo]
    return demo_clubs[0] if demo_clubs else None


def load(description: Description, say: Say, *, plan_anew: bool = False) -> Club:
    """Make the club and its people, post every round, and have everything computed.

    The club and its people come in one transaction; the rounds follow in batches, each whole. ``plan_anew`` has the
    plan for the away course made now and kept for the next time.
    """
    say("Making the club, its courses and its people …")
    club = _make_club(description)
    say("Playing fourteen months of golf …")
    bodies = list(round_bodies(play_season(description)))
    with club_scope(club.id):
        manager = Member.objects.select_related("club").get(role=Role.MANAGER)
        for start in range(0, len(bodies), BATCH):
            batch = [RoundInput.model_validate(body) for body in bodies[start : start + BATCH]]
            posting.post_rounds(manager, batch)
            say(f"Posted {min(start + BATCH, len(bodies))} of {len(bodies)} rounds")
    say("Working out the strokes gained …")
    with club_scope(club.id):
        # The records first: each player's golf is measured by a golfer of their own handicap.
        for player_id in Player.objects.values_list("id", flat=True):
            recompute(player_id)
        analysis.analyse_pending()
        # Now and not in the coming night, so that the notes know what the greens cost.
        work.ask(analysis.CONDITION_EFFECT, str(club.id))
        _make_goals_and_notes(club, description)
    say("Handicap records, greens, reports …")
    worker.drain()
    say("What would have been said in the months before …")
    with club_scope(club.id):
        _retell_forecasts(club, description)
    say("An away course, a plan for it, and the round as played …")
    away.load(club, _make_course, anew=plan_anew)
    return club


def _retell_forecasts(club: Club, description: Description) -> None:
    """The forecast ledger of a season that was posted in one go."""
    last = date.fromisoformat(description["last_day"])
    days = [last - timedelta(days=DAYS_BETWEEN_LOOKS * back) for back in range(LOOKS, 0, -1)]
    for player_id in Player.objects.values_list("id", flat=True):
        ledger.retell(player_id, club, days)
    healing.retell((last - timedelta(days=back) for back in range(DAYS_BETWEEN_LOOKS * LOOKS, 0, -7)), last)


def _make_club(description: Description) -> Club:
    facts = description["club"]
    club_id = new_id()
    with club_scope(club_id):
        club = Club.objects.create(
            id=club_id,
            slug=facts["slug"],
            name=facts["name"],
            time_zone=facts["time_zone"],
            distance_unit=facts["distance_unit"],
            demo=True,
        )
        members = _make_members(club, description)
        courses = {course["name"]: _make_course(course) for course in description["courses"]}
        _make_players(description, members)
        greenkeeper = members[_with_role(description, Role.GREENKEEPER)["name"]]
        _make_green_work(description, courses, greenkeeper, ZoneInfo(facts["time_zone"]))
    return club


def _manager(description: Description) -> Description:
    return _with_role(description, Role.MANAGER)


def _with_role(description: Description, role: Role) -> Description:
    person: Description = next(one for one in description["staff"] if one["role"] == role)
    return person


def _make_members(club: Club, description: Description) -> dict[str, Member]:
    people = [(one["username"], one["name"], one["role"]) for one in description["staff"]]
    people += [(one["username"], one["name"], Role.PLAYER) for one in description["players"]]
    password = make_password(PASSWORD)
    users = User.objects.bulk_create(User(username=username, password=password) for username, _, _ in people)
    members = Member.objects.bulk_create(
        Member(club=club, user=user, name=name, role=role)
        for user, (_, name, role) in zip(users, people, strict=True)
    )
    return {member.name: member for member in members}


def _make_course(facts: Description) -> Course:
    course = Course.objects.create(
        name=facts["name"], hole_count=facts["hole_count"], grass=facts["grass"], season=facts["season"]
    )
    for tee in facts["tee_sets"]:
        tee_set = TeeSet.objects.create(course=course, name=tee["name"])
        Hole.objects.bulk_create(Hole(tee_set=tee_set, **hole) for hole in tee["holes"])
        Rating.objects.bulk_create(Rating(tee_set=tee_set, **rating) for rating in tee["ratings"])
    return course


def _make_players(description: Description, members: Mapping[str, Member]) -> None:
    made = Player.objects.bulk_create(
        Player(name=one["name"], rating_gender=one["gender"], member=members[one["name"]])
        for one in description["players"]
    )
    players = {player.name: player for player in made}
    for facts in description["squads"]:
        squad = Squad.objects.create(name=facts["name"])
        SquadCoach.objects.bulk_create(
            SquadCoach(squad=squad, member=members[name]) for name in facts["coaches"]
        )
        SquadPlayer.objects.bulk_create(
            SquadPlayer(squad=squad, player=players[name]) for name in facts["players"]
        )


def _make_goals_and_notes(club: Club, description: Description) -> None:
    """What coaches and players agreed on, as of the last day of the season."""
    coaches = {
        member.name: member for member in Member.objects.filter(role=Role.COACH).select_related("club")
    }
    last_day = date.fromisoformat(description["last_day"])
    for one in description["players"]:
        if not one.get("goals") and not one.get("practice_notes"):
            continue
        player = Player.objects.get(name=one["name"])
        golf = history_of([player.id], club)
        for facts in one.get("goals", []):
            wanted = GoalBody(
                figure=facts["figure"],
                target=facts["target_feet"],
                due_on=date.fromisoformat(facts["by"]),
            )
            set_goal(coaches[facts["set_by"]], player, golf, wanted, last_day)
        for facts in one.get("practice_notes", []):
            practised_on = date.fromisoformat(facts["date"])
            note = NoteBody(practised_on=practised_on, text=facts["text"], figure=facts["figure"])
            write_note(coaches[facts["by"]], player, golf, note, last_day)


def _make_green_work(
    description: Description, courses: Mapping[str, Course], greenkeeper: Member, zone: ZoneInfo
) -> None:
    GreenWork.objects.bulk_create(
        GreenWork(
            uid=f"{new_id()}@golfstats",
            entered_by=greenkeeper,
            **facts | {"course": courses[facts["course"]]},
        )
        for facts in description["green_work"]
    )
    GreenReading.objects.bulk_create(
        GreenReading(
            entered_by=greenkeeper,
            **facts
            | {
                "course": courses[facts["course"]],
                "roll_one_way_ft": [facts["roll_one_way_ft"]],
                "roll_other_way_ft": [facts["roll_other_way_ft"]],
                "measured_at": datetime.fromisoformat(facts["measured_at"]).replace(tzinfo=zone),
            },
        )
        for facts in description["green_readings"]
    )
    Event.objects.bulk_create(
        Event(**facts | {"course": courses[facts["course"]]}) for facts in description["events"]
    )
