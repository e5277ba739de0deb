"""Priorities: worked cases, the recovery of a planted weakness, and what closing a gap would do."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from golfstats.calc.coaching import priorities
from golfstats.calc.coaching.effects import (
    Due,
    HolesPlayed,
    effects_of_closing,
    expected_shots,
    saved_by_hole,
)
from golfstats.calc.coaching.priorities import JudgedShots, autocorrelation_stretch
from golfstats.calc.figure import Figure
from golfstats.calc.units import Unit
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


def part_priorities(shots, seed=0):
    return priorities.part_priorities(shots, np.random.default_rng(seed))


def band_priorities(shots, seed=0):
    return priorities.band_priorities(shots, np.random.default_rng(seed))


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
    """Two shots a round, each losing 0.25: half a stroke a round. That all agreed does not make it certain."""
    shots = shots_of(np.full(12, -0.25), np.repeat(np.arange(6), 2), np.full(6, 18))
    (priority,) = part_priorities(shots)
    assert priority.shots_a_round == 2
    assert priority.gap.value == pytest.approx(0.25)
    assert priority.measured.value == pytest.approx(0.5)
    unseen = stats.binomtest(0, 12).proportion_ci(0.90, "exact").high
    assert priority.measured.high - priority.measured.value == pytest.approx(2 * unseen)
    assert priority.measured.value - priority.measured.low == pytest.approx(2 * unseen)
    assert priority.gap.high - priority.gap.low == pytest.approx(2 * unseen)
    assert priority.to_gain.value == pytest.approx(0.5, abs=0.05)
    assert 0.9 < priority.chance < 1
    assert (priority.rank, priority.tied, priority.chance_first) == (1, False, 1.0)


def test_nine_holes_count_as_half_a_round():
    shots = shots_of(np.full(12, -0.25), np.repeat(np.arange(6), 2), np.full(6, 9))
    (priority,) = part_priorities(shots)
    assert priority.measured.value == pytest.approx(1.0)


def test_measured_interval_is_that_of_round_totals():
    """With full rounds the ratio estimator is the mean of the rounds' losses with Student's interval."""
    generator = np.random.default_rng(1)
    shots = simulated(generator)
    (tee, *_) = [p for p in part_priorities(shots) if p.part == Part.TEE]
    rows = shots.part == Part.TEE
    lost = -np.bincount(shots.round[rows], weights=shots.strokes_gained[rows], minlength=40)
    parts = np.stack(
        [
            np.bincount(shots.round, weights=-shots.strokes_gained * (shots.part == part), minlength=40)
            for part in range(4)
        ],
        axis=1,
    )
    error = np.std(lost, ddof=1) / np.sqrt(40) * np.sqrt(autocorrelation_stretch(parts - parts.mean(axis=0)))
    half = 1.684875 * error  # t quantile, 39 degrees of freedom, from tables
    assert tee.measured.value == pytest.approx(np.mean(lost))
    assert tee.measured.high - tee.measured.value == pytest.approx(half, rel=1e-4)


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
    assert order[1].measured.value > order[0].measured.value
    assert not order[2].to_gain.enough


def test_parts_add_up_to_what_the_player_loses_in_all():
    shots = simulated(np.random.default_rng(3))
    total = -np.sum(shots.strokes_gained) / 40
    assert sum(p.measured.value for p in part_priorities(shots)) == pytest.approx(total)
    assert sum(p.measured.value for p in band_priorities(shots)) == pytest.approx(total)


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
    covered, believed = [], []
    for _ in range(200):
        shots = simulated(generator, 4, 0.6, rounds=25)
        (band,) = [p for p in band_priorities(shots) if (p.part, p.band) == (Part.APPROACH, 2)]
        covered.append(band.measured.low <= 0.65 <= band.measured.high)
        believed.append(band.to_gain.low <= 0.65 <= band.to_gain.high)
    assert 0.86 <= np.mean(covered) <= 0.94
    assert np.mean(believed) >= 0.88


PARS = np.tile([4, 4, 3, 5, 4, 4, 3, 4, 5], 2)


def holes_of(scores):
    return HolesPlayed(np.asarray(scores), np.arange(len(scores)) // 18, np.resize(PARS, len(scores)))


def mean_over_par(scores):
    """A stand-in for the handicap rules: the mean score of a round less 72."""
    return lambda fewer: np.mean((scores - fewer).reshape(len(fewer), -1, 18).sum(axis=2), axis=1) - 72


def test_groups_that_nothing_tells_apart_share_a_rank():
    """Fourteen bands that lose alike, and one of them a stroke a round more."""
    alike = band_priorities(simulated(np.random.default_rng(12)))
    assert {p.rank for p in alike[:5]} == {1}
    assert alike[0].tied
    assert sum(p.chance_first for p in alike) == pytest.approx(1)
    assert alike[0].chance_first < 0.6
    first, second, *_ = band_priorities(simulated(np.random.default_rng(13), 4, 1.5))
    assert (first.part, first.band, first.rank, first.tied) == (Part.APPROACH, 2, 1, False)
    assert first.chance_first > 0.9
    assert second.rank > 1


def test_the_worst_looking_of_equal_groups_is_drawn_towards_the_others():
    first = max(
        band_priorities(simulated(np.random.default_rng(14), rounds=15)), key=lambda p: p.measured.value
    )
    assert first.to_gain.value < first.measured.value


def test_the_same_shots_against_a_peer_stand_beside():
    shots = simulated(np.random.default_rng(15))
    beside = replace(shots, peer_gained=shots.strokes_gained + 0.1)
    for found in band_priorities(beside):
        assert found.against_peer.value == pytest.approx(found.measured.value - 0.1 * found.shots_a_round)
    assert band_priorities(shots)[0].against_peer is None


def test_rounds_that_remember_say_less():
    """(1 + r) / (1 - r) for a first-order process, any book on time series; 1 for independent rounds."""
    generator = np.random.default_rng(16)
    independent = generator.standard_normal((4000, 3))
    assert autocorrelation_stretch(independent) == pytest.approx(1, abs=0.06)
    remembering = independent.copy()
    for row in range(1, 4000):
        remembering[row] += 0.5 * remembering[row - 1]
    assert autocorrelation_stretch(remembering) == pytest.approx(3, abs=0.3)


def replay(seed=7, share=1.0, weakness=4, size=0.7):
    shots = simulated(np.random.default_rng(8), weakness, size)
    (priority,) = [p for p in band_priorities(shots) if (p.part, p.band) == GROUPS[weakness][:2]]
    scores = np.random.default_rng(9).integers(3, 7, 40 * 18)
    (effect,) = effects_of_closing(
        shots, [priority], holes_of(scores), mean_over_par(scores), [np.random.default_rng(seed)], share
    )
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


def test_replayed_strokes_are_whole_and_nobody_holes_out_in_none():
    shots = simulated(np.random.default_rng(10), 1, 8.0)
    (priority,) = [p for p in band_priorities(shots) if (p.part, p.band) == (Part.TEE, 1)]
    seen = []

    def remember(fewer):
        seen.append(fewer)
        return np.zeros(len(fewer))

    effects_of_closing(
        shots, [priority], holes_of(np.full(40 * 18, 2)), remember, [np.random.default_rng(0)], replays=5
    )
    assert all(np.issubdtype(fewer.dtype, np.integer) and np.max(fewer) <= 1 for fewer in seen)


def test_effects_of_several_are_those_of_each_alone():
    """One replay of the record for all of them; one with too few shots among them takes nothing from the others."""
    shots = simulated(np.random.default_rng(8), 4, 0.7)
    scores = np.random.default_rng(9).integers(3, 7, 40 * 18)
    first, second, *_ = band_priorities(shots)
    unknown = replace(second, to_gain=Figure.too_few(3, 10, Unit.STROKES_A_ROUND))

    def effects(priorities):
        generators = [np.random.default_rng(3) for _ in priorities]
        return effects_of_closing(shots, priorities, holes_of(scores), mean_over_par(scores), generators)

    together = effects([first, unknown, second])
    assert together == [*effects([first]), *effects([unknown]), *effects([second])]
    assert not together[1].index_after.enough
    assert effects([]) == []


def test_rounds_that_nothing_rests_on_can_be_left_out():
    """Of forty rounds the last ten, counted anew: the same as if there had been no others."""
    shots = simulated(np.random.default_rng(8), 4, 0.7)
    recent = shots.round >= 30
    late = shots.since(30, 30 * 18)
    assert late.round.min() == late.hole.min() // 18 == 0
    assert len(late.holes_recorded) == 10
    unseen = replace(shots, strokes_gained=np.where(recent, shots.strokes_gained, np.nan))
    alone = replace(unseen, holes_recorded=np.where(np.arange(40) < 30, 0, shots.holes_recorded))
    assert [one.to_gain for one in band_priorities(late)] == [one.to_gain for one in band_priorities(alone)]


def test_a_round_saves_its_due_to_within_one_stroke():
    generator = np.random.default_rng(11)
    round = np.arange(180) // 18
    evenly, by_loss = generator.uniform(0, 2, (2, 180))
    due = Due(generator.uniform(0, 0.2, 50), generator.random(50), evenly, by_loss)
    saved = saved_by_hole(due, round, generator)
    away = (saved - due.on(slice(None)).T).reshape(50, 10, 18).sum(axis=2)
    assert np.max(np.abs(away)) < 1
    assert np.min(saved) >= 0
    often = Due(*(np.full(4000, one[0]) for one in (due.a_shot, due.evenness)), evenly, by_loss)
    of_one = often.on(slice(None))[:, 0]
    assert np.mean(saved_by_hole(often, round, generator), axis=0) == pytest.approx(of_one, abs=0.05)


def test_holes_without_recorded_shots_get_what_holes_of_their_par_have():
    """Two approaches on every par 4 and one on every par 3 of a recorded round; a round before without shots."""
    par = np.tile([4, 3, 4], 2)
    holes = HolesPlayed(np.full(6, 4), np.repeat([0, 1], 3), par)
    hole = np.array([3, 3, 4, 5, 5])
    shots = JudgedShots(
        np.array([-0.5, -0.1, -0.2, 0.0, -0.2]),
        np.full(5, Part.APPROACH),
        np.zeros(5, dtype=int),
        np.ones(5, dtype=int),
        hole,
        np.array([0.0, 3.0]),
    )
    (priority,) = part_priorities(shots)
    counted, by_loss = expected_shots(shots, priority, holes)
    assert counted.tolist() == [2, 1, 2, 2, 1, 2]
    assert by_loss.tolist() == pytest.approx([2, 1, 2, 3, 1, 1])


def test_a_part_in_which_the_player_is_better_than_the_benchmark_saves_nothing():
    _, effect = replay(size=-0.4)
    assert effect.fewer_strokes.value == 0
    assert effect.index_after.value == pytest.approx(effect.index_before)


def test_index_unknown_after_the_change_is_no_number():
    shots = simulated(np.random.default_rng(8), 4, 0.7)
    (effect,) = effects_of_closing(
        shots,
        band_priorities(shots)[:1],
        holes_of(np.full(720, 5)),
        lambda fewer: np.full(len(fewer), np.nan),
        [np.random.default_rng(0)],
    )
    assert effect.index_before is None
    assert effect.fewer_strokes.enough
    assert not effect.index_after.enough
    assert effect.words("approaches", "a 2-handicap").endswith(f", {effect.fewer_strokes.n:,} shots")
    halfway = effect.words("approaches", "a 2-handicap", share=0.5)
    assert halfway.startswith("approaches, 50% of the strokes lost to a 2-handicap won back: ")


def test_same_seed_gives_the_same_effect():
    assert replay(seed=3)[1] == replay(seed=3)[1]


def test_share_must_be_a_share():
    with pytest.raises(ValueError, match="share"):
        replay(share=1.5)


def test_effect_in_words_has_samples_and_intervals():
    _, effect = replay()
    fewer, index = effect.fewer_strokes, effect.index_after
    within = f"({index.low:.1f} to {index.high:.1f})"
    assert effect.words("approaches from 75–125 yards", "a 2-handicap") == (
        f"approaches from 75–125 yards as a 2-handicap: {fewer.value:.1f} fewer strokes a round ({fewer.low:.1f} to "
        f"{fewer.high:.1f}), {fewer.n:,} shots, index {effect.index_before:.1f} → {index.value:.1f} {within}"
    )
    stays = replace(effect, index_after=replace(index, value=effect.index_before))
    assert stays.words("putts", "a").endswith(f", index still {effect.index_before:.1f} {within}")


def test_effect_of_too_few_shots_is_no_number():
    shots = shots_of(np.full(6, -1.0), np.arange(6), np.full(6, 18))
    (priority,) = band_priorities(shots)
    scores = np.full(108, 4)
    (effect,) = effects_of_closing(
        shots, [priority], holes_of(scores), mean_over_par(scores), [np.random.default_rng(0)]
    )
    assert not effect.fewer_strokes.enough
    assert not effect.index_after.enough
    assert effect.words("chips", "a scratch player") == "chips as a scratch player: too few shots"
