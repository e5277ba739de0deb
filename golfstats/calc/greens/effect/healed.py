"""Whether greens are healed by the day on which they should be, as a chance that rounds will judge.

That greens are healed cannot be seen. What the rounds of the days after lose to their own players' usual can, so the
chance is that of those rounds.
"""

from __future__ import annotations

import math

import numpy as np
from scipy import special

from golfstats.calc.figure import never_certain
from golfstats.calc.greens.effect.posterior import GreensEffect
from golfstats.calc.greens.surface.work_types import work_types
from golfstats.calc.record import Floats

HEALED_STROKES = 1.0
"""Greens count as healed where the rounds lose less than this to them, strokes a round (our choice)."""
ROUNDS_LOOKED_AT, DAYS_LOOKED_AT = 10, 7
"""The first rounds from the day on, which usually fall into so many days."""
ROUNDS_BEHIND_USUAL = 40
"""Earlier rounds that the players' usual rests on, taken together (our choice)."""
USUAL_MOVES_SD = 0.3
"""How far a club's putting moves within such weeks for other reasons, strokes a round (our judgement)."""


def expected_days(effect: GreensEffect, kind: str) -> float:
    """Days until greens should be back: by the club's putts, or the usual where these cannot tell."""
    own = effect.recovery_days(kind).value
    return work_types()[kind].recovery_days if own is None else own


def chance_healed(effect: GreensEffect, kind: str, severity: float, course: str, days: int) -> float | None:
    """Chance that rounds from so many days after the work on lose less than a stroke; ``None`` if not known."""
    if not effect.knows(kind, course) or effect.confounded:
        return None
    loading = effect.after(range(days, days + DAYS_LOOKED_AT), kind, severity, course).mean(axis=0)
    mean, sd = effect.normal(loading)
    of_rounds = effect.noise_sd**2 * (1 / ROUNDS_LOOKED_AT + 1 / ROUNDS_BEHIND_USUAL)
    of_days = 2 * effect.day_sd**2 / DAYS_LOOKED_AT
    spread = math.sqrt(sd**2 + of_rounds + of_days + USUAL_MOVES_SD**2)
    return never_certain(float(special.ndtr((HEALED_STROKES - mean) / spread)))


def was_healed(lost: Floats) -> bool | None:
    """From what each round from the day on lost to its player's usual, in order; ``None`` before ten were played."""
    if len(lost) < ROUNDS_LOOKED_AT:
        return None
    return bool(np.mean(lost[:ROUNDS_LOOKED_AT]) < HEALED_STROKES)
