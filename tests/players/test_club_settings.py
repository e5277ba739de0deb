"""A setting that something could not read is refused where it is entered, and everything goes on."""

from __future__ import annotations

import datetime as dt
import json
import re
from decimal import Decimal
from typing import Any

import pytest

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Club
from golfstats.ground.faults import ProblemError
from golfstats.ground.outbox import worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players.club.operations import ClubSettings
from players.club.services import change_settings
from players.club.settings import CHECKS
from players.coaching.models import PlayerReport
from players.coaching.reports.report import sections
from players.figures.models import RoundFigures
from players.golf import club_fits
from players.handicap.actions import ActionKind
from players.handicap.models import PlayerHandicap
from players.handicap.services import NewAction, decide
from players.kinds import ROUND_ANALYSIS, ROUNDS_OF_PLAYER
from players.people.services import save_player
from players.rounds.models import Round
from tests import factories
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import bodies_of, play_rounds, post_bodies
from tests.players.test_club_fits import TODAY, give_index

WRONG: list[tuple[str, Any, str]] = [
    ("name", "", "/name"),
    ("time_zone", "Europe/Atlantis", "/time_zone"),
    ("distance_unit", "furlongs", "/distance_unit"),
    ("date_style", "backwards", "/date_style"),
    ("first_weekday", "friday", "/first_weekday"),
    ("short_game_yards", -1, "/short_game_yards"),
    ("short_game_yards", 1e300, "/short_game_yards"),
    ("approach_band_edges", [100, 50], "/approach_band_edges"),
    ("approach_band_edges", [100], "/approach_band_edges"),
    ("benchmark", "profesional", "/benchmark"),
    ("benchmark", "club:12", "/benchmark"),  # nothing has been fitted yet
    ("benchmark", "handicap:99", "/benchmark"),
    ("handicap_rules", {"preset": "atlantis"}, "/handicap_rules/preset"),
    ("handicap_rules", {"inactive_season": [[2, 30], [4, 1]]}, "/handicap_rules/inactive_season"),
    ("handicap_rules", {"inactive_season": [[13, 1], [4, 1]]}, "/handicap_rules/inactive_season/0/0"),
    ("handicap_rules", {"authorised_formats": ["skat"]}, "/handicap_rules/authorised_formats"),
    ("handicap_rules", {"maximum_index": "36.55"}, "/handicap_rules/maximum_index"),
    ("erased_golf", "hidden", "/erased_golf"),
    ("rounds_kept_years", -1, "/rounds_kept_years"),
    ("handicap_rules", {"no_such_choice": 1}, "/handicap_rules/no_such_choice"),
]


def test_a_wrong_value_is_tried_of_every_setting() -> None:
    tried = {name for name, _, _ in WRONG}
    assert tried == set(ClubSettings.model_fields) == set(CHECKS)


@pytest.mark.parametrize(("name", "value", "pointer"), WRONG)
def test_a_wrong_value_is_refused_and_changes_nothing(
    place: Place, name: str, value: Any, pointer: str
) -> None:
    manager = client_of(place.manager)
    before = manager.get("/api/v1/club").json()
    answer = manager.patch("/api/v1/club", {name: value}, format="json")
    assert answer.status_code == 422
    assert [error["pointer"] for error in answer.json()["errors"]] == [pointer]
    assert manager.get("/api/v1/club").json() == before


@pytest.mark.parametrize(("name", "value", "pointer"), WRONG)
def test_the_service_itself_refuses_it(place: Place, name: str, value: Any, pointer: str) -> None:
    with club_scope(place.club.id), pytest.raises(ProblemError) as refused:
        change_settings(Club.objects.get(), {name: value})
    assert [fault.pointer for fault in refused.value.faults] == [pointer]


def test_reads_and_analyses_go_on_after_a_setting_was_refused(place: Place) -> None:
    manager = client_of(place.manager)
    manager.patch("/api/v1/club", {"benchmark": "profesional"}, format="json")
    with club_scope(place.club.id):
        factories.make_round(place.player_member, place.player)
    worker.drain()
    with club_scope(place.club.id):
        assert Round.objects.get().analysis == "done"
    for path in ("summary", "figures", "priorities", "putting", "handicap"):
        answer = manager.get(f"/api/v1/players/{place.player.id}/{path}")
        assert answer.status_code == 200, answer.content
    assert manager.get("/api/v1/benchmarks").status_code == 200


