"""Whole histories through the doors: rounds posted as a phone would, worked on by the worker, read as a coach would.

What each golfer truly did is known to the test alone; the golf follows no model of the service
(:mod:`tests.players.walked_golf`).
"""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from django.utils import timezone

from golfstats.ground.ids import new_id
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.outbox.worker import drain
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player
from tests import factories
from tests.players.conftest import Place, client_of
from tests.players.walked_golf import Golfer, net_double_bogey, season

pytestmark = [pytest.mark.slow, pytest.mark.django_db]

API = "/api/v1"
TODAY = dt.date.today()
LIMIT = net_double_bogey(24)


def weekly(weeks: int, every: int = 7, offset: int = 0) -> list[dt.date]:
    """Days up to yesterday, the earliest first."""
    return [TODAY - dt.timedelta(days=1 + offset + every * back) for back in reversed(range(weeks))]


def post(place: Place, player: Player, bodies: list[dict[str, Any]]) -> None:
    """By the club's manager, a hundred a request, as an import of a program would."""
    for start in range(0, len(bodies), 100):
        named = [
            body | {"player": str(player.id), "id": str(new_id())} for body in bodies[start : start + 100]
        ]
        lines = "\n".join(json.dumps(body) for body in named)
        answer = client_of(place.manager).post(
            f"{API}/rounds/many", lines, content_type="application/x-ndjson"
        )
        assert [one["problem"] for one in answer.json()["results"]] == [None] * len(named)


def read(place: Place, path: str, **query: Any) -> Any:
    answer = client_of(place.manager).get(f"{API}/{path}", query)
    assert answer.status_code == 200, answer.content[:2000]
    return answer.json()


def figures_over_time(place: Place, player: Player, **query: Any) -> dict[str, Any]:
    """Of each part of the game, how it moved."""
    return {trend["key"]: trend for trend in read(place, f"players/{player.id}/trends", **query)["trends"]}


def expected_of_a_round(place: Place) -> float:
    """Strokes from the tees, hole by hole, as any round's analysis tells them."""
    (newest, *_) = read(place, "rounds")["results"]
    analysis = read(place, f"rounds/{newest['id']}/analysis")
    return float(sum(hole["expected_from_tee"] for hole in analysis["holes"]))


def test_picked_up_balls_neither_help_nor_hurt(place: Place) -> None:
    """Rounds in which three holes are given up are worth what they would have come to, had they been played on."""
    rng = np.random.default_rng(31)
    beginner = Golfer(reach=205, scatter=0.12, chips=0.25, sure_feet=5.0, topped=0.12)
    rounds = season(lambda _: beginner, weekly(20), rng)
    post(place, place.other_player, [one.body(net_double_bogey(24)) for one in rounds])
    drain()
    total = read(place, f"players/{place.other_player.id}/summary")["strokes_gained"]["total"]
    assert total["n"] == 20 * 18
    assert "picked up and estimated" in total["words"]
    played_out = expected_of_a_round(place) - float(np.mean([one.score for one in rounds]))
    given_up = [hole for one in rounds for number, hole in enumerate(one.holes) if hole.score > LIMIT(number)]
    assert len(given_up) > 20  # the history is about them
    # An estimate differs from the strokes that would have followed by about one stroke a hole given up.
    allowed = 2.6 * np.sqrt(len(given_up)) / len(rounds)
    assert total["value"] == pytest.approx(played_out, abs=allowed)
    assert total["low"] < played_out < total["high"]


def test_who_got_better_at_one_thing_hears_of_that(place: Place) -> None:
    """Approaches finish half as far away from the middle of the year on; nothing else has changed."""
    rng = np.random.default_rng(32)
    days = weekly(28)
    before, after = Golfer(scatter=0.13), Golfer(scatter=0.06)
    rounds = season(lambda day: after if day >= days[14] else before, days, rng)
    post(place, place.other_player, [one.body() for one in rounds])
    drain()
    moved = figures_over_time(place, place.other_player, compare_to=days[6].isoformat())
    chances = {key: one["compared_with"]["chance_better"]["value"] for key, one in moved.items()}
    assert chances["gained.approach"] >= 0.9
    assert all(0.1 < chances[key] < 0.9 for key in ("gained.tee", "gained.putting"))
    change = moved["gained.approach"]["now"]["value"] - moved["gained.approach"]["rounds"][0]["level"]
    truth = _approach_gain(before, after)
    assert truth > 2
    assert change == pytest.approx(truth, abs=0.5 * truth)


