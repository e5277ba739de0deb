"""The demo club: a sound description, every kind of round, and stories that are really in the golf."""

import json
from collections import Counter
from datetime import date
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.simulate.reporting import Detail
from golfstats.calc.simulate.season import play_season
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissSide
from tests.golfers import hole_out

CLUB = json.loads((Path(__file__).parents[3] / "demo_fixtures" / "club.json").read_text("utf-8"))
NAMES = [player["name"] for player in CLUB["players"]]
TEE_SETS = [(course["name"], tee) for course in CLUB["courses"] for tee in course["tee_sets"]]


@pytest.fixture(scope="module")
def season():
    return play_season(CLUB)


def round_of(season, name, day):
    return next(
        row
        for row, one in enumerate(season.rounds)
        if one.player == name and one.played_on.isoformat() == day
    )


def round_of_first(season, day, course):
    """Row of the first round on a course from a day on."""
    return next(row for row, one in enumerate(season.rounds) if one.played_on >= day and one.course == course)


def player_of_shots(season):
    record = season.truth
    return record.rounds.player[record.shots.round]


@pytest.mark.parametrize(
    ("course", "tee"), TEE_SETS, ids=[f"{name}, {tee['name']}" for name, tee in TEE_SETS]
)
@pytest.mark.parametrize("gender", ["men", "women"])
def test_tee_sets_are_whole(course, tee, gender):
    """Stroke indexes are a permutation, with odd numbers on the front nine of 18 (Rules of Handicapping, Appendix E);
    slope 55 to 155, and the nines' course ratings add up to the course's (Appendix G).
    """
    holes = tee["holes"]
    index = [hole[f"stroke_index_{gender}"] for hole in holes]
    assert sorted(index) == list(range(1, len(holes) + 1))
    ratings = {r["section"]: r for r in tee["ratings"] if r["gender"] == gender}
    assert all(55 <= rating["slope_rating"] <= 155 for rating in ratings.values())
    pars = [hole[f"par_{gender}"] for hole in holes]
    assert ratings["front"]["par"] == sum(pars[:9])
    if len(holes) == 18:
        assert all(value % 2 == 1 for value in index[:9])
        assert min(index[3:6]) == 1
        assert min(index[12:15]) == 2
        assert not any(a <= 6 and b <= 6 for a, b in pairwise(index))
        assert ratings["18"]["par"] == sum(pars)
        nines = ratings["front"]["course_rating"] + ratings["back"]["course_rating"]
        assert ratings["18"]["course_rating"] == pytest.approx(nines)


def test_everybody_and_everything_named_exists():
    staff = {person["name"] for person in CLUB["staff"]}
    for squad in CLUB["squads"]:
        assert set(squad["players"]) <= set(NAMES)
        assert set(squad["coaches"]) <= staff
    signed_in = [person["username"] for person in CLUB["staff"] + CLUB["players"]]
    assert len(set(signed_in)) == len(signed_in)
    courses = {course["name"] for course in CLUB["courses"]}
    for entry in CLUB["green_work"] + CLUB["green_readings"] + CLUB["events"]:
        assert entry["course"] in courses
    assert {work["kind"] for work in CLUB["green_work"]} <= set(work_types())


def test_twelve_players_play_fourteen_months(season):
    assert len(NAMES) == 12
    assert len(season.rounds) == len(season.truth.rounds) == sum(p["rounds"] for p in CLUB["players"])
    days = [one.played_on for one in season.rounds]
    assert days == sorted(days)
    assert (days[-1] - days[0]).days > 13 * 30
    assert len({(one.player, one.played_on) for one in season.rounds}) == len(season.rounds)


def test_every_kind_of_round_occurs(season):
    assert {one.detail for one in season.rounds} == set(Detail)
    kinds = Counter((one.course, one.section, one.holes) for one in season.rounds)
    assert kinds[("Long Course", "18", 18)] > 400
    for kind in (("Long Course", "front", 9), ("Long Course", "back", 9), ("Orchard Nine", "front", 9)):
        assert kinds[kind] > 10
    assert kinds[("Long Course", "18", 14)] > 5
    assert all(bool(one.reason_for_missing_holes) == (one.holes == 14) for one in season.rounds)
    assert season.written.holes.picked_up.sum() > 5
    assert (season.written.holes.putts == UNKNOWN).any()
    assert any(one.competition for one in season.rounds)
    assert not all(one.counting for one in season.rounds)


