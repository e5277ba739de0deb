"""Priorities: worked cases, the recovery of a planted weakness, and what closing a gap would do."""

import numpy as np
import pytest

from golfstats.calc.coaching.priorities import (
    JudgedShots,
    band_priorities,
    effect_of_closing,
    part_priorities,
)
from golfstats.calc.vocabulary import Part

# part, band, shots a round, standard deviation of a shot's strokes gained (common practice, no source)
GROUPS = [
    (Part.TEE, 0, 4.0, 0.35),
    (Part.TEE, 1, 10.0, 0.45),
    (Part.APPROACH, 0, 2.0, 0.50),
    (Part.APPROACH, 1, 3.0, 0.55),
    (Part.APPROACH, 2, 4.0, 0.62),
    (Part.APPROACH, 3, 3.0, 0.70),
    (Part.APPROACH, 4, 2.0, 0.75),
    (Part.SHORT_GAME, 0, 2.0, 0.40),
    (Part.SHORT_GAME, 1, 4.0, 0.45),
    (Part.SHORT_GAME, 2, 1.5, 0.70),
    (Part.PUTTING, 0, 11.0, 0.15),
    (Part.PUTTING, 1, 7.0, 0.40),
    (Part.PUTTING, 2, 8.0, 0.35),
    (Part.PUTTING, 3, 4.0, 0.45),
]


def simulated(generator, weakness=None, size=0.0, rounds=40):
    """A player who loses 0 to 0.1 strokes a round in every band, and ``size`` more in one of them."""
    strokes_gained, part, band, round = [], [], [], []
    form = generator.normal(0, 0.05, rounds)
    for number, (group_part, group_band, frequency, deviation) in enumerate(GROUPS):
        row = np.repeat(np.arange(rounds), generator.poisson(frequency, rounds))
        lost = generator.uniform(0, 0.1) + (size if number == weakness else 0.0)
        noise = -deviation * (generator.gamma(2, 1, len(row)) - 2) / np.sqrt(2)  # bad shots cost more
        strokes_gained.append(noise + form[row] - lost / frequency)
        part.append(np.full(len(row), group_part))
        band.append(np.full(len(row), group_band))
        round.append(row)
    round = np.concatenate(round)
    hole = 18 * round + generator.integers(0, 18, len(round))
    return JudgedShots(
        np.concatenate(strokes_gained),
        np.concatenate(part),
        np.concatenate(band),
        round,
        hole,
        np.full(rounds, 18.0),
    )


def shots_of(strokes_gained, round, holes, part=Part.APPROACH, band=0):
    n = len(strokes_gained)
    return JudgedShots(
        np.asarray(strokes_gained, dtype=float),
        np.full(n, part),
        np.full(n, band),
        np.asarray(round),
        np.zeros(n, dtype=int),
        np.asarray(holes, dtype=float),
    )


def test_strokes_to_gain_are_frequency_times_gap():
    """Two shots a round, each losing 0.25: half a stroke a round, without any doubt."""
    shots = shots_of(np.full(12, -0.25), np.repeat(np.arange(6), 2), np.full(6, 18))
    (priority,) = part_priorities(shots)
    assert priority.shots_a_round == 2
    assert priority.gap.value == pytest.approx(0.25)
    assert priority.to_gain.value == pytest.approx(0.5)
    assert priority.to_gain.low == pytest.approx(priority.to_gain.high)
    assert priority.chance == 1.0


def test_nine_holes_count_as_half_a_round():
    shots = shots_of(np.full(12, -0.25), np.repeat(np.arange(6), 2), np.full(6, 9))
    (priority,) = part_priorities(shots)
    assert priority.to_gain.value == pytest.approx(1.0)


def test_interval_is_that_of_round_totals():
    """With full rounds the ratio estimator is the mean of the rounds' losses with Student's interval."""
    generator = np.random.default_rng(1)
    shots = simulated(generator)
    (tee, *_) = [p for p in part_priorities(shots) if p.part == Part.TEE]
    rows = shots.part == Part.TEE
    lost = -np.bincount(shots.round[rows], weights=shots.strokes_gained[rows], minlength=40)
    half = 1.684875 * np.std(lost, ddof=1) / np.sqrt(40)  # t quantile, 39 degrees of freedom, from tables
    assert tee.to_gain.value == pytest.approx(np.mean(lost))
    assert tee.to_gain.high - tee.to_gain.value == pytest.approx(half, rel=1e-4)


def test_large_and_certain_comes_before_larger_and_doubtful_and_too_few_comes_last():
    generator = np.random.default_rng(2)
    round = np.repeat(np.arange(10), 2)
    certain = generator.normal(-0.3, 0.05, 20)
    doubtful = np.where(np.arange(20) == 7, -7.5, -0.02)
    few = np.full(9, -3.0)
    shots = JudgedShots(
        np.r_[doubtful, few, certain],
        np.full(49, Part.APPROACH),
        np.r_[np.zeros(20, dtype=int), np.full(9, 1), np.full(20, 2)],
        np.r_[round, np.arange(9), round],
        np.zeros(49, dtype=int),
        np.full(10, 18.0),
    )
    order = band_priorities(shots)
    assert [p.band for p in order] == [2, 0, 1]
    assert order[1].to_gain.value > order[0].to_gain.value
    assert not order[2].to_gain.enough


def test_parts_add_up_to_what_the_player_loses_in_all():
    shots = simulated(np.random.default_rng(3))
    total = -np.sum(shots.strokes_gained) / 40
    assert sum(p.to_gain.value for p in part_priorities(shots)) == pytest.approx(total)
    assert sum(p.to_gain.value for p in band_priorities(shots)) == pytest.approx(total)


