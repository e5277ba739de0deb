"""Every reading operation while its asker plays a round that counts: allowed or deferred, and by which clause.

Rule 4.3a of the Rules of Golf (2023) and its interpretation 4.3a/1 for pictures of greens, as
``golfstats/calc/plan/rules.py`` quotes them. Who asks is always made the player, also where only staff may ask: staff
play as well. A new reading operation fails until it has its line here.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from courses.layout.models import Course, TeeSet
from golfstats.doors.operations import OPERATIONS
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.operations import Change
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player
from players.plans.models import RoundPlan
from players.rounds import in_play
from players.rounds.input import RoundBegun
from players.rounds.models import Round
from tests import factories
from tests.api.calls import CALLS, expected_status
from tests.api.conftest import Worlds
from tests.api.graphql_calls import call_of, root_fields
from tests.api.requests import Sent, send, undone, valid
from tests.api.routes import operations
from tests.api.world import World

ROUTES = operations()
GRAPHQL = ROUTES.pop("POST graphql")

# Allowed, with the clause that allows it.
BEFORE = "4.3a(4): information from before the round, past rounds included"
FACT = "4.3: a fact of the club or of somebody's account, no help in making a stroke"
LENGTHS = "4.3a(1): distances may be known"
GREENS = "4.3a(4): what staff recorded of greens and calendar; nothing measured here of wind or height"
SCORE = "4.3a(4): recorded in the round, and not processed"
CARD = "4.3a(4), 4.3a/1: made before the round, greens no larger than 3/8 inch to 5 yards"
# Deferred, with the clause that forbids it.
FROM_BALL = "4.3a(1): a line or club from where the ball lies"
PROCESSED = "4.3a(4): processes what was recorded in this round"
PICTURES = "4.3a/1: pictures of greens larger than 3/8 inch to 5 yards"

ALLOWED = {
    FACT: (
        "members member invitations clubs tokens sign-ins webhooks webhook webhook-deliveries "
        "own-webhooks own-webhook own-webhook-deliveries me players player "
        "under-age-players player-consents player-readers squads squad squad-players club trust events event "
        "calendar-feeds export-dictionary imports import own-record committee-actions changes bag-words"
    ),
    LENGTHS: "courses course course-tees tee course-handicaps handicap-targets",
    GREENS: (
        "playing-conditions playing-conditions-day green-work-types green-work-list green-work green-work-history "
        "green-readings green-reading course-condition course-notes course-picture planner expected-putts"
    ),
    BEFORE: (
        "rounds player-rounds round round-holes round-document round-notation benchmarks player-summary "
        "player-figures player-figures-by-key player-figure player-shots player-approach player-putting player-misses "
        "player-picture player-pictures month-reports month-report "
        "player-distances squad-table round-analysis round-figures shot-figures condition-effect context-effects "
        "player-condition-adjusted squad-condition-adjusted green-work-cost around-the-green round-condition "
        "cost-by-green "
        "condition-of-round condition-note player-trends player-earlier-self compare squad-week squad-leaders "
        "player-priorities player-stored-priorities player-next-round player-trials player-goals goal player-notes "
        "forecasts attention player-attention player-handicap handicap handicap-record handicap-of-round player-plans "
        "plan-afterwards squad-choices player-bag tee-difficulty export-rounds-csv export-rounds-json "
        "export-rounds-parquet export-shots-csv export-shots-json export-shots-parquet export-figures-csv "
        "export-figures-json export-figures-parquet"
    ),
    SCORE: "rounds-in-play round-in-play",
    CARD: "plan-card",
}
DEFERRED = {
    FROM_BALL: "advice-in-play",
    PROCESSED: "in-play-greens",
    PICTURES: "plan tee-shapes tee-costs own-record-file",
}
NO_OPERATION = {"api-catalog", "api-index", "api-reference", "openapi", "calendar"}
"""Addresses beside the operations: the API's own description, and a club's calendar of work and events."""


def named(table: dict[str, str]) -> dict[str, str]:
    return {name: clause for clause, names in table.items() for name in names.split()}


def deferred_fields() -> set[str]:
    """GraphQL's names of what is deferred."""
    fields = {one.name: getattr(one, "field", "") for one in OPERATIONS if not isinstance(one, Change)}
    return {field for name, field in fields.items() if field and name in named(DEFERRED)}


def begin(world: World, member: Member) -> None:
    """The club's player is this member, and plays a round of today that counts."""
    with club_scope(world.club.id):
        Player.objects.filter(member=member).update(member=None)
        Player.objects.filter(id=world.id(Player)).update(member=member)
        places = {"player": world.id(Player), "course": world.id(Course), "tee": world.id(TeeSet)}
        about = {"section": "front", "played_on": today_at(world.club)}
        in_play.start(member, RoundBegun.model_validate(places | about))


def test_every_reading_operation_has_a_verdict_and_a_clause() -> None:
    reading = {one.name for one in OPERATIONS if not isinstance(one, Change)}
    allowed, deferred = named(ALLOWED), named(DEFERRED)
    assert not set(allowed) & set(deferred)
    assert set(allowed) | set(deferred) == reading


