"""Patterns learnt from full swings of players whose patterns are known."""

from dataclasses import replace

import numpy as np
import pytest

from golfstats.calc.plan.shots.learn import (
    CLUB_BIAS_SD,
    CLUB_LENGTH_SD,
    CLUB_SPREAD_SD,
    PLAYER_BIAS_SD,
    PLAYER_LENGTH_SD,
    PLAYER_SPREAD_SD,
    Swings,
    learn,
    swings_of,
)
from golfstats.calc.plan.shots.pattern import Bag, drawn_errors, finish
from golfstats.calc.plan.shots.prior import usual_bag
from golfstats.calc.vocabulary import Lie
from tests.calc.record_builder import hole, record_of

PRIOR = usual_bag(12)
CLUBS = len(PRIOR.clubs)
USE = np.array([14, 4, 3, 3, 3, 4, 4, 5, 5, 6, 4, 4, 2]) / 61


def some_player(rng) -> Bag:
    """A player drawn from the prior."""
    shared = rng.standard_normal(4) * [PLAYER_LENGTH_SD, PLAYER_SPREAD_SD, PLAYER_BIAS_SD, PLAYER_SPREAD_SD]
    clubs = []
    for club in PRIOR.clubs:
        own = shared + rng.standard_normal(4) * [CLUB_LENGTH_SD, CLUB_SPREAD_SD, CLUB_BIAS_SD, CLUB_SPREAD_SD]
        clubs.append(
            replace(
                club,
                length=club.length * np.exp(own[0]),
                along=club.along * np.exp(own[1]),
                bias=own[2],
                across=club.across * np.exp(own[3]),
            )
        )
    return replace(PRIOR, clubs=tuple(clubs))


