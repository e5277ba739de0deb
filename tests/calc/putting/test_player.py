import dataclasses

import numpy as np
import pytest

from golfstats.calc.putting.likelihood import Putts, log_likelihood, putts_of
from golfstats.calc.putting.player import (
    MINIMUM_PUTTS,
    USUAL_PRIOR,
    SpreadPrior,
    outcome_figures,
    player_spreads,
    pool,
)
from tests.calc.record_builder import hole, record_of
from tests.golfers import hole_out

TRUE_MEAN = np.log([np.radians(1.9), 0.115])
TRUE_COVARIANCE = np.array([[0.25**2, 0.5 * 0.25 * 0.3], [0.5 * 0.25 * 0.3, 0.3**2]])


def play(rng: np.random.Generator, log_spreads: np.ndarray, putts_each: int) -> Putts:
    """Exactly ``putts_each`` putts of every player, first putts mostly from 5 to 40 ft."""
    players = len(log_spreads)
    owner = np.repeat(np.arange(players), putts_each)
    first = np.exp(rng.normal(np.log(15.0), 0.8, len(owner))).clip(1, 90)
    direction_sd, distance_sd = np.exp(log_spreads[owner]).T
    balls = hole_out(first, direction_sd, distance_sd, rng)
    player = owner[balls.ball]
    rank = np.arange(len(player)) - np.searchsorted(player, player)
    keep = rank < putts_each
    hole = balls.ball[keep]
    return Putts(
        player[keep], balls.before_ft[keep], balls.holed[keep], balls.after_ft[keep], hole // 18, hole
    )


def club(rng: np.random.Generator, players: int, putts_each: int) -> tuple[np.ndarray, Putts]:
    log_spreads = rng.multivariate_normal(TRUE_MEAN, TRUE_COVARIANCE, players)
    return log_spreads, play(rng, log_spreads, putts_each)


def one_player(putts: int, degrees: float = 1.5, percent: float = 10.0) -> Putts:
    return play(np.random.default_rng(3), np.log([[np.radians(degrees), percent / 100]]), putts)


def test_many_putts_speak_for_themselves_and_few_stay_near_the_club():
    few = player_spreads(one_player(40, degrees=1.0, percent=7.0))
    many = player_spreads(one_player(2_000, degrees=1.0, percent=7.0))
    assert many.direction.value == pytest.approx(1.0, rel=0.1)
    assert many.distance.value == pytest.approx(7.0, rel=0.1)
    assert many.direction.high - many.direction.low < 0.2
    assert many.distance.high - many.distance.low < 1.5
    assert few.direction.high - few.direction.low > 3 * (many.direction.high - many.direction.low)
    assert many.direction.value < few.direction.value < np.degrees(np.exp(USUAL_PRIOR.mean[0]))


def test_distance_control_is_read_from_what_is_left():
    # The same putts without the distances left say far less about distance control.
    putts = one_player(300)
    blind = dataclasses.replace(putts, leave_ft=np.full(len(putts), np.nan))
    seen_sd = np.sqrt(player_spreads(putts).log_covariance[1, 1])
    blind_sd = np.sqrt(player_spreads(blind).log_covariance[1, 1])
    assert seen_sd < 0.5 * blind_sd


def test_leaves_in_whole_feet_tell_the_same():
    putts = one_player(1_500)
    rounded = dataclasses.replace(
        putts, leave_ft=np.where(putts.holed, 0, np.maximum(np.round(putts.leave_ft), 1))
    )
    exact, whole = player_spreads(putts), player_spreads(rounded)
    assert whole.distance.value == pytest.approx(exact.distance.value, rel=0.02)
    assert whole.direction.value == pytest.approx(exact.direction.value, rel=0.02)


def test_one_wrong_number_does_not_outweigh_a_season():
    putts = one_player(1_000, percent=8.0)
    slip = Putts(
        np.append(putts.player, 0),
        np.append(putts.distance_ft, 4.0),
        np.append(putts.holed, False),
        np.append(putts.leave_ft, 60.0),  # 6.0 with the point forgotten
        np.append(putts.round, putts.round[-1]),
        np.append(putts.hole, putts.hole[-1] + 1),
    )
    assert player_spreads(slip).distance.value == pytest.approx(
        player_spreads(putts).distance.value, rel=0.03
    )


def test_too_few_putts_give_no_number():
    spreads = player_spreads(one_player(MINIMUM_PUTTS - 1))
    assert not spreads.direction.enough
    assert not spreads.distance.enough
    assert spreads.direction.n == MINIMUM_PUTTS - 1
    assert player_spreads(one_player(MINIMUM_PUTTS)).direction.enough
    assert player_spreads(one_player(0)).putts == 0


def test_a_club_without_putts_has_the_usual_prior():
    nothing = pool(one_player(0))
    assert nothing.players == ()
    np.testing.assert_allclose(nothing.prior.mean, USUAL_PRIOR.mean)


