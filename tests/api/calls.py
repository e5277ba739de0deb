"""A valid request for every operation of the API. A new operation without an entry fails the tests."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from courses.layout.models import Course, TeeSet
from golfstats.ground.clubs.models import Member, Role
from players.people.models import Player
from players.rounds.models import Round
from tests import factories
from tests.api.world import FIRST_DAY, World

CALENDAR = (
    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//club//EN\r\nBEGIN:VEVENT\r\nUID:work-1@club.example\r\n"
    "DTSTAMP:20260801T000000Z\r\nDTSTART;VALUE=DATE:20260824\r\nSUMMARY:Hollow tine greens\r\n"
    "END:VEVENT\r\nEND:VCALENDAR\r\n"
)
Build = Callable[[World], Any]


@dataclass(frozen=True)
class Call:
    """One valid request: it succeeds for ``role``."""

    role: Role = Role.MANAGER
    body: Build | None = None
    query: Build = lambda world: {}
    places: Build = lambda world: {}
    """Of the address, where they are not the usual rows."""
    content_type: str = "application/json"
    status: int | None = None
    """If not the usual one of its method."""
    says_no: Callable[[Any], bool] | None = None
    """Whether the JSON of a successful answer says that there is nothing, where success alone does not tell."""


def holes(world: World) -> Any:
    names = ("par_men", "par_women")
    return {
        "holes": [
            {
                "number": hole + 1,
                "length": factories.LENGTHS[hole] - 1,
                "stroke_index_men": factories.STROKE_INDEXES[hole],
                "stroke_index_women": factories.STROKE_INDEXES[hole],
            }
            | dict.fromkeys(names, factories.PARS[hole])
            for hole in range(18)
        ]
    }


def scorecard(world: World) -> Any:
    return {"name": "Shore course", "tee": "Yellow", **holes(world)}


def _ratings(world: World) -> Any:
    rating = {"section": "18", "course_rating": "71.9", "slope_rating": 127, "par": 72}
    return {"ratings": [rating | {"gender": gender} for gender in ("men", "women")]}


def a_round(world: World) -> dict[str, Any]:
    names = {"player": world.id(Player), "course": world.id(Course), "tee": world.id(TeeSet)}
    return factories.round_body() | names | {"played_on": "2026-07-01"}


def a_start(world: World) -> dict[str, Any]:
    names = {"player": world.id(Player), "course": world.id(Course), "tee": world.id(TeeSet)}
    return names | {"played_on": "2026-07-01", "format": "practice"}


def own_webhook(world: World) -> dict[str, str]:
    return {"destination_id": world.own_webhook}


def fixed(value: Any) -> Build:
    return lambda world: value


def player(world: World) -> dict[str, str]:
    return {"player": world.id(Player)}


WORK = {"kind": "coring_medium", "starts_on": "2026-08-24", "tine_diameter_mm": 12, "spacing_along_mm": 50}

FORM = "multipart/form-data; boundary=part"


def _import(world: World) -> str:
    """A file with one round of nine scores, in a form."""
    names = ["player", "course", "tee", "played_on", "section", *(f"score_{n}" for n in range(1, 10))]
    round_ = [world.id(Player), world.id(Course), world.id(TeeSet), "2026-07-01", "front", *"444444444"]
    file = f"{','.join(names)}\r\n{','.join(round_)}\r\n"
    return _form({"kind": "scores", "dry_run": "true"}, file)


def _form(fields: dict[str, str], file: str) -> str:
    parts = [f'Content-Disposition: form-data; name="{name}"\r\n\r\n{text}' for name, text in fields.items()]
    parts.append(f'Content-Disposition: form-data; name="file"; filename="rounds.csv"\r\n\r\n{file}')
    return "".join(f"--part\r\n{part}\r\n" for part in parts) + "--part--\r\n"


USUAL = {"GET": 200, "POST": 201, "PUT": 200, "PATCH": 200, "DELETE": 204}


def expected_status(name: str) -> int:
    """Status of the answer to the valid request of an operation."""
    return CALLS[name].status or USUAL[name.partition(" ")[0]]


CALLS: dict[str, Call] = {
    "GET api-catalog": Call(),
    "GET api-index": Call(),
    "GET api-reference": Call(),
    "GET around-the-green": Call(),
    "GET cost-by-green": Call(),
    "GET course-picture": Call(),
    "GET attention": Call(Role.COACH),
    "GET forecasts": Call(),
    "GET trust": Call(),
    "GET bag-words": Call(Role.PLAYER),
    "POST bag-words": Call(Role.PLAYER, fixed({"word": "Old Faithful", "club": "7i"})),
    "DELETE bag-word": Call(Role.PLAYER),
    "POST check-round": Call(Role.COACH, a_round, status=200),
    "PUT dismissed-warnings": Call(Role.COACH, fixed({"warnings": []})),
    "POST attention-dismissals": Call(Role.COACH, lambda world: player(world) | {"item": "no_round"}),
    "POST attention-dismissals-undone": Call(
        Role.COACH, lambda world: player(world) | {"item": "no_round"}, status=204
    ),
    "GET benchmarks": Call(),
    "DELETE calendar-feed": Call(),
    "GET calendar-feeds": Call(),
    "POST calendar-feeds": Call(),
    "GET calendar": Call(),
    "GET changes": Call(),
    "POST many-rounds": Call(
        Role.COACH,
        lambda world: json.dumps(a_round(world) | {"id": "0192f0c1-7a3e-7b44-9d51-3c2f8e6a9b10"}) + "\n",
        content_type="application/x-ndjson",
        status=200,
        says_no=lambda answer: all(one["problem"] for one in answer["results"]),
    ),
    "GET club": Call(),
    "PATCH club": Call(body=fixed({"distance_unit": "metres", "short_game_yards": 90})),
    "GET clubs": Call(),
    # Nobody in the tables has a password of their own.
    "POST account-email": Call(body=fixed({"present": "x", "email": None}), status=422),
    "POST account-password": Call(body=fixed({"present": "x", "new": "y"}), status=422),
    "POST accept-invitation": Call(body=lambda world: {"invitation": world.invitation}, status=409),
    "DELETE invitation": Call(),
    "GET invitations": Call(),
    "POST invitations": Call(body=fixed({"name": "New Comer", "role": "player"})),
    "DELETE membership": Call(Role.PLAYER),
    "PUT membership": Call(),
    "GET sign-ins": Call(),
    "POST sign-up": Call(
        body=lambda world: {
            "invitation": world.invitation,
            "username": "new",
            "password": "many words nobody guesses",
        }
    ),
    "DELETE token": Call(),
    "DELETE tokens": Call(),
    "GET tokens": Call(),
    "POST close-goal": Call(Role.COACH, status=200),
    "DELETE committee-action": Call(status=200),
    "GET committee-actions": Call(),
    "POST committee-actions": Call(
        body=lambda world: {
            "kind": "override_exceptional",
            "effective_on": "2026-07-01",
            "round": world.id(Round),
            "reason": "Played from the wrong tees.",
        }
    ),
    "GET compare": Call(query=lambda world: {"players": f"{world.id(Player)},{world.mate_id}"}),
    "GET condition-effect": Call(),
    "GET context-effects": Call(),
    "DELETE course": Call(status=409),  # rounds were played there
    "GET course": Call(),
    "PATCH course": Call(body=fixed({"grass": "creeping bentgrass"})),
    "GET course-condition": Call(query=fixed({"on": "2026-03-02"})),
    "GET course-handicaps": Call(query=player),
    "GET course-notes": Call(),
    "GET courses": Call(),
    "POST courses": Call(body=fixed({"name": "Hill course"})),
    "POST course-merged": Call(  # the course is the club's own already
        body=lambda world: {"into": world.id(Course), "tee": world.id(TeeSet)}, status=409
    ),
    "PUT course-scorecard": Call(body=scorecard),
    "POST scorecards": Call(Role.PLAYER, scorecard),
    "DELETE event": Call(),
    "GET event": Call(),
    "PATCH event": Call(body=fixed({"name": "Summer cup"})),
    "GET events": Call(),
    "POST events": Call(body=fixed({"name": "Cup", "starts_on": "2026-08-01"})),
    "GET expected-putts": Call(query=fixed({"on": "2026-03-01"})),
    "GET export-dictionary": Call(),
    "GET export-figures-csv": Call(),
    "GET export-figures-json": Call(),
    "GET export-figures-parquet": Call(),
    "GET export-rounds-csv": Call(),
    "GET export-rounds-json": Call(),
    "GET export-rounds-parquet": Call(),
    "GET export-shots-csv": Call(),
    "GET export-shots-json": Call(),
    "GET export-shots-parquet": Call(),
    "GET goal": Call(),
    "DELETE green-reading": Call(),
    "GET green-reading": Call(),
    "PATCH green-reading": Call(body=fixed({"bobble_score": 3})),
    "GET green-readings": Call(),
    "POST green-readings": Call(
        body=fixed({"measured_at": "2026-08-01T07:00:00Z", "hole": 7, "firmness_g": 91.0})
    ),
    "DELETE green-work": Call(Role.GREENKEEPER),
    "GET green-work": Call(),
    "PATCH green-work": Call(Role.GREENKEEPER, fixed({"note": "wet"})),
    "GET green-work-cost": Call(),
    "GET green-work-history": Call(),
    "POST green-work-import": Call(body=fixed(CALENDAR), content_type="text/calendar", status=200),
    "GET green-work-list": Call(),
    "POST green-work-list": Call(Role.GREENKEEPER, fixed(WORK)),
    "GET green-work-types": Call(),
    "GET handicap-of-round": Call(),
    "GET handicap-targets": Call(query=lambda world: {"tee": world.id(TeeSet)}),
    "POST guess-import": Call(body=lambda world: _form({}, "Golfer;Day\r\n"), content_type=FORM, status=200),
    "GET import": Call(),
    "GET imports": Call(),
    "POST imports": Call(
        body=_import,
        content_type=FORM,
        status=200,
        says_no=lambda answer: answer["new"] == 0 < len(answer["faults"]),
    ),
    "DELETE member": Call(),
    "GET member": Call(),
    "PATCH member": Call(body=fixed({"role": "coach"})),
    "GET me": Call(),
    "GET members": Call(),
    "DELETE note": Call(),
    "GET openapi": Call(),
    "DELETE plan": Call(Role.PLAYER),
    "GET plan": Call(Role.PLAYER),
    "GET plan-afterwards": Call(Role.COACH),
    "POST plan-afterwards": Call(Role.PLAYER, status=202),
    "GET plan-card": Call(Role.COACH),
    "GET planner": Call(query=fixed({"kind": "solid_tine", "from": "2026-09-01", "to": "2026-09-30"})),
    "GET player": Call(),
    "PATCH player": Call(body=lambda world: {"name": "New name", "member": world.id(Member)}),
    "GET player-approach": Call(),
    "GET player-bag": Call(),
    "GET player-condition-adjusted": Call(),
    "GET player-distances": Call(),
    "GET player-earlier-self": Call(query=fixed({"day": "2026-03-02"})),
    "GET player-figure": Call(),
    "GET player-figures": Call(),
    "GET player-goals": Call(),
    "POST player-goals": Call(
        Role.COACH, fixed({"figure": "gained.total", "target": 0.5, "due_on": "2099-01-01"})
    ),
    "GET player-handicap": Call(),
    "GET player-misses": Call(),
    "GET player-notes": Call(),
    "POST player-notes": Call(Role.PLAYER, fixed({"practised_on": "2026-03-02", "text": "Long putts"})),
    "GET player-plans": Call(),
    "GET tee-costs": Call(),
    "POST tee-costs": Call(status=202),
    "GET squad-choices": Call(Role.COACH),
    "GET rounds-in-play": Call(Role.PLAYER),
    "POST rounds-in-play": Call(Role.PLAYER, a_start),
    "GET round-in-play": Call(Role.COACH),
    "DELETE round-in-play": Call(Role.PLAYER),
    "POST holes-in-play": Call(
        Role.PLAYER, fixed({"sequence": 10, "hole": {"number": 1, "score": 6, "putts": 2}}), status=200
    ),
    "POST round-in-play-finished": Call(Role.PLAYER),
    "GET advice-in-play": Call(Role.PLAYER, query=fixed({"hole": 3, "lie": "rough", "distance": 140})),
    "GET in-play-greens": Call(Role.PLAYER),
    "POST player-plans": Call(
        Role.PLAYER,
        lambda world: {"tee": world.id(TeeSet), "planned_for": "2026-08-01", "greens_found": "slow"},
        status=202,
    ),
    "GET player-next-round": Call(),
    "GET player-priorities": Call(),
    "GET player-picture": Call(),
    "POST player-month-reports": Call(Role.PLAYER, fixed({"month": "2026-07-01"}), status=202),
    "POST squad-month-reports": Call(Role.COACH, fixed({"month": "2026-07-01"}), status=202),
    "GET month-reports": Call(Role.PLAYER),
    "GET month-report": Call(Role.PLAYER),
    "GET player-pictures": Call(),
    "GET player-putting": Call(),
    "GET under-age-players": Call(),
    "PUT player-guardian": Call(
        body=lambda world: {
            "under_age": True,
            "consent_by": "A. Guardian",
            "approved_coach": world.member_id(Role.COACH),
        }
    ),
    "GET player-readers": Call(Role.PLAYER),
    "GET player-shots": Call(query=fixed({"figure": "gained.total"})),
    "GET player-summary": Call(),
    "GET player-trends": Call(),
    "GET player-trials": Call(
        query=fixed({"tag": "ball", "a": "soft", "b": "hard", "outcome": "strokes_gained"})
    ),
    "GET players": Call(),
    "POST players": Call(
        body=lambda world: {"name": "Rosa", "rating_gender": "women", "member": world.id(Member)}
    ),
    "DELETE playing-conditions-day": Call(),
    "GET playing-conditions-day": Call(),
    "PATCH playing-conditions-day": Call(body=fixed({"pcc": 2})),
    "GET playing-conditions": Call(),
    "POST playing-conditions": Call(
        body=fixed({"played_on": "2026-07-01", "pcc": 1, "origin": "the union's list"})
    ),
    "POST erasure": Call(Role.PLAYER, lambda world: {"name": world.members[Role.PLAYER].name}, status=200),
    "POST player-erasure": Call(
        body=lambda world: {"name": f"{world.private} reserve {FIRST_DAY}"},
        places=lambda world: {"player_id": world.mate_id},
        status=200,
    ),
    "GET player-consents": Call(Role.PLAYER),
    "GET own-webhooks": Call(Role.PLAYER),
    "POST own-webhooks": Call(
        Role.PLAYER, fixed({"url": "https://1.1.1.1/golf", "happenings": ["round_analysed"]})
    ),
    "GET own-webhook": Call(Role.PLAYER, places=own_webhook),
    "PATCH own-webhook": Call(Role.PLAYER, fixed({"active": False}), places=own_webhook),
    "DELETE own-webhook": Call(Role.PLAYER, places=own_webhook),
    "POST own-webhook-secret": Call(Role.PLAYER, places=own_webhook),
    "POST test-own-webhook": Call(Role.PLAYER, places=own_webhook, status=202),
    "GET own-webhook-deliveries": Call(Role.PLAYER),
    "POST send-own-webhook-again": Call(
        Role.PLAYER, places=lambda world: {"delivery_id": world.own_delivery}, status=202
    ),
    "GET own-record": Call(Role.PLAYER),
    "POST own-record": Call(Role.PLAYER, status=202),
    "GET own-record-file": Call(Role.PLAYER),
    "DELETE present-token": Call(),
    "DELETE round": Call(Role.PLAYER),
    "GET round": Call(Role.PLAYER),
    "PATCH round": Call(Role.PLAYER, lambda world: {"ball": "soft", "course": world.id(Course)}),
    "PUT round": Call(Role.PLAYER, a_round),
    "GET round-analysis": Call(),
    "GET round-condition": Call(),
    "POST analyse-round": Call(status=202),
    "GET rounds": Call(),
    "POST rounds": Call(Role.COACH, a_round),
    "POST send-webhook-again": Call(status=202),
    "POST webhook-secret": Call(),
    "DELETE squad": Call(),
    "GET squad": Call(),
    "PATCH squad": Call(
        body=lambda world: {"players": [world.id(Player)], "coaches": [world.member_id(Role.COACH)]}
    ),
    "GET squad-condition-adjusted": Call(),
    "GET squad-leaders": Call(query=fixed({"key": "gained.total"})),
    "GET squad-table": Call(),
    "GET squad-week": Call(),
    "GET squads": Call(),
    "POST squads": Call(
        body=lambda world: {
            "name": "Second team",
            "players": [world.id(Player)],
            "coaches": [world.member_id(Role.COACH)],
        }
    ),
    "DELETE tee": Call(status=409),  # rounds were played from there
    "GET tee": Call(),
    "PATCH tee": Call(body=fixed({"name": "Yellow"})),
    "PUT tee-holes": Call(body=holes),
    "GET tee-difficulty": Call(),
    "GET tee-shapes": Call(),
    "PUT tee-shapes": Call(body=fixed({"holes": [{"number": 3, "words": "water green left"}]})),
    "PUT tee-ratings": Call(body=_ratings),
    "POST tees": Call(body=fixed({"name": "Red"})),
    "POST test-webhook": Call(status=202),
    "POST tokens": Call(),
    "DELETE webhook": Call(),
    "GET webhook-deliveries": Call(),
    "GET webhook": Call(),
    "PATCH webhook": Call(body=fixed({"active": False})),
    "GET webhooks": Call(),
    # Any public address, so that no name is looked up; nothing is sent there, for the request is undone.
    "POST webhooks": Call(body=fixed({"url": "https://1.1.1.1/golf", "happenings": ["round_analysed"]})),
}
