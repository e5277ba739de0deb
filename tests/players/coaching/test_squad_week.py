"""A coach's Monday: what each player of a squad did since last week, and who needs a word."""

from __future__ import annotations

import datetime as dt
import re

import pytest

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.clock import today_at
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import PlayerReport
from players.coaching.reports import week
from players.coaching.reports.attention import AttentionItem, AttentionKind
from players.people.answers import Named
from tests import factories
from tests.players.coaching.seasons import days_of, play_season
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import bodies_of, post_bodies


@pytest.fixture
def address(place: Place) -> str:
    return f"/api/v1/squads/{place.squad.id}/week"


def test_a_squad_without_a_round_says_so(place: Place, address: str) -> None:
    told = client_of(place.coach).get(address).json()
    (line,) = told["players"]
    assert line["last_round"] is None
    assert line["words"] == "no round since last week"
    assert told["average"] is None


def test_the_week_tells_the_last_round_the_level_and_what_moved(place: Place, address: str) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 10)
        today = today_at(place.club)
    worker.drain()
    told = client_of(place.coach).get(address).json()
    (line,) = told["players"]
    assert line["last_round"]["played_on"] == (today - dt.timedelta(days=3)).isoformat()
    assert line["last_round"]["holes_played"] == 18
    since = dt.date.fromisoformat(told["since"])
    days = (today - dt.timedelta(days=3 + 4 * back) for back in range(10))  # four apart, the last three ago
    lately = sum(day >= since for day in days)
    assert since.weekday() == 0, "weeks begin on Mondays here"
    assert dt.timedelta(days=7) <= today - since < dt.timedelta(days=14)
    assert line["rounds"] == lately
    assert line["level"]["now"]["enough"]
    assert line["words"].startswith(f"{lately} rounds; level ")
    assert told["average"] == pytest.approx(line["level"]["now"]["value"])
    assert told["words"].startswith(f"{lately} rounds since Monday ")


def test_who_slips_over_the_months_is_named_with_its_chance(place: Place, address: str) -> None:
    days = days_of(32)
    with club_scope(place.club.id):
        for played, golfer in ((days[:10], golfer_of_handicap(0.0)), (days[10:], golfer_of_handicap(18.0))):
            post_bodies(place.manager, bodies_of(place.player, played, golfer, 5))
    worker.drain()
    words = client_of(place.coach).get(address).json()["words"]
    assert re.search(
        rf"Likely worse than three months ago: {place.player.name} \((more than )?9\d%\)\.", words
    )
    assert "Likely better" not in words


def test_a_report_of_an_earlier_version_has_no_level_yet(place: Place, address: str) -> None:
    with club_scope(place.club.id):
        factories.make_round(place.manager, place.player)
        PlayerReport.objects.update_or_create(player=place.player, defaults={"document": {"trends": []}})
    assert client_of(place.coach).get(address).json()["players"][0]["level"] is None


def test_players_do_not_read_who_needs_a_word(place: Place, address: str) -> None:
    assert client_of(place.player_member).get(address).status_code in {403, 404}
    assert client_of(place.greenkeeper).get(address).status_code in {403, 404}
    assert client_of(place.manager).get(address).status_code == 200


def test_an_item_put_aside_is_taken_up_again(place: Place, address: str) -> None:
    with club_scope(place.club.id):
        factories.make_round(place.manager, place.player, dt.date(2026, 1, 5))
    client = client_of(place.coach)

    def reasons() -> list[str]:
        return [one["item"] for one in client.get(address).json()["players"][0]["needs_a_word"]]

    assert reasons() == ["no_round"]
    body = {"player": str(place.player.id), "item": "no_round"}
    client.post("/api/v1/attention/dismissals", body, format="json")
    assert reasons() == []
    assert client.post("/api/v1/attention/dismissals/undone", body, format="json").status_code == 204
    assert reasons() == ["no_round"]


def test_a_soft_cap_alone_needs_no_word(place: Place, address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    who = Named(place.player.id, place.player.name)
    began = dt.date(2026, 5, 1)
    caps = [
        AttentionItem(
            who, AttentionKind.HANDICAP_CAP, f"handicap_cap:{kind}", "", None, began, dismissed=False
        )
        for kind in ("soft", "hard")
    ]
    monkeypatch.setattr(week, "attention", lambda *_: caps[:1])
    told = client_of(place.coach).get(address).json()
    assert told["players"][0]["needs_a_word"] == []
    assert "nobody needs a word" in told["words"]
    monkeypatch.setattr(week, "attention", lambda *_: caps)
    (item,) = client_of(place.coach).get(address).json()["players"][0]["needs_a_word"]
    assert item["item"] == "handicap_cap:hard"
