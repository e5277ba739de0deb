"""The usual comparison: a golfer of the player's own handicap and rating gender, on the course as it is rated."""

from __future__ import annotations

import json
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest
from django.db import connection

from courses.layout.models import Course
from golfstats.ground.clubs.models import Club
from golfstats.ground.clubs.services import found_club
from golfstats.ground.outbox import work, worker
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players import kinds
from players.coaching.models import PlayerReport
from players.coaching.reports.report import sections
from players.conditions import analysis, tasks
from players.conditions.models import RoundNote
from players.conditions.refresh import refresh_rounds
from players.figures.models import RoundFigures, ShotFigures
from players.handicap.models import PlayerHandicap
from players.handicap.recompute import measure_by_new_peer
from players.rounds.models import Round
from tests import factories
from tests.databases import committed
from tests.outbox.attempts import AT_ONCE
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds


@pytest.fixture
def by_peers(place: Place) -> Place:
    """A woman of handicap index 9.6 and a man without one, six rounds each, in a club that measures by peers."""
    with club_scope(place.club.id):
        Club.objects.update(benchmark="peer")
        play_rounds(place.player_member, place.player, 6, handicap=10)
        play_rounds(place.other_member, place.other_player, 6, handicap=10)
        PlayerHandicap.objects.update_or_create(player=place.player, defaults={"index": Decimal("9.6")})
        PlayerHandicap.objects.filter(player=place.other_player).delete()
        analysis.analyse_pending()
    return place


def summary(place: Place, player: object, **query: object) -> dict:
    answer = client_of(place.manager).get(f"/api/v1/players/{player}/summary", query)
    assert answer.status_code == 200, answer.content
    return answer.json()


def test_a_new_club_measures_by_peers(db: None) -> None:
    club = found_club("larkmoor", "Larkmoor", "UTC", factories.make_user("founder"))
    assert club.benchmark == "peer"


def test_each_player_is_compared_with_their_own_peer(by_peers: Place) -> None:
    assert summary(by_peers, by_peers.player.id)["benchmark"]["key"] == "handicap:10:women"
    # Without an index: the bogey golfer of the course rating system, of about 20 for a man.
    assert summary(by_peers, by_peers.other_player.id)["benchmark"]["key"] == "handicap:20:men"
    kept = summary(by_peers, by_peers.player.id, benchmark="professional")
    assert kept["benchmark"]["key"] == "professional"


def test_a_peer_takes_what_the_ratings_of_the_course_say(by_peers: Place) -> None:
    """Rating + 1.04 × handicap × slope / 113 + 2.4 (simplified expected score, German golf union 2024)."""
    with club_scope(by_peers.club.id):
        round_ = Round.objects.filter(player=by_peers.player).first()
        assert round_ is not None
        rating = round_.tee_set.ratings.get(gender="women", section="18")
        tees = ShotFigures.objects.filter(shot__played_hole__round=round_, shot__number=1)
        from_tees = sum(tees.values_list("expected_before", flat=True))
    expected = float(rating.course_rating) + 1.04 * 10 * rating.slope_rating / 113 + 2.4
    assert from_tees == pytest.approx(expected, abs=1e-6)


def test_what_is_stored_is_what_is_computed(by_peers: Place) -> None:
    with club_scope(by_peers.club.id):
        stored = RoundFigures.objects.filter(round__player=by_peers.player)
        totals = dict(stored.values_list("round_id", "total"))
        assert set(stored.values_list("benchmark", flat=True)) == {"peer"}
    for line in summary(by_peers, by_peers.player.id)["rounds"]:
        (total,) = (value for key, value in totals.items() if str(key) == line["round"])
        assert line["strokes_gained"]["total"] == pytest.approx(total, abs=1e-3)


@pytest.mark.parametrize(
    ("before", "after", "anew"), [("9.6", "10.4", False), ("10.4", "10.6", True), (None, "24.3", False)]
)
def test_rounds_are_measured_anew_when_the_peer_is_another(
    by_peers: Place, before: str | None, after: str, anew: bool
) -> None:
    with club_scope(by_peers.club.id):
        OutstandingWork.objects.all().delete()
        measure_by_new_peer(by_peers.player.id, Decimal(before) if before else None, Decimal(after))
        asked = OutstandingWork.objects.filter(kind="rounds_of_player").values_list("key", flat=True)
        assert list(asked) == ([str(by_peers.player.id)] if anew else [])