def test_players_are_told_apart_in_a_small_club():
    log_spreads = np.log([[np.radians(1.2), 0.09], [np.radians(2.4), 0.09], [np.radians(1.7), 0.18]])
    steady, wild, heavy = pool(play(np.random.default_rng(5), log_spreads, 600)).players
    assert steady.direction.high < wild.direction.low
    assert steady.distance.high < heavy.distance.low
    assert (steady.player, wild.player, heavy.player) == (0, 1, 2)


def test_pooling_then_refitting_one_player_gives_his_figures():
    _, putts = club(np.random.default_rng(6), 12, 150)
    pooled = pool(putts)
    again = player_spreads(putts.select(putts.player == 7), pooled.prior)
    assert again.direction.value == pytest.approx(pooled.players[7].direction.value)
    assert again.distance.value == pytest.approx(pooled.players[7].distance.value)
    # days widen it, by nothing much as these have none
    assert 0.99 < again.distance.high / pooled.players[7].distance.high < 1.1


def test_outcome_figures_narrow_with_putts():
    feet = np.array([5.0, 30.0])
    for spreads in (player_spreads(one_player(60)), player_spreads(one_player(2_000))):
        for row in outcome_figures(spreads, feet):
            for figure in (row.expected_putts, row.one, row.two, row.three_or_more):
                assert figure.low < figure.value < figure.high
            assert row.one.value + row.two.value + row.three_or_more.value == pytest.approx(1.0, abs=1e-5)
    few, many = (outcome_figures(player_spreads(one_player(n)), feet)[1] for n in (60, 2_000))
    assert many.three_or_more.high - many.three_or_more.low < few.three_or_more.high - few.three_or_more.low
    assert not outcome_figures(player_spreads(one_player(5)), feet)[0].one.enough


def test_putts_are_taken_from_the_record_in_feet():
    record = record_of(
        [
            hole(4, [("tee", 400), ("fairway", 150), ("fringe", 9), ("green", 6), ("green", 1)]),
            hole(3, [("tee", 150), ("green", 10)], round=1, holed=False),
        ],
        rounds=[{"player": 2}, {"player": 5}],
    )
    putts = putts_of(record)
    assert putts.player.tolist() == [2, 2, 5]
    assert putts.distance_ft.tolist() == [18.0, 3.0, 30.0]
    assert putts.holed.tolist() == [False, True, False]
    assert putts.round.tolist() == [0, 0, 1]
    assert putts.hole.tolist() == [0, 0, 1]
    np.testing.assert_array_equal(putts.leave_ft, [3.0, 0.0, np.nan])


@pytest.mark.slow
@pytest.mark.parametrize("putts_each", [40, 200])
def test_intervals_cover_the_truth(putts_each):
    # 5 clubs of 400 players, so that the sampling error of the coverage itself is 0.7%.
    rng = np.random.default_rng(2_026)
    inside = []
    for _ in range(5):
        log_spreads, putts = club(rng, 400, putts_each)
        truth = np.exp(log_spreads) * [180 / np.pi, 100]
        for player, (degrees, percent) in zip(pool(putts).players, truth, strict=True):
            inside.append(
                [
                    player.direction.low <= degrees <= player.direction.high,
                    player.distance.low <= percent <= player.distance.high,
                ]
            )
    direction, distance = np.mean(inside, axis=0)
    assert 0.87 <= direction <= 0.93
    assert 0.87 <= distance <= 0.93


@pytest.mark.slow
@pytest.mark.parametrize(("putts_each", "direction_gain", "distance_gain"), [(40, 0.6, 0.7), (200, 0.9, 0.9)])
def test_partial_pooling_beats_no_pooling(putts_each, direction_gain, distance_gain):
    log_spreads, putts = club(np.random.default_rng(2_027), 400, putts_each)
    no_prior = SpreadPrior(USUAL_PRIOR.mean, 100.0 * np.eye(2))
    alone = np.array(
        [player_spreads(putts.select(putts.player == player), no_prior).log_mean for player in range(400)]
    )
    pooled = np.array([player.log_mean for player in pool(putts).players])
    error = [np.mean((estimate - log_spreads) ** 2, axis=0) for estimate in (pooled, alone)]
    assert error[0][0] < direction_gain * error[1][0]
    assert error[0][1] < distance_gain * error[1][1]


def test_likelihood_peaks_at_the_spreads_that_played():
    putts = one_player(4_000, degrees=2.0, percent=12.0)
    log_likelihood_grid = log_likelihood(putts)
    assert log_likelihood_grid.shape[0] == 1
    wide = SpreadPrior(USUAL_PRIOR.mean, 100.0 * np.eye(2))
    spreads = player_spreads(putts, wide)
    assert spreads.direction.value == pytest.approx(2.0, rel=0.06)
    assert spreads.distance.value == pytest.approx(12.0, rel=0.05)
