"""An invented club whose putts have a known truth, for the tests of the effect model."""

from dataclasses import dataclass

import numpy as np

from golfstats.calc.greens.effect.putts import Putts
from golfstats.calc.greens.surface.cost import expected_putts
from golfstats.calc.greens.surface.disturbance import Work, surface_disturbance
from tests.golfers import hole_out

SEASON_START, SEASON_DAYS = 738_000, 210
CORED_ON = (30, 80, 130, 180)
WORKS = [Work("coring_medium", SEASON_START + day, SEASON_START + day, severity=1.0) for day in CORED_ON]


@dataclass(frozen=True)
class Club:
    """A season's putts, and the spreads that made them."""

    putts: Putts
    direction_sd: np.ndarray
    distance_sd: np.ndarray
    effects: tuple[float, float]

    def true_strokes(self, disturbance):
        """Strokes a round that this disturbance costs the members on average, by their true spreads."""
        first_ft = np.clip(np.random.default_rng(9).gamma(2.0, 11.0, 1000), 1.0, 90.0)
        u, v = (effect * disturbance for effect in self.effects)
        extra = [
            expected_putts(first_ft, a * (1 + u), b * (1 + v)) - expected_putts(first_ft, a, b)
            for a, b in zip(self.direction_sd, self.distance_sd, strict=True)
        ]
        return 18 * float(np.mean(extra))


def play(
    rng,
    players=40,
    rounds=40,
    direction_effect=0.25,
    distance_effect=0.25,
    recovery=10.0,
    day_sd=0.0,
    works=None,
    disturbance=None,
):
    """A season of a club; spreads grow by the effects at full disturbance."""
    works = WORKS if works is None else works
    n_rounds = players * rounds
    player = np.repeat(np.arange(players), rounds)
    day = SEASON_START + rng.integers(0, SEASON_DAYS, n_rounds)
    log_direction = np.log(0.027) + 0.15 * rng.standard_normal(players)
    log_distance = np.log(0.13) + 0.2 * rng.standard_normal(players)
    of_day = day_sd * rng.standard_normal(SEASON_DAYS)

    hole_round = np.repeat(np.arange(n_rounds), 18)
    hole = np.tile(np.arange(1, 19), n_rounds)
    first_ft = np.clip(rng.gamma(2.0, 11.0, len(hole)), 1.0, 90.0)
    if disturbance is None:
        recoveries = {work.kind: recovery for work in works}
        disturbed = surface_disturbance(works, day[hole_round], hole, recoveries)
    else:
        disturbed = disturbance(day[hole_round], hole)
    worse = np.exp(of_day[day[hole_round] - SEASON_START])
    direction = np.exp(log_direction[player[hole_round]]) * (1 + direction_effect * disturbed) * worse
    pace = np.exp(log_distance[player[hole_round]]) * (1 + distance_effect * disturbed) * worse
    rolled = hole_out(first_ft, direction, pace, rng)
    of = hole_round[rolled.ball]
    putts = Putts(
        player=player[of],
        round=of,
        course=np.zeros(len(of), dtype=np.int64),
        day=day[of],
        hole=hole[rolled.ball],
        first=rolled.number == 1,
        distance_ft=rolled.before_ft,
        holed=rolled.holed,
        speed_ft=np.full(len(of), np.nan),
    )
    return Club(putts, np.exp(log_direction), np.exp(log_distance), (direction_effect, distance_effect))