def test_shots_not_judged_and_shots_without_a_band_are_left_out():
    shots = shots_of(
        np.r_[np.full(12, -0.25), np.nan], np.r_[np.repeat(np.arange(6), 2), 0], np.full(6, 18), band=-1
    )
    assert band_priorities(shots) == []
    assert part_priorities(shots)[0].to_gain.n == 12


@pytest.mark.parametrize(("size", "share"), [(0.5, 0.8), (0.8, 0.95)])
def test_planted_weakness_is_the_first_priority(size, share):
    """140 players with 40 rounds who lose half a stroke (0.8) a round more in one of 14 bands."""
    generator = np.random.default_rng(4)
    hits = []
    for weakness in range(len(GROUPS)):
        for _ in range(10):
            first = band_priorities(simulated(generator, weakness, size))[0]
            hits.append((first.part, first.band) == GROUPS[weakness][:2])
    assert np.mean(hits) >= share


def test_planted_weak_part_is_the_first_of_the_parts():
    generator = np.random.default_rng(5)
    hits = [
        part_priorities(simulated(generator, weakness, 0.9))[0].part == GROUPS[weakness][0]
        for weakness in range(len(GROUPS))
        for _ in range(20)
    ]
    assert np.mean(hits) >= 0.8


def test_intervals_cover_the_strokes_lost():
    generator = np.random.default_rng(6)
    covered = []
    for _ in range(200):
        shots = simulated(generator, 4, 0.6, rounds=25)
        (band,) = [p for p in band_priorities(shots) if (p.part, p.band) == (Part.APPROACH, 2)]
        covered.append(band.to_gain.low <= 0.65 <= band.to_gain.high)
    assert 0.86 <= np.mean(covered) <= 0.94


def mean_over_par(scores):
    """A stand-in for the handicap rules: the mean score of a round less 72."""
    return float(np.mean(scores.reshape(-1, 18).sum(axis=1))) - 72


def replay(seed=7, share=1.0, weakness=4, size=0.7):
    shots = simulated(np.random.default_rng(8), weakness, size)
    (priority,) = [p for p in band_priorities(shots) if (p.part, p.band) == GROUPS[weakness][:2]]
    scores = np.random.default_rng(9).integers(3, 7, 40 * 18)
    effect = effect_of_closing(shots, priority, scores, mean_over_par, np.random.default_rng(seed), share)
    return priority, effect


def test_closing_the_whole_gap_saves_what_there_was_to_gain():
    priority, effect = replay()
    assert effect.fewer_strokes.value == pytest.approx(priority.to_gain.value, abs=0.05)
    assert effect.index_before - effect.index_after.value == pytest.approx(effect.fewer_strokes.value)
    assert effect.fewer_strokes.low < effect.fewer_strokes.value < effect.fewer_strokes.high


def test_closing_half_the_gap_saves_half():
    _, whole = replay(share=1.0)
    _, half = replay(share=0.5)
    assert half.fewer_strokes.value == pytest.approx(whole.fewer_strokes.value / 2, abs=0.05)


def test_replayed_scores_are_whole_strokes_and_nobody_holes_out_in_none():
    shots = simulated(np.random.default_rng(10), 1, 8.0)
    (priority,) = [p for p in band_priorities(shots) if (p.part, p.band) == (Part.TEE, 1)]
    seen = []

    def remember(scores):
        seen.append(scores)
        return 0.0

    effect_of_closing(
        shots, priority, np.ones(40 * 18, dtype=int), remember, np.random.default_rng(0), replays=5
    )
    assert all(np.issubdtype(scores.dtype, np.integer) and np.min(scores) >= 1 for scores in seen)


def test_a_part_in_which_the_player_is_better_than_the_benchmark_saves_nothing():
    _, effect = replay(size=-0.4)
    assert effect.fewer_strokes.value == 0
    assert effect.index_after.value == pytest.approx(effect.index_before)


def test_index_unknown_after_the_change_is_no_number():
    shots = simulated(np.random.default_rng(8), 4, 0.7)
    effect = effect_of_closing(
        shots, band_priorities(shots)[0], np.full(720, 5), lambda _: None, np.random.default_rng(0)
    )
    assert effect.fewer_strokes.enough
    assert not effect.index_after.enough
    assert effect.words("approaches", "a 2-handicap").endswith("fewer strokes a round")
    halfway = effect.words("approaches", "a 2-handicap", share=0.5)
    assert halfway.startswith("approaches with 50% of the gap to a 2-handicap closed: ")


def test_same_seed_gives_the_same_effect():
    assert replay(seed=3)[1] == replay(seed=3)[1]


def test_share_must_be_a_share():
    with pytest.raises(ValueError, match="share"):
        replay(share=1.5)


def test_effect_in_words():
    _, effect = replay()
    saved, after = f"{effect.fewer_strokes.value:.1f}", f"{effect.index_after.value:.1f}"
    words = effect.words("approaches from 75–125 yards", "a 2-handicap")
    assert words == (
        f"approaches from 75–125 yards as a 2-handicap: {saved} fewer strokes a round, "
        f"index {effect.index_before:.1f} → {after}"
    )


def test_effect_of_too_few_shots_is_no_number():
    shots = shots_of(np.full(6, -1.0), np.arange(6), np.full(6, 18))
    (priority,) = band_priorities(shots)
    effect = effect_of_closing(shots, priority, np.full(108, 4), mean_over_par, np.random.default_rng(0))
    assert not effect.fewer_strokes.enough
    assert not effect.index_after.enough
    assert effect.words("chips", "a scratch player") == "chips as a scratch player: too few shots"
