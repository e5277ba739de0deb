"""What forecasts and plans are held against."""

from __future__ import annotations

import numpy as np

from golfstats.calc.plan.day_form import Scorecards, day_form
from golfstats.calc.plan.forecast import RoundForecast
from golfstats.calc.plan.play import Aim
from golfstats.calc.plan.shots.pattern import Bag
from golfstats.calc.plan.value import BestPlay
from golfstats.calc.record import Codes, Floats
from golfstats.calc.vocabulary import Lie

USUAL_DAYS = day_form(Scorecards(*np.zeros((3, 0), dtype=np.int64)))
"""Of a player whose rounds nobody has seen."""
_REACHES = (Lie.TEE, Lie.FAIRWAY, Lie.ROUGH, Lie.SAND, Lie.RECOVERY)


def transformed(forecast: RoundForecast, score: int, uniform: float) -> float:
    """Probability integral transform of a score, uniform if forecasts are right.

    For counts it is spread over the score's own chance by ``uniform`` (Czado, Gneiting and Held 2009).
    """
    below, upto = np.mean(forecast.totals < score), np.mean(forecast.totals <= score)
    return float(below + uniform * (upto - below))


def at_the_flag(best: BestPlay, bag: Bag) -> Aim:
    """The usual way: the longest club that does not go past the hole, straight at the flag."""
    reach = np.array([bag.reach(lie) if lie in _REACHES else 0.0 for lie in Lie])

    def aims(x: Floats, y: Floats, lie: Codes) -> tuple[Floats, Floats]:
        away_x, away_y = best.shape.pin[0] - x, best.shape.pin[1] - y
        distance = np.maximum(np.hypot(away_x, away_y), 1e-6)
        share = np.minimum(1.0, reach[lie] / distance)
        return x + share * away_x, y + share * away_y

    return aims
