"""The lean read of a club's putts, against the full record; and what stays out of the fit."""

from __future__ import annotations

import datetime as dt
from itertools import product

import numpy as np
import pytest

from courses.greens import condition as courses
from courses.greens import services as greens
from courses.greens.models import GreenReading, GreenWork
from courses.greens.services import GreenWorkBody
from courses.layout.models import Course
from golfstats.calc.greens.effect.putts import Putts, putts_of
from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from players.conditions.putts import load_putts, without_temporary_greens
from players.golf.loading import load_record
from players.rounds import services as posting
from players.rounds.input import RoundInput
from tests import factories
from tests.factories import round_body
from tests.players.conditions.green_golf import days, simulated_round
from tests.players.conftest import Place, client_of


def as_rows(putts: Putts) -> list[tuple[float, ...]]:
    """Putts without the numbers that stand for players and rounds, which are free; -1 for not known."""
    names = ("day", "hole", "first", "distance_ft", "holed", "speed_ft")
    columns = [np.nan_to_num(getattr(putts, name).astype(float), nan=-1.0).round(6) for name in names]
    return sorted(zip(*(column.tolist() for column in columns), strict=True))


def test_the_lean_read_gives_the_putts_of_the_record(place: Place) -> None:
    """Also where a putt rolls off the green, and where a hole was given up."""
    rng = np.random.default_rng(3)
    off_the_green = round_body(place.other_player, played_on="2026-06-20")
    off_the_green["holes"][0]["shots"] = [
        {"lie": "tee", "distance": 390},
        {"lie": "fairway", "distance": 140},
        {"lie": "green", "distance": 40},
        {"lie": "fringe", "distance": 12},
        {"lie": "green", "distance": 3},
    ]
    off_the_green["holes"][1] = {
        "number": 2,
        "picked_up": True,
        "shots": [
            {"lie": "tee", "distance": 410},
            {"lie": "fairway", "distance": 140},
            {"lie": "green", "distance": 30},
            {"lie": "green", "distance": 9},
        ],
    }
    with club_scope(place.club.id):
        rounds = [
            simulated_round(rng, player, day)
            for player in (place.player, place.other_player)
            for day in days(dt.date(2026, 6, 1), 3, 3)
        ]
        posting.post_rounds(place.manager, [*rounds, RoundInput.model_validate(off_the_green)])
        loaded, record = load_putts("UTC"), load_record().record
    assert as_rows(loaded.putts) == as_rows(putts_of(record))
    assert len(np.unique(loaded.putts.player)) == 2
    assert len(np.unique(loaded.putts.round)) == 7


def test_speed_is_the_mean_of_the_days_readings_that_can_be_trusted(place: Place) -> None:
    with club_scope(place.club.id):
        course = Course.objects.get()
        play_two_days(place)
        for one_way, other_way in ((9.0, 9.0), (10.0, 10.0), (14.0, 7.0)):
            GreenReading.objects.create(
                course=course,
                measured_at=dt.datetime(2026, 6, 1, 23, 30, tzinfo=dt.UTC),
                roll_one_way_ft=[one_way],
                roll_other_way_ft=[other_way],
            )
        in_london, in_dublin = load_putts("UTC").putts, load_putts("Europe/Dublin").putts
    first, second = (dt.date(2026, 6, day).toordinal() for day in (1, 2))
    assert set(in_london.speed_ft[in_london.day == first]) == {9.5}
    assert np.isnan(in_london.speed_ft[in_london.day == second]).all()
    # Half past eleven in the evening in Greenwich is the next day in an Irish summer.
    assert set(in_dublin.speed_ft[in_dublin.day == second]) == {9.5}


def test_putts_on_temporary_greens_stay_out(place: Place) -> None:
    with club_scope(place.club.id):
        play_two_days(place)
        GreenWork.objects.create(
            course=Course.objects.get(),
            kind="other",
            starts_on="2026-05-30",
            ends_on="2026-06-01",
            holes=[4, 5],
            temporary_greens=True,
            uid="a",
        )
        loaded = load_putts("UTC")
        putts = without_temporary_greens(loaded, courses.confirmed_work())
    left_out = set(zip(loaded.putts.day.tolist(), loaded.putts.hole.tolist(), strict=True)) - set(
        zip(putts.day.tolist(), putts.hole.tolist(), strict=True)
    )
    first = dt.date(2026, 6, 1).toordinal()
    assert left_out == {(first, 4), (first, 5)}


def play_two_days(place: Place) -> None:
    rng = np.random.default_rng(3)
    rounds = [simulated_round(rng, place.player, day) for day in days(dt.date(2026, 6, 1), 1, 2)]
    posting.post_rounds(place.manager, rounds)


def test_a_club_without_rounds_has_no_putts(place: Place) -> None:
    with club_scope(place.club.id):
        loaded = load_putts("UTC")
    assert (len(loaded.putts), list(loaded.courses)) == (0, [])


@pytest.mark.parametrize("putter_leaves", [2.0, 12.0])
def test_putt_or_chip_is_told_by_the_clubs_own_shots(place: Place, putter_leaves: float) -> None:
    """From the fringe of cored greens chips finish 6 ft away; the putter nearer, or farther."""
    with club_scope(place.club.id):
        course = Course.objects.get()
        greens.add_work(
            place.greenkeeper, course, GreenWorkBody(kind="coring_medium", starts_on=dt.date(2026, 6, 1))
        )
        third = factories.make_player("Third player")
        for player, day in product((place.player, place.other_player, third), ("2026-06-01", "2026-06-02")):
            body = round_body(player, played_on=day)
            for number, hole in enumerate(body["holes"]):
                putted = number % 2 == 0
                near = [
                    {"lie": "fringe", "distance": 7.0, "club": "Putter" if putted else "SW"},
                    {"lie": "green", "distance": putter_leaves if putted else 6.0},
                ]
                hole["shots"] = hole["shots"][:-2] + near
            posting.post_rounds(place.manager, [RoundInput.model_validate(body)])
        analysis.analyse_pending()
    told = client_of(place.player_member).get(f"/api/v1/courses/{course.id}/around-the-green").json()
    answer = told["strokes_gained"]
    assert answer["n"] == 2 * 3 * 18
    assert (answer["value"] > 0) is (putter_leaves < 6)
