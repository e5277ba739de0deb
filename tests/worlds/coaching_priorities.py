"""Worlds against the priorities: equal groups, one bad group among many, groups of every size, players in and out of form.

Shots lose by a mixture of many small losses and a few large ones (an invented law that nothing fits).
"""

from dataclasses import dataclass, field

import numpy as np

from golfstats.calc.coaching.priorities import JudgedShots, band_priorities
from tests.worlds.court import Told, World


@dataclass(frozen=True)
class Player:
    """Strokes lost a round by group, and how the rounds hang together."""

    lost: np.ndarray
    shots_a_round: float = 6.0
    spread: float = 0.5
    """Of one shot."""
    form: float = 0.0
    """Strokes a round by which form moves all groups together."""
    memory: float = 0.0
    """Autocorrelation of form from round to round."""
    rounds: int = 20


def shots_of(player, rng):
    groups = len(player.lost)
    count = rng.poisson(player.shots_a_round, (player.rounds, groups)) + 1
    form = remembering(rng, player.rounds, player.memory) * player.form / groups
    round, group = (np.repeat(axis.ravel(), count.ravel()) for axis in np.indices(count.shape))
    blow_up = rng.random(len(round)) < 0.15
    noise = np.where(blow_up, rng.exponential(1.6, len(round)) + 0.2, rng.normal(-0.32, 0.25, len(round)))
    noise *= player.spread / 0.85
    frequency = player.shots_a_round + 1
    lost = noise + (player.lost[group] + form[round]) / frequency
    return JudgedShots(
        strokes_gained=-lost,
        part=np.zeros(len(round), dtype=int),
        band=group,
        round=round,
        hole=18 * round + rng.integers(0, 18, len(round)),
        holes_recorded=np.full(player.rounds, 18.0),
    )


def remembering(rng, rounds, memory):
    """A stationary series of unit variance whose neighbours correlate by ``memory``."""
    shocks = rng.standard_normal(rounds)
    series = [shocks[0]]
    for shock in shocks[1:]:
        series.append(memory * series[-1] + np.sqrt(1 - memory**2) * shock)
    return np.array(series)


def mean_noise():
    """Mean of a shot's noise before scaling, so that ``lost`` is what is lost."""
    return 0.15 * 1.8 + 0.85 * -0.32


@dataclass(frozen=True)
class Case:
    name: str
    groups: object
    options: dict = field(default_factory=dict)

    def play(self, rng):
        player = Player(np.asarray(self.groups(rng), dtype=float), **self.options)
        frequency = player.shots_a_round + 1
        truth = player.lost + frequency * mean_noise() * player.spread / 0.85
        found = band_priorities(shots_of(player, rng), np.random.default_rng(int(rng.integers(2**32))))
        first = found[0]
        right = truth[first.band]
        best = float(right >= np.max(truth) - 1e-9) if np.ptp(truth) > 0 else 1 / len(truth)
        return {
            "cost of the first group": Told.of(first.to_gain, right),
            "cost of any group": Told.of(found[int(rng.integers(len(found)))].to_gain, truth[0])
            if np.ptp(truth) == 0
            else any_group(found, truth, rng),
            "chance of being first": Told(truth=best, value=first.chance_first, low=0.0, high=1.0),
            "first alone where all are equal or not": Told(claimed=not first.tied, is_so=best > 0.99),
        }

    def certain(self, rng):
        player = Player(np.asarray(self.groups(rng), dtype=float), **self.options)
        frequency = player.shots_a_round + 1
        truth = player.lost + frequency * mean_noise() * player.spread / 0.85
        found = band_priorities(shots_of(player, rng), np.random.default_rng(int(rng.integers(2**32))))
        return {
            "three-in-four certain": Told(claimed=found[0].sure > truth[found[0].band], is_so=False),
        }


def any_group(found, truth, rng):
    one = found[int(rng.integers(len(found)))]
    return Told.of(one.to_gain, truth[one.band])


def one_bad(groups, bad, usual):
    return lambda rng: np.where(np.arange(groups) == rng.integers(groups), bad, usual)


CASES = [
    Case("four equal parts", lambda rng: np.ones(4), {"shots_a_round": 15, "spread": 0.32}),
    Case("sixteen equal groups", lambda rng: np.full(16, 0.3), {"spread": 0.35}),
    Case("one bad group among sixteen", one_bad(16, 1.6, 0.2), {"spread": 0.35}),
    Case("one bad part of four", one_bad(4, 2.0, 0.6), {"shots_a_round": 15, "spread": 0.32}),
    Case("groups of every size", lambda rng: rng.normal(0.4, 0.4, 12), {"spread": 0.4}),
    Case(
        "form that lasts for rounds, four equal parts",
        lambda rng: np.ones(4),
        {"shots_a_round": 15, "spread": 0.32, "form": 3.0, "memory": 0.5},
    ),
]

WORLDS = [
    World(case.name, "the first is the first, and costs what is said", "1 x 20", case.play) for case in CASES
] + [
    World(
        f"{case.name}: what is certain",
        "three-in-four certain is right three times in four",
        "1 x 20",
        case.certain,
        most_false_alarms=0.25,
    )
    for case in CASES
]
