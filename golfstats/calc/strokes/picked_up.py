"""The most likely score of a ball picked up, where nobody said one."""

from __future__ import annotations

import numpy as np

from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.peer import WITHOUT_HANDICAP
from golfstats.calc.strokes.reference_course import Gender
from golfstats.calc.vocabulary import Lie


def strokes_still_to_come(lie: Lie, yards: float, gender: Gender = "men") -> int:
    """Strokes from where the last shot was played, that shot not counted, until the ball would have been holed.

    Rules of Handicapping 3.3 count them from where the ball lies: 1 within 5 ft on the green, else 2 or 3 within 20
    yards and 3 or 4 beyond. Where the last shot left the ball is not recorded; from where it was played the bogey
    golfer needs so many more on average, to the nearest stroke and at least one.
    """
    golfer = handicap_golfer(WITHOUT_HANDICAP[gender], gender)
    expected = float(golfer.expected(np.array([lie]), np.array([yards]))[0])
    return max(1, round(expected - 1.0))