def test_the_weakest_part_is_named_first(place: Place) -> None:
    """The part whose cure would save most strokes, as replaying the same golfer with it cured shows."""
    rng = np.random.default_rng(33)
    golfer = Golfer(chips=0.42)
    post(place, place.other_player, [one.body() for one in season(lambda _: golfer, weekly(20), rng)])
    drain()
    cured = {
        "short_game": replace(golfer, chips=0.12),
        "approach": replace(golfer, scatter=0.055),
        "putting": replace(golfer, sure_feet=8.0),
    }
    saved = {part: mean_score(golfer) - mean_score(better) for part, better in cured.items()}
    assert max(saved, key=lambda part: saved[part]) == "short_game"
    priorities = read(place, f"players/{place.other_player.id}/priorities")
    first = priorities["parts"][0]
    assert first["group"] == "short_game"
    assert not first["tied"]
    assert first["chance_first"]["value"] > 0.8


def test_cored_greens_are_not_blamed_on_the_putter(place: Place) -> None:
    """Eight regulars whose putting never changes, greens cored twice; the second time three weeks ago."""
    course = read(place, "courses")["results"][0]["id"]
    cored = [TODAY - dt.timedelta(days=168), TODAY - dt.timedelta(days=20)]
    for day in cored:
        body = {"kind": "coring_medium", "starts_on": day.isoformat(), "ends_on": day.isoformat()}
        answer = client_of(place.manager).post(f"{API}/courses/{course}/green-work", body, format="json")
        assert answer.status_code == 201, answer.content

    def golfer_on(day: dt.date) -> Golfer:
        return Golfer(sure_feet=7.0 * (1 - 0.45 * disturbed(day, cored)))

    with club_scope(place.club.id):
        regulars = [factories.make_player(f"Regular {number}", gender="men") for number in range(8)]
    for number, player in enumerate(regulars):
        rng = np.random.default_rng(40 + number)
        rounds = season(golfer_on, weekly(34, offset=number % 7), rng)
        post(place, player, [one.body() for one in rounds])
    drain()
    a_night_passes()
    effect = read(place, "condition-effect")
    assert effect["enough"]
    assert effect["claimed"]
    (kind,) = [one for one in effect["kinds"] if one["kind"] == "coring_medium"]
    first_week = kind["windows"][0]["strokes"]
    truth = _cost_of_the_first_week(cored)
    assert truth > 1
    assert first_week["low"] < truth < first_week["high"]
    for player in regulars[:4]:
        putting = figures_over_time(place, player)["gained.putting"]
        assert putting["greens"] is not None
        assert putting["compared_with"]["chance_better"]["value"] > 0.1, putting["compared_with"]["words"]


def disturbed(day: dt.date, cored: list[dt.date]) -> float:
    """Rough for six days, then healing by the day until the twentieth."""
    since = min(((day - one).days for one in cored if day >= one), default=99)
    return 1.0 if since <= 6 else max(0.0, 1 - (since - 6) / 14)


def mean_score(golfer: Golfer, rounds: int = 400) -> float:
    """Of very many rounds, with the same chance for whoever is compared."""
    played = season(lambda _: golfer, [TODAY] * rounds, np.random.default_rng(7))
    return float(np.mean([one.score for one in played]))


def _approach_gain(before: Golfer, after: Golfer) -> float:
    return mean_score(before) - mean_score(after)


def _cost_of_the_first_week(cored: list[dt.date]) -> float:
    usual = mean_score(Golfer())
    days = [cored[0] + dt.timedelta(days=number) for number in range(1, 8)]
    return float(
        np.mean([mean_score(Golfer(sure_feet=7.0 * (1 - 0.45 * disturbed(day, cored)))) for day in days])
        - usual
    )


def a_night_passes() -> None:
    """What waits for the night is done as well."""
    OutstandingWork.objects.filter(due_at__isnull=False).update(due_at=timezone.now())
    drain()