def test_the_golfer_in_use_stays_when_too_little_golf_is_left_to_fit_him(place: Place) -> None:
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 20, handicap=8)
        give_index(place.player, 8.0, TODAY)
        club_fits.refit_club(TODAY)
        change_settings(Club.objects.get(), {"benchmark": "club:8"})
        for one in Round.objects.all()[2:]:
            one.delete()
        club_fits.refit_club(TODAY)
    answer = client_of(place.manager).get(f"/api/v1/players/{place.player.id}/summary")
    assert answer.status_code == 200, answer.content


def test_stored_reports_are_written_again_in_another_unit(place: Place) -> None:
    client_of(place.manager).patch("/api/v1/club", {"distance_unit": "metres"}, format="json")
    asked = OutstandingWork.objects.filter(kind="player_report").values_list("key", flat=True)
    assert set(asked) == {str(place.player.id), str(place.other_player.id)}


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("distance_unit", "metres"),
        ("date_style", "iso"),
        ("approach_band_edges", [60, 120, 180, 240]),
        ("short_game_yards", 60),
        ("benchmark", "handicap:2"),
        ("handicap_rules", {"preset": "sweden"}),
    ],
)
def test_what_coaches_read_of_a_player_follows_the_settings(place: Place, name: str, value: Any) -> None:
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 12, handicap=8)
        worker.drain()
        change_settings(Club.objects.get(), {name: value})
        worker.drain()
        stored = PlayerReport.objects.get(player=place.player).document
        assert stored == json.loads(json.dumps(sections(place.player)))


def test_rules_changed_beside_the_benchmark_reach_who_has_no_round(place: Place) -> None:
    decision = NewAction(
        kind=ActionKind.SET_INITIAL_INDEX,
        effective_on=dt.date(2026, 3, 1),
        value=Decimal(40),
        reason="Evidence.",
    )
    with club_scope(place.club.id):
        decide(place.player, place.manager, decision)
        worker.drain()
        rules = {"maximum_index": "36.0"}
        change_settings(Club.objects.get(), {"benchmark": "handicap:2", "handicap_rules": rules})
        worker.drain()
        assert PlayerHandicap.objects.get(player=place.player).index == Decimal(36)


def test_a_report_has_its_days_as_the_club_writes_them(place: Place) -> None:
    with club_scope(place.club.id):
        lately = [today_at(Club.objects.get()) - dt.timedelta(days=ago) for ago in range(12)]
        post_bodies(place.player_member, bodies_of(place.player, lately[::-1], golfer_of_handicap(8), seed=5))
        change_settings(Club.objects.get(), {"date_style": "iso"})
        worker.drain()
        stored = PlayerReport.objects.get(player=place.player).document
    words = json.dumps([trend["compared_with"]["words"] for trend in stored["trends"]])
    assert re.search(r"\bby \d{4}-\d\d-\d\d", words), words
    assert not re.search(r"\d [A-Z][a-z]+ \d{4}", words)


def test_another_benchmark_or_gender_asks_for_each_players_golf_in_one_piece(place: Place) -> None:
    """And not for each round: who posts one meanwhile would wait for all of them."""
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 3, handicap=8)
        play_rounds(place.other_member, place.other_player, 2, handicap=8)
        worker.drain()
        asked = OutstandingWork.objects.filter(kind__in=[ROUND_ANALYSIS, ROUNDS_OF_PLAYER])
        change_settings(Club.objects.get(), {"benchmark": "handicap:2"})
        both = sorted([str(place.player.id), str(place.other_player.id)])
        assert sorted(asked.values_list("kind", "key")) == [(ROUNDS_OF_PLAYER, key) for key in both]
        assert set(Round.objects.values_list("analysis", flat=True)) == {"pending"}
        worker.drain()
        assert set(RoundFigures.objects.values_list("benchmark", flat=True)) == {"handicap:2"}
        save_player(place.player, None, "men", None)
        assert list(asked.values_list("kind", "key")) == [(ROUNDS_OF_PLAYER, str(place.player.id))]
        worker.drain()
        versions = RoundFigures.objects.filter(round__player=place.player).values_list("benchmark_version")
        assert {version.split(",")[0] for (version,) in versions} == {"handicap:2:men"}
        assert set(Round.objects.values_list("analysis", flat=True)) == {"done"}