@pytest.mark.parametrize("name", sorted(name for name in ROUTES if name.startswith("GET ")))
def test_what_is_read_during_a_round_that_counts(worlds: Worlds, name: str) -> None:
    world, call = worlds.own, CALLS[name]
    word = name.removeprefix("GET ")
    with undone():
        begin(world, world.members[call.role])
        answer = send(world.members[call.role], valid(world, *ROUTES[name], call))
    if word in named(DEFERRED):
        assert (answer.status_code, answer.json["type"]) == (409, "/problems/during-a-round"), answer.text
        assert "4.3a" in answer.json["detail"]
    elif word not in NO_OPERATION and word != "own-record":
        assert word in named(ALLOWED)
        assert answer.status_code == expected_status(name), answer.text


@pytest.mark.parametrize("field", sorted(name for name, kind in root_fields().items() if kind == "query"))
def test_what_graphql_reads_during_a_round_that_counts(worlds: Worlds, field: str) -> None:
    """Each field with all that is nested in it: an error for what is deferred, and for nothing else."""
    world, call = worlds.own, call_of(field)
    with undone():
        begin(world, world.members[call.role])
        answer = send(world.members[call.role], valid(world, *GRAPHQL, call)).json
    errors = answer.get("errors", [])
    words = (
        set(json.dumps(call.body(world)).replace("(", " ").replace("{", " ").split()) if call.body else set()
    )
    asks_deferred = bool(words & {_camel(one) for one in deferred_fields()})
    assert {error["extensions"]["type"] for error in errors} == (
        {"/problems/during-a-round"} if asks_deferred else set()
    ), answer


def _camel(name: str) -> str:
    first, *others = name.split("_")
    return first + "".join(map(str.capitalize, others))


TODAY = "2026-07-01"
"""The day in the table's valid requests, which is put in its place."""
PROCESSING = (
    "POST rounds",
    "POST many-rounds",
    "POST check-round",
    "PUT round",
    "PATCH round",
    "POST imports",
)


def sent_today(world: World, name: str) -> Sent:
    """The valid request, about a round of today."""
    sent = valid(world, *ROUTES[name], CALLS[name])
    today = today_at(world.club).isoformat()
    if name == "PATCH round":
        return Sent(sent.method, sent.address, json.dumps({"played_on": today}), headers=_version(world))
    body = sent.body.replace(TODAY, today)
    headers = _version(world) if name == "PUT round" else {}
    return Sent(sent.method, sent.address, body, sent.content_type, headers)


def _version(world: World) -> dict[str, str]:
    with club_scope(world.club.id):
        return {"If-Match": f'"{Round.objects.get(id=world.id(Round)).version}"'}


@pytest.mark.parametrize("name", PROCESSING)
def test_no_round_of_the_day_is_processed_beside_one_that_counts(worlds: Worlds, name: str) -> None:
    """Posted or checked as another round, the strokes of this one would be read before it is over: 4.3a(4)."""
    world = worlds.own
    for role in (CALLS[name].role, Role.MANAGER):
        with undone():
            member = world.members[role]
            begin(world, world.members[Role.PLAYER])
            answer = send(member, sent_today(world, name))
            assert "round_in_play" in answer.text, answer.text
            assert "4.3a(4)" in answer.text
        with undone():  # of an earlier day: information from before the round
            begin(world, world.members[Role.PLAYER])
            sent = sent_today(world, name)
            earlier = Sent(
                sent.method,
                sent.address,
                sent.body.replace(today_at(world.club).isoformat(), TODAY),
                sent.content_type,
                sent.headers,
            )
            assert "round_in_play" not in send(member, earlier).text


def test_no_plan_is_made_for_whatever_course(worlds: Worlds) -> None:
    """The day's holes may have been entered once more, under another name: 4.3a(4)."""
    world = worlds.own
    for role in (Role.PLAYER, Role.COACH, Role.MANAGER):
        with undone():
            begin(world, world.members[Role.PLAYER])
            with club_scope(world.club.id):
                copy = factories.make_tee_set(factories.make_course("The same once more"))
                Course.objects.filter(id=copy.course_id).update(
                    provisional=True, made_by=world.members[Role.PLAYER]
                )
                made = RoundPlan.objects.create(
                    player=world.rows[Player],
                    tee_set=copy,
                    planned_for=today_at(world.club),
                    state="done",
                    holes=18,
                )
            body = json.dumps({"tee": str(copy.id), "planned_for": today_at(world.club).isoformat()})
            asked = send(world.members[role], Sent("POST", f"/api/v1/players/{world.id(Player)}/plans", body))
            read = send(world.members[role], Sent("GET", f"/api/v1/plans/{made.id}"))
            for answer in (asked, read):
                assert_deferred(answer)


def assert_deferred(answer: Any) -> None:
    assert (answer.status_code, answer.json["type"]) == (409, "/problems/during-a-round"), answer.text
    assert "finish it" in answer.json["detail"]