def test_scores_rank_the_players_by_handicap(season):
    holes = season.truth.holes
    over = np.bincount(holes.round, weights=holes.score - holes.par) / np.bincount(holes.round)
    mean = [over[season.truth.rounds.player == row].mean() for row in range(12)]
    handicaps = [player["handicap"] for player in CLUB["players"]]
    assert np.corrcoef(mean, handicaps)[0, 1] > 0.97


def test_the_same_description_gives_the_same_season(season):
    again = play_season(CLUB)
    assert again.rounds == season.rounds
    assert np.array_equal(again.written.shots.distance, season.written.shots.distance)
    other = play_season({**CLUB, "seed": CLUB["seed"] + 1})
    assert other.rounds != season.rounds


def test_only_the_greens_worked_on_are_disturbed_and_only_afterwards(season):
    before = [one.played_on < date(2025, 10, 13) for one in season.rounds]
    assert (season.disturbance[before] == 0).all()
    assert season.disturbance[round_of(season, "Emre Karaboğa", "2026-11-12")].min() > 0.6
    repaired = round_of_first(season, date(2026, 8, 17), "Long Course")
    assert (season.disturbance[repaired, [6, 11]] > 0).all()
    assert season.disturbance[repaired, 0] == 0
    orchard = [one.course == "Orchard Nine" and one.played_on > date(2026, 10, 20) for one in season.rounds]
    assert any(orchard)
    assert (season.disturbance[orchard] == 0).all()


def expected_putts(season, row, spread_factor):
    """Mean number of putts over the round from where its first putts lay, by the true golfer."""
    golfer = season.golfers[NAMES.index(season.rounds[row].player)]
    shots = season.truth.shots
    on_green = (shots.lie == Lie.GREEN) & (shots.round == row)
    first = on_green & ((shots.number == 1) | (np.roll(shots.lie, 1) != Lie.GREEN))
    feet = np.repeat(3 * shots.distance[first], 400)
    putts = hole_out(
        feet,
        golfer.putting_direction_sd * spread_factor,
        golfer.putting_distance_sd * spread_factor,
        np.random.default_rng(1),
    )
    return len(putts) / 400


def test_one_poor_putting_round_was_mostly_the_greens_and_one_was_not(season):
    widening = CLUB["truth"]["putting_spread_at_full_disturbance"]
    for name, day, mostly in (
        ("Emre Karaboğa", "2026-11-12", True),
        ("Pádraic Duignan", "2026-10-24", False),
    ):
        row = round_of(season, name, day)
        assert season.rounds[row].detail == Detail.SHOTS
        usual = expected_putts(season, row, 1.0)
        on_the_day = expected_putts(season, row, 1.0 + widening * season.disturbance[row].mean())
        taken = season.truth.holes.putts[season.truth.holes.round == row].sum()
        assert taken - usual > 2.0
        assert ((on_the_day - usual) / (taken - usual) > 0.5) == mostly


def test_the_new_ball_flies_straighter(season):
    shots = season.truth.shots
    drives = (
        (player_of_shots(season) == NAMES.index("Kwabena Asiedu-Frost"))
        & (shots.number == 1)
        & (shots.par > 3)
    )
    new = np.array([one.ball == "green box" for one in season.rounds])[shots.round]
    assert shots.offline[drives & new].std() < 0.9 * shots.offline[drives & ~new].std()


def test_the_wedges_get_better(season):
    shots = season.truth.shots
    wedges = (
        (player_of_shots(season) == NAMES.index("Noor Haddadin"))
        & ~np.isin(shots.lie, (Lie.TEE, Lie.GREEN))
        & (shots.distance >= 50)
        & (shots.distance <= 125)
    )
    day = season.truth.rounds.day[shots.round]
    early = wedges & (day < date(2026, 3, 1).toordinal())
    late = wedges & (day > date(2026, 8, 1).toordinal())
    assert np.median(shots.distance_after[late]) < 0.85 * np.median(shots.distance_after[early])


def test_the_under_reader_misses_low(season):
    shots, player = season.truth.shots, player_of_shots(season)
    low, high = shots.miss_side == MissSide.LOW, shots.miss_side == MissSide.HIGH
    share = [low[player == row].sum() / (low | high)[player == row].sum() for row in range(12)]
    assert int(np.argmax(share)) == NAMES.index("Yuzuki Moritani")
    assert max(share) > 0.75