def test_one_round_that_fails_keeps_none_of_the_others_from_a_new_peer(
    by_peers: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The piece is given up, then each round is analysed by itself, and the bad one alone says that it failed."""
    with club_scope(by_peers.club.id):
        rounds = list(Round.objects.filter(player=by_peers.player).order_by("id"))
        bad = rounds[2].id
        OutstandingWork.objects.all().delete()
        PlayerHandicap.objects.filter(player=by_peers.player).update(index=Decimal("14.0"))
        measure_by_new_peer(by_peers.player.id, Decimal("9.6"), Decimal("14.0"))
    analyse = analysis.analyse_rounds

    def fails_for_one(ids: Iterable[UUID], **asked: bool) -> None:
        known = list(ids)
        if bad in known:
            raise RuntimeError("a shot that nobody can value")
        analyse(known, **asked)

    monkeypatch.setattr(tasks, "analyse_rounds", fails_for_one)
    for kind in (kinds.ROUNDS_OF_PLAYER, kinds.ROUND_ANALYSIS, kinds.ROUND_MEASURED_ANEW):
        monkeypatch.setitem(work.handlers, kind, replace(work.handlers[kind], retry_after=AT_ONCE))
    worker.drain(queue=work.Queue.LONG)  # posted rounds wait for none of them
    with club_scope(by_peers.club.id):
        states = dict(Round.objects.filter(player=by_peers.player).values_list("id", "analysis"))
    assert states == {one.id: "failed" if one.id == bad else "done" for one in rounds}


def test_measured_by_another_peer_every_round_tells_of_them(by_peers: Place) -> None:
    """Worked off in one piece; what is stored is then what is computed, and those of others are not touched."""
    with club_scope(by_peers.club.id):
        others = RoundFigures.objects.filter(round__player=by_peers.other_player).order_by("round_id")
        before = list(others.values_list("round_id", "total"))
        PlayerHandicap.objects.filter(player=by_peers.player).update(index=Decimal("10.6"))
        OutstandingWork.objects.all().delete()
        measure_by_new_peer(by_peers.player.id, Decimal("9.6"), Decimal("10.6"))
    worker.drain(limit=1)
    test_what_is_stored_is_what_is_computed(by_peers)
    assert summary(by_peers, by_peers.player.id)["benchmark"]["key"] == "handicap:11:women"
    with club_scope(by_peers.club.id):
        assert list(others.values_list("round_id", "total")) == before


def test_a_round_analysed_before_the_others_have_their_new_peer_ends_up_among_them(by_peers: Place) -> None:
    """The report told of golf measured by two peers, and tells of one in the end."""
    worker.drain()
    with club_scope(by_peers.club.id):
        PlayerHandicap.objects.filter(player=by_peers.player).update(index=Decimal("30.0"))
        analysis.analyse_rounds(Round.objects.filter(player=by_peers.player).values_list("id", flat=True))
        factories.make_round(by_peers.player_member, by_peers.player)
    worker.drain(queue=work.Queue.QUICK)
    with club_scope(by_peers.club.id):
        figures = RoundFigures.objects.filter(round__player=by_peers.player)
        assert len(set(figures.values_list("benchmark_version", flat=True))) == 2
    worker.drain()
    with club_scope(by_peers.club.id):
        assert len(set(figures.values_list("benchmark_version", flat=True))) == 1
        report = PlayerReport.objects.get(player=by_peers.player).document
        assert report == json.loads(json.dumps(sections(by_peers.player)))
    test_what_is_stored_is_what_is_computed(by_peers)


@committed
def test_a_round_analysed_while_the_others_get_their_new_peer_is_compared_with_them(
    by_peers: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another worker analyses it when the piece has been begun, and before it is stored."""
    with club_scope(by_peers.club.id):
        course = Course.objects.get()
    work_there = f"/api/v1/courses/{course.id}/green-work"
    coring = {"kind": "coring_medium", "starts_on": "2026-06-12"}
    assert client_of(by_peers.greenkeeper).post(work_there, coring, format="json").status_code == 201
    worker.drain()
    with club_scope(by_peers.club.id):
        PlayerHandicap.objects.filter(player=by_peers.player).update(index=Decimal("30.0"))
        measure_by_new_peer(by_peers.player.id, Decimal("9.6"), Decimal("30.0"))
    store = analysis.store_figures

    def post_by_another() -> None:
        try:
            with club_scope(by_peers.club.id):
                factories.make_round(by_peers.player_member, by_peers.player)
            assert worker.drain(queue=work.Queue.QUICK)
        finally:
            connection.close()

    def stored_afterwards(*given: Any) -> Any:
        monkeypatch.setattr(analysis, "store_figures", store)
        with ThreadPoolExecutor(1) as another:
            another.submit(post_by_another).result()
        return store(*given)

    monkeypatch.setattr(analysis, "store_figures", stored_afterwards)
    worker.drain(limit=1, queue=work.Queue.LONG)
    worker.drain(queue=work.Queue.QUICK)
    with club_scope(by_peers.club.id):
        note = RoundNote.objects.get()
        assert "usual" in note.text
        refresh_rounds([note.round_id])
        assert RoundNote.objects.get().text == note.text


def test_a_squad_of_men_and_women_is_told_so(by_peers: Place) -> None:
    with club_scope(by_peers.club.id):
        squad = factories.make_squad("Mixed", by_peers.coach, by_peers.player, by_peers.other_player)
    table = client_of(by_peers.manager).get(f"/api/v1/squads/{squad.id}/table").json()
    assert table["benchmark"]["key"] == "peer"
    assert table["benchmark"]["name"] == "Peers"
