"""A remembered answer is the one that would be computed, and never outlives what it rests on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from courses.greens.models import GreenWork, RecoveryTime, WorkStatus
from courses.layout.models import Course, Hole, PlayingConditions, Rating
from golfstats.doors.operations import OPERATIONS
from golfstats.ground.answers import as_json
from golfstats.ground.operations import Asker, Gathering, Query, Reading
from players.club.services import change_settings
from players.coaching.operations import OPERATIONS as COACHING
from players.coaching.questions import EarlierSelfQuery, TrendsQuery
from players.coaching.reports.report import write_player_report
from players.conditions import analysis
from players.conditions.models import ConditionEffect, RoundNote
from players.figures.answers.figures import FigureQuery, FiguresQuery, ShotsQuery
from players.figures.models import RoundFigures
from players.golf.models import ClubBenchmark
from players.golf.questions import WindowQuery
from players.handicap.models import CommitteeAction, PlayerHandicap
from players.people.models import Player, RememberedAnswer, SquadPlayer
from players.people.remembered import MOST, Remembered
from players.rounds.models import Round
from players.rounds.services import add_bag_word
from tests import factories
from tests.counting import calls_of
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds

PARAMETERS: dict[type[Query], Query] = {
    FigureQuery: FigureQuery(key="gained.total"),
    EarlierSelfQuery: EarlierSelfQuery(day=dt.date(2025, 5, 8)),
    ShotsQuery: ShotsQuery(figure="gained.total"),
}
"""Of questions that cannot be asked without."""


@dataclass(frozen=True)
class Question:
    name: str
    ask: Remembered[Any, Any]
    query: Any


def _questions() -> Iterator[Question]:
    for operation in OPERATIONS:
        if not isinstance(operation, Reading | Gathering):
            continue
        ask = operation.read if isinstance(operation, Reading) else operation.gather
        if isinstance(ask, Remembered):
            query = PARAMETERS.get(operation.query) or operation.query()
            yield Question(operation.name, ask, query)


QUESTIONS = list(_questions())
EACH_QUESTION = pytest.mark.parametrize("question", QUESTIONS, ids=lambda one: one.name)


@pytest.fixture
def season(place: Place, scope: None) -> Place:
    """Eight analysed rounds of the player, two of each of three squad mates."""
    play_rounds(place.player_member, place.player, 8)
    mates = [factories.make_player(f"Mate {one}") for one in range(3)]
    for mate in mates:
        SquadPlayer.objects.create(squad=place.squad, player=mate)
        play_rounds(place.manager, mate, 2, 12.0)
    analysis.analyse_pending()
    return place


def answer(place: Place, question: Question, *, day: dt.date | None = None) -> tuple[Any, bool]:
    """What a request is told, and whether it was computed for it, and so remembered anew."""
    asker = Asker(place.coach)
    if day is not None:
        asker.__dict__["today"] = day
    with CaptureQueriesContext(connection) as captured:
        (told,) = question.ask(asker, [place.player], question.query)
    return told, any("INSERT INTO players_rememberedanswer" in one["sql"] for one in captured)


def computed(place: Place, question: Question) -> Any:
    (told,) = question.ask.compute(Asker(place.coach), [place.player], question.query)
    return told


@EACH_QUESTION
def test_what_is_remembered_is_what_is_computed_and_reads_no_shot(season: Place, question: Question) -> None:
    first, read = answer(season, question)
    assert read
    with CaptureQueriesContext(connection) as captured:
        again, read = answer(season, question)
    assert not read
    assert not any('"players_shot"' in one["sql"] for one in captured)
    assert first == again == computed(season, question)


@EACH_QUESTION
def test_what_is_kept_is_sent_as_it_would_be_written(season: Place, question: Question) -> None:
    sent = [as_json(question.ask.as_sent(Asker(season.coach), [season.player], question.query)) for _ in "ab"]
    assert sent[0] == sent[1] == as_json([computed(season, question)])


def edit_round(place: Place) -> None:
    """Through the API, and not yet analysed."""
    found = Round.objects.filter(player=place.player).latest("played_on")
    client = client_of(place.player_member)
    body = client.get(f"/api/v1/rounds/{found.id}").json()["round"]
    body["holes"][0]["shots"][-1]["penalty_strokes"] = 0
    body["ball"] = "Another ball"
    response = client.put(f"/api/v1/rounds/{found.id}", body, format="json", headers={"If-Match": "*"})
    assert response.status_code == 200, response.content


def delete_round(place: Place) -> None:
    found = Round.objects.filter(player=place.player).latest("played_on")
    address = f"/api/v1/rounds/{found.id}"
    response = client_of(place.player_member).delete(address, headers={"If-Match": "*"})
    assert response.status_code == 204, response.content


def post_round(place: Place) -> None:
    factories.make_round(place.player_member, place.player)


def another_index(place: Place) -> None:
    PlayerHandicap.objects.update_or_create(
        player=place.player, defaults={"index": "20.0", "low_index": "20.0", "document": {}}
    )


def another_decision(place: Place) -> None:
    CommitteeAction.objects.create(
        player=place.player,
        kind="set_initial_index",
        effective_on=dt.date(2025, 1, 1),
        value="20.0",
        reason="seen",
    )


def playing_conditions(place: Place) -> None:
    found = Round.objects.filter(player=place.player).latest("played_on")
    PlayingConditions.objects.create(
        course_id=found.tee_set.course_id, played_on=found.played_on, pcc=2, origin="the day's sheet"
    )


def refit(_: Place) -> None:
    ClubBenchmark.objects.update_or_create(defaults={"document": {}, "shots": 1})


def note(place: Place) -> None:
    found = Round.objects.filter(player=place.player).latest("played_on")
    RoundNote.objects.update_or_create(round=found, defaults={"text": "Another note"})


CHANGES: list[Callable[[Place], object]] = [
    post_round,
    edit_round,
    delete_round,
    lambda place: Hole.objects.filter(number=1).update(length=555.0),
    lambda place: Rating.objects.update(course_rating="75.0"),
    lambda place: Course.objects.update(name="Another name"),
    lambda place: Player.objects.filter(id=place.player.id).update(name="Another Name"),
    lambda place: change_settings(place.club, {"short_game_yards": 40.0}),
    lambda place: change_settings(place.club, {"distance_unit": "metres"}),
    lambda place: RoundFigures.objects.update(surface_disturbance=0.9, surface_strokes=-1.0),
    note,
    lambda place: add_bag_word(place.player, "trusty", "7-iron"),
    another_index,
    another_decision,
    playing_conditions,
    refit,
]
NAMES = [
    "posted",
    "edited",
    "deleted",
    "length",
    "rating",
    "course",
    "player",
    "setting",
    "unit",
    "surface",
    "note",
    "bag",
    "index",
    "committee",
    "conditions",
    "fit",
]


@pytest.mark.parametrize("change", CHANGES, ids=NAMES)
def test_whatever_changes_it_is_computed_anew(season: Place, change: Callable[[Place], object]) -> None:
    for question in QUESTIONS:
        answer(season, question)
    change(season)
    season = replace(
        season, coach=season.coach._meta.model.objects.select_related("club").get(id=season.coach.id)
    )
    for question in QUESTIONS:
        told, read = answer(season, question)
        assert read, question.name
        assert told == computed(season, question), question.name


def green_work(place: Place) -> None:
    found = Round.objects.filter(player=place.player).latest("played_on")
    GreenWork.objects.create(
        course_id=found.tee_set.course_id,
        kind="coring_large",
        starts_on=found.played_on,
        ends_on=found.played_on,
        status=WorkStatus.CONFIRMED,
    )


@pytest.mark.parametrize(
    "change",
    [
        green_work,
        lambda _: ConditionEffect.objects.update_or_create(defaults={"document": {}, "putts": 1}),
        lambda _: RecoveryTime.objects.create(kind="coring_large", days=9.0, low=7.0, high=12.0, rounds=9),
    ],
    ids=["work", "effect", "recovery"],
)
def test_what_is_known_of_greens_concerns_what_tells_of_them(
    season: Place, change: Callable[[Place], object]
) -> None:
    for question in QUESTIONS:
        answer(season, question)
    change(season)
    anew = [one for one in QUESTIONS if answer(season, one)[1]]
    assert [one.name for one in anew] == ["player-condition-adjusted"]
    assert answer(season, anew[0])[0] == computed(season, anew[0])


def test_pages_after_the_first_are_not_remembered(season: Place) -> None:
    (shots,) = [one for one in QUESTIONS if one.name == "player-shots"]
    later = replace(shots, query=ShotsQuery(figure="gained.total", offset=100))
    assert answer(season, later) == (computed(season, later), False)
    assert not RememberedAnswer.objects.exists()


def test_two_changes_of_one_transaction_are_two(season: Place) -> None:
    """A transaction that changes something, reads, and changes it again leaves the second."""
    (summary,) = [one for one in QUESTIONS if one.name == "player-summary"]
    for length in (510.0, 520.0, 530.0):
        Hole.objects.filter(number=1).update(length=length)
        told, read = answer(season, summary)
        assert read
        assert told == computed(season, summary)


def test_a_day_later_only_what_tells_of_today_is_computed_anew(season: Place) -> None:
    for question in QUESTIONS:
        answer(season, question, day=dt.date(2026, 1, 1))
    anew = {one.name for one in QUESTIONS if answer(season, one, day=dt.date(2026, 1, 2))[1]}
    of_coaching = {operation.name for operation in COACHING} & {one.name for one in QUESTIONS}
    assert anew == of_coaching - {"player-priorities"}


def test_golf_of_squad_mates_concerns_the_misses_alone(season: Place) -> None:
    for question in QUESTIONS:
        answer(season, question)
    mate = Player.objects.get(name="Mate 0")
    factories.make_round(season.manager, mate)
    assert [one.name for one in QUESTIONS if answer(season, one)[1]] == ["player-misses"]
    SquadPlayer.objects.filter(player=mate).delete()
    assert [one.name for one in QUESTIONS if answer(season, one)[1]] == ["player-misses"]


def test_one_question_is_not_taken_for_another(season: Place) -> None:
    (figures,) = [one for one in QUESTIONS if one.name == "player-figures"]
    for query in (FiguresQuery(last=3), FiguresQuery(last=4), FiguresQuery(keys=["gained.total"])):
        question = replace(figures, query=query)
        assert answer(season, question)[0] == computed(season, question)
        assert answer(season, question) == (computed(season, question), False)


def test_a_few_answers_of_a_player_are_kept_the_latest(season: Place) -> None:
    (summary,) = [one for one in QUESTIONS if one.name == "player-summary"]
    for last in range(1, MOST + 3):
        answer(season, replace(summary, query=WindowQuery(last=last)))
    assert RememberedAnswer.objects.count() == MOST
    assert answer(season, replace(summary, query=WindowQuery(last=1)))[1]
    assert not answer(season, replace(summary, query=WindowQuery(last=MOST + 2)))[1]


def test_nothing_is_left_of_a_round_that_was_deleted(season: Place) -> None:
    """Not even in an answer that nobody asks for again."""
    (summary,) = [one for one in QUESTIONS if one.name == "player-summary"]
    gone = str(Round.objects.filter(player=season.player).latest("played_on").id)
    answer(season, summary)
    assert RememberedAnswer.objects.filter(body__contains=gone).exists()
    delete_round(season)
    write_player_report(season.player.id)
    assert not RememberedAnswer.objects.filter(body__contains=gone).exists()


def test_what_the_worker_found_to_work_on_is_kept_for_whoever_asks(season: Place) -> None:
    (priorities,) = [one for one in QUESTIONS if one.name == "player-priorities"]
    write_player_report(season.player.id)
    assert answer(season, priorities) == (computed(season, priorities), False)
    post_round(season)
    assert answer(season, priorities)[1]


def test_another_club_is_told_nothing(season: Place) -> None:
    answer(season, QUESTIONS[0])
    # Two scopes never overlap: the fixture's is of this club, so the table is asked as the other club sees it.
    assert RememberedAnswer.objects.exists()
    with connection.cursor() as cursor:
        cursor.execute("SELECT set_config('golfstats.club_id', '', true)")
        cursor.execute("SELECT count(*) FROM players_rememberedanswer")
        assert cursor.fetchone() == (0,)
        cursor.execute("SELECT set_config('golfstats.club_id', %s, true)", [str(season.club.id)])


def test_a_longer_history_costs_no_more_calls(season: Place) -> None:
    """Of a player with six times the rounds, in the window that a dashboard asks for."""
    asked = [replace(one, query=TrendsQuery(last=5)) for one in QUESTIONS if one.name == "player-trends"]

    def all_of_them() -> None:
        for question in asked:
            (_,) = question.ask(Asker(season.coach), [season.player], question.query)

    all_of_them()
    few = calls_of(all_of_them)
    play_rounds(season.player_member, season.player, 40)
    all_of_them()
    assert calls_of(all_of_them) <= 1.05 * few