def swings(bag: Bag, n: int, rng) -> Swings:
    club = rng.choice(CLUBS, n, p=USE)
    length, along, across, bias = (
        np.array([getattr(c, name) for c in bag.clubs])[club]
        for name in ("length", "along", "across", "bias")
    )
    x, y = finish(along * length, across * length, np.full(n, bag.mishit), length, drawn_errors(n, rng))
    return Swings(club, length + x, y + bias * length, np.full(n, int(Lie.FAIRWAY)), np.arange(n) // 15)


def test_without_swings_the_bag_is_the_usual_one():
    learnt = learn(
        PRIOR, Swings(np.zeros(0, int), np.zeros(0), np.zeros(0), np.zeros(0, int), np.zeros(0, int))
    )
    for own, usual in zip(learnt.bag.clubs, PRIOR.clubs, strict=True):
        assert own.length == pytest.approx(usual.length)
        assert own.shots == 0
        # What is not known of the length and the bias scatters the shots one plans for.
        assert own.along == pytest.approx(
            np.sqrt(usual.along**2 + PLAYER_LENGTH_SD**2 + CLUB_LENGTH_SD**2), rel=1e-3
        )
    assert learnt.mishit == pytest.approx(PRIOR.mishit)
    assert not learnt.figures(0)["length"].enough


def test_a_club_without_shots_learns_from_the_others():
    rng = np.random.default_rng(8)
    longer = PRIOR.scaled(length=1.10)
    few = swings(longer, 400, rng)
    without_driver = few.select(few.club != 0)
    learnt = learn(PRIOR, without_driver)
    driver = float(np.exp(learnt.length_mean[0]))
    assert driver == pytest.approx(1.10 * PRIOR.drive, rel=0.02)
    # But less is known of it than of a club that was played.
    spread = np.sqrt(np.diag(learnt.length_covariance))
    assert spread[0] > 2 * spread[9]


def test_many_swings_tell_the_player():
    rng = np.random.default_rng(21)
    player = some_player(rng)
    bag = learn(PRIOR, swings(player, 6000, rng)).bag
    for own, true in zip(bag.clubs, player.clubs, strict=True):
        assert own.length == pytest.approx(true.length, rel=0.02)
        assert own.bias == pytest.approx(true.bias, abs=np.radians(1.0))
        assert own.across == pytest.approx(true.across, rel=0.2)
        assert own.along == pytest.approx(true.along, rel=0.2)
    assert bag.mishit == pytest.approx(player.mishit, abs=0.012)


def test_more_swings_leave_less_unknown():
    rng = np.random.default_rng(3)
    player = some_player(rng)
    all_swings = swings(player, 800, rng)
    few, many = learn(PRIOR, all_swings.select(np.arange(60))), learn(PRIOR, all_swings)
    assert np.all(np.diag(many.length_covariance) < np.diag(few.length_covariance))
    assert many.figures(0)["length"].n > 150


def test_draws_have_the_covariance_that_is_claimed():
    learnt = learn(PRIOR, swings(PRIOR, 200, np.random.default_rng(2)))
    draws = learnt.draws(600, np.random.default_rng(1))
    logs = np.log([[club.length for club in bag.clubs] for bag in draws])
    claimed = np.sqrt(np.diag(learnt.length_covariance))[:CLUBS]
    np.testing.assert_allclose(logs.std(axis=0), claimed, rtol=0.12)


def covered(players: int, seed: int):
    rng = np.random.default_rng(seed)
    hits = np.zeros(4)
    for _ in range(players):
        player = some_player(rng)
        learnt = learn(PRIOR, swings(player, int(rng.choice([30, 150, 600])), rng))
        truth = np.concatenate(
            [
                np.log([(c.length, c.along) for c in player.clubs]).T.ravel(),
                np.array([(c.bias, np.log(c.across)) for c in player.clubs]).T.ravel(),
            ]
        )
        mean = np.concatenate([learnt.length_mean, learnt.direction_mean])
        sd = np.sqrt(
            np.concatenate([np.diag(learnt.length_covariance), np.diag(learnt.direction_covariance)])
        )
        hits += (np.abs(truth - mean) <= 1.6449 * sd).reshape(4, CLUBS).mean(axis=1)
    return hits / players


@pytest.mark.slow
def test_ninety_percent_intervals_cover_ninety_percent():
    # Length, its spread, bias and spread of the direction, over players drawn from the prior: 90 ± 3%.
    for share in covered(players=500, seed=90):
        assert 0.87 <= share <= 0.93


def test_intervals_cover_about_as_they_should():
    for share in covered(players=25, seed=4):
        assert 0.80 <= share <= 0.97


def test_drives_of_a_day_that_pulls_say_less_than_drives_of_many_days():
    """The same forty drives: four days that each go their own way, or forty of them."""
    rng = np.random.default_rng(6)
    day = np.repeat([-3.0, -1.0, 1.0, 3.0], 10)
    angle = np.radians(day + 0.5 * rng.standard_normal(40))
    drives = np.zeros(40, int), 220 + 8 * rng.standard_normal(40), 220 * np.sin(angle), np.ones(40, int)
    of_few, of_many = (
        learn(PRIOR, Swings(*drives, round)).figures(0)["bias"]
        for round in (np.repeat(np.arange(4), 10), np.arange(40))
    )
    assert of_few.value == of_many.value
    assert of_few.high - of_few.low > 2 * (of_many.high - of_many.low)


def test_swings_are_read_from_a_record():
    full = {"club": 6, "swing": "full", "travel": 150.0, "offline": -4.0}
    shots = [
        ("tee", 400, {"club": 0, "swing": "full", "travel": 230.0, "offline": 8.0}),
        ("fairway", 165, full),
    ]
    record = record_of([hole(4, [*shots, ("fringe", 20, {"club": 11, "swing": "part"}), ("green", 2)])])
    found = swings_of(record, {0: 0, 6: 6, 11: 11})
    assert found.club.tolist() == [0, 6]
    assert found.length.tolist() == [230.0, 150.0]
    assert found.aside.tolist() == [8.0, -4.0]
    assert found.lie.tolist() == [Lie.TEE, Lie.FAIRWAY]
    assert found.round.tolist() == [0, 0]
