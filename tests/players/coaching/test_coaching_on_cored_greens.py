"""After rounds on cored greens nobody is told that their putting has become worse without hearing of the greens."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import pytest

from courses.greens import services as greens
from courses.greens.services import GreenWorkBody
from courses.layout.models import Course
from golfstats.calc.greens.effect.healing import default_decay
from golfstats.ground.clock import today_at
from golfstats.ground.walls.scope import club_scope
from players.coaching.reports.report import write_player_report
from tests.players.conditions.conftest import know_the_effect
from tests.players.conditions.green_golf import play, simulated_round, work_off
from tests.players.conftest import Place, client_of

SOUND, CORED = 25, 8
WORSE = 0.6
"""Share by which the putting errors grow on the first day after coring, seven strokes a round; the club expects six."""


@pytest.fixture
def cored(place: Place) -> Place:
    """Twenty-five rounds on sound greens, then two on each of the four days after coring."""
    return played(place, WORSE)


def played(place: Place, worse: float) -> Place:
    rng = np.random.default_rng(11)
    with club_scope(place.club.id):
        today = today_at(place.club)
        first = today - dt.timedelta(days=CORED // 2)
        body = GreenWorkBody(kind="coring_medium", starts_on=first)
        greens.add_work(place.greenkeeper, Course.objects.get(), body)
        earlier = [first - dt.timedelta(days=4 * back) for back in range(SOUND, 0, -1)]
        rounds = [simulated_round(rng, place.player, day) for day in earlier]
        rounds += [
            simulated_round(rng, place.player, first + dt.timedelta(days=n // 2), worse=worse * float(left))
            for n, left in enumerate(default_decay(np.arange(CORED) // 2.0))
        ]
        play(place.manager, rounds)
    return place


def told(place: Place, what: str) -> Any:
    response = client_of(place.coach).get(f"/api/v1/{what}")
    assert response.status_code == 200, response.content
    return response.json()


def look(place: Place, *, effect_known: bool) -> dict[str, Any]:
    """The trend of putting after the worker has been round."""
    with club_scope(place.club.id):
        if effect_known:
            know_the_effect(Course.objects.get(), strokes=6.0)
        work_off("greens_changed")
        write_player_report(place.player.id)
    (trend,) = told(place, f"players/{place.player.id}/trends?keys=gained.putting")["trends"]
    return trend


def kinds(place: Place) -> dict[str, str]:
    return {one["item"]: one["reason"] for one in told(place, "attention")["results"]}


def test_putting_is_compared_as_on_sound_greens(cored: Place) -> None:
    trend = look(cored, effect_known=True)
    assert trend["level_shift"] is None
    assert trend["compared_with"]["chance_better"]["value"] > 0.1
    assert trend["compared_with"]["words"].endswith(
        ", as on undisturbed greens; 5 of the last 5 rounds were on disturbed greens"
    )
    assert trend["greens"]["disturbed"] == CORED
    assert trend["greens"]["words"].startswith("5 of the last 5 rounds were on disturbed greens.")
    assert trend["greens"]["raw"]["value"] < trend["now"]["value"] - 1
    last = trend["rounds"][-1]
    assert last["value"] > last["raw"] + 0.5  # how it was is never replaced
    assert trend["rounds"][0]["value"] == trend["rounds"][0]["raw"]


def test_a_player_who_changes_on_the_day_of_coring_is_told_nothing_of_their_level(place: Place) -> None:
    """Cored greens cost them nothing, where the club expects six strokes: better now, or never minded them?"""
    trend = look(played(place, worse=0.0), effect_known=True)
    assert trend["now"]["value"] is None
    assert trend["compared_with"]["chance_better"] is None
    assert trend["compared_with"]["words"] == "whether it is the player or the greens cannot be told yet"
    assert trend["greens"]["words"].endswith("cannot be told yet, wait.")
    assert trend["rounds"][-1]["raw"] is not None


def test_the_coach_is_told_of_the_greens_and_not_of_worse_putting(cored: Place) -> None:
    look(cored, effect_known=True)
    items = kinds(cored)
    assert not [item for item in items if item.startswith("level_shift:")]
    assert items["greens:gained.putting"].endswith(
        "but 5 of the last 5 rounds were on disturbed greens: wait"
    )
    assert not [item for item in items if item.startswith("unusual_rate:putts")]


def test_rounds_wait_where_nobody_knows_what_coring_costs(cored: Place) -> None:
    trend = look(cored, effect_known=False)
    assert trend["level_shift"] is None
    assert trend["now"]["n"] == SOUND
    assert trend["greens"]["words"] == (
        "5 of the last 5 rounds were on disturbed greens: wait. "
        "8 rounds left out: what it cost is not known well enough."
    )


def test_goals_and_priorities_allow_for_the_greens(cored: Place) -> None:
    look(cored, effect_known=True)
    client = client_of(cored.coach)
    goal = {"figure": "gained.putting", "target": 0.0, "due_on": "2190-01-01", "window": {"rounds": 8}}
    made = client.post(f"/api/v1/players/{cored.player.id}/goals", goal, format="json").json()
    progress = made["progress"]
    assert progress["now"]["value"] > progress["greens"]["raw"]["value"] + 1
    assert progress["now"]["high"] - progress["now"]["low"] > 1
    ranked = told(cored, f"players/{cored.player.id}/priorities")
    assert ranked["greens"].startswith("5 of the last 5 rounds were on disturbed greens.")


def test_figures_that_cannot_be_adjusted_leave_these_rounds_out(cored: Place) -> None:
    look(cored, effect_known=True)
    (trend,) = told(cored, f"players/{cored.player.id}/trends?keys=putts.round")["trends"]
    assert trend["now"]["n"] == SOUND
    assert "8 rounds left out: it cannot be taken off this figure." in trend["greens"]["words"]
    (untouched,) = told(cored, f"players/{cored.player.id}/trends?keys=gained.tee")["trends"]
    assert untouched["greens"] is None
    assert untouched["now"]["n"] == SOUND + CORED
