"""Rounds that change while their analysis is computed: nothing old is ever taken for new."""

from __future__ import annotations

from typing import Any

import pytest

from golfstats.calc.strokes.gained import strokes_gained
from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import work, worker
from golfstats.ground.walls.scope import club_scope
from players import kinds
from players.club import services
from players.conditions import analysis
from players.figures import services as figures
from players.figures.models import RoundFigures
from players.rounds import services as posting
from players.rounds.input import RoundInput
from players.rounds.models import Round
from tests import factories
from tests.databases import committed
from tests.outbox.test_outstanding_work import in_a_thread
from tests.players.conftest import Place


def scores_only(place: Place, day: int, score: int) -> dict[str, Any]:
    body = factories.round_body(place.player, played_on=f"2026-05-{day:02d}")
    return body | {"holes": [{"number": number, "score": score} for number in range(1, 19)]}


@pytest.fixture
def rounds(place: Place) -> list[Round]:
    """Six rounds of hole scores, one with every shot; none analysed."""
    with club_scope(place.club.id):
        bodies = [scores_only(place, day, 5) for day in range(1, 7)]
        bodies.append(factories.round_body(place.player, played_on="2026-05-07"))
        return posting.post_rounds(place.player_member, [RoundInput.model_validate(one) for one in bodies])


def during_the_analysis(
    monkeypatch: pytest.MonkeyPatch, place: Place, change: Any, queue: work.Queue | None = None
) -> None:
    """Let another connection commit this change after the rounds were read and before anything is stored, and do what
    is then due of this queue.
    """

    def in_scope() -> None:
        with club_scope(place.club.id):
            change()
        if queue is not None:
            worker.drain(queue=queue)

    def slow(*values: Any) -> Any:
        monkeypatch.setattr(figures, "strokes_gained", strokes_gained)
        other = in_a_thread(in_scope)
        other.join(20)
        assert not other.is_alive(), "a request waits for the worker"
        return strokes_gained(*values)

    monkeypatch.setattr(figures, "strokes_gained", slow)


@committed
def test_edits_and_deletions_during_a_bulk_analysis_are_not_lost(
    place: Place, rounds: list[Round], monkeypatch: pytest.MonkeyPatch
) -> None:
    edited, deleted, with_shots, untouched = rounds[1], rounds[2], rounds[6], rounds[0]

    def change() -> None:
        for one, body in [(edited, scores_only(place, 2, 4)), (with_shots, scores_only(place, 7, 6))]:
            row = Round.objects.get(id=one.id)
            posting.replace_round(place.player_member, row, RoundInput.model_validate(body))
        posting.delete_round(Round.objects.get(id=deleted.id))

    during_the_analysis(monkeypatch, place, change)
    with club_scope(place.club.id):
        analysis.analyse_pending()
    with club_scope(place.club.id):
        states = dict(Round.objects.values_list("id", "analysis"))
        assert (states[untouched.id], states[edited.id], states[with_shots.id]) == (
            "done",
            "pending",
            "pending",
        )
        waiting = work.outstanding(kinds.ROUND_ANALYSIS).keys()
        assert {str(edited.id), str(with_shots.id)} <= waiting
    worker.drain()
    with club_scope(place.club.id):
        found = {one.round_id: one for one in RoundFigures.objects.all()}
        assert found.keys() == {one.id for one in rounds} - {deleted.id}
        assert (found[edited.id].score, found[edited.id].version) == (72, 2)
        assert (found[with_shots.id].score, found[with_shots.id].version) == (108, 2)
        assert set(Round.objects.values_list("analysis", flat=True)) == {"done"}


@committed
def test_a_setting_changed_during_a_bulk_analysis_is_heeded(
    place: Place, rounds: list[Round], monkeypatch: pytest.MonkeyPatch
) -> None:
    def change() -> None:
        services.change_settings(Club.objects.get(), {"benchmark": "handicap:18"})

    during_the_analysis(monkeypatch, place, change)
    with club_scope(place.club.id):
        analysis.analyse_pending()
    worker.drain()
    with club_scope(place.club.id):
        assert set(RoundFigures.objects.values_list("benchmark", flat=True)) == {"handicap:18"}
        assert set(Round.objects.values_list("analysis", flat=True)) == {"done"}


@committed
def test_a_setting_changed_while_a_worker_is_at_a_round_is_heeded_for_that_round_too(
    place: Place, rounds: list[Round], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another worker has measured all golf anew before that one stores what it worked out by the setting before."""

    def change() -> None:
        services.change_settings(Club.objects.get(), {"benchmark": "handicap:18"})

    during_the_analysis(monkeypatch, place, change, work.Queue.LONG)
    worker.drain(queue=work.Queue.QUICK)
    worker.drain()
    with club_scope(place.club.id):
        found = dict(RoundFigures.objects.values_list("round_id", "benchmark"))
    assert found == dict.fromkeys([one.id for one in rounds], "handicap:18")
