"""What goes in: ratings, the score of a hole, a submitted score. Plain values, nothing computed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal


@dataclass(frozen=True)
class Ratings:
    """Course Rating, Slope Rating and par of the 18 holes, or of the nine, that were played."""

    course_rating: Decimal
    slope_rating: int
    par: int

    def __post_init__(self) -> None:
        if not 55 <= self.slope_rating <= 155:
            raise ValueError(f"a Slope Rating is 55 to 155 (Appendix G), not {self.slope_rating}")


@dataclass(frozen=True)
class HoleScore:
    """One hole of the card.

    ``strokes``: strokes with penalties, ball holed. ``picked_up``: started and not holed out;
    ``most_likely`` is then the most likely score (Rule 3.3), or None if nobody judged it.
    Neither: the hole was not played; ``out_of_play`` if it was closed to everyone.
    """

    number: int
    par: int
    stroke_index: int
    strokes: int | None = None
    picked_up: bool = False
    most_likely: int | None = None
    out_of_play: bool = False

    @property
    def started(self) -> bool:
        return self.strokes is not None or self.picked_up


@dataclass(frozen=True)
class Score:
    """A submitted score.

    ``sequence`` orders the scores of one day (start time, then order of posting). ``ratings`` are
    those of the ``holes_in_round`` holes set out to play; ``nines`` are the ratings of the first and
    second nine, needed only where an 18-hole round may count as nine holes. A score without
    ``holes`` gives one of ``adjusted_total`` (adjusted gross score), ``points`` (Stableford) or
    ``holes_up`` (par/bogey; negative = down). ``pcc`` is 0 until it is known.
    """

    key: str
    played_on: date
    ratings: Ratings
    sequence: int = 0
    holes: tuple[HoleScore, ...] = ()
    holes_in_round: Literal[9, 18] = 18
    nines: tuple[Ratings, Ratings] | None = None
    pcc: int = 0
    adjusted_total: int | None = None
    points: int | None = None
    holes_up: int | None = None
    format: str = "stroke_play"
    certified: bool = True
    alone: bool = False
    valid_reason: str | None = None
    """Why holes are missing, where the reason is a valid one (Rule 3.2a)."""
    disqualified_with_advantage: bool = False
    """Disqualified for a breach that gave a significant scoring advantage (Rule 2.1b)."""

    def __post_init__(self) -> None:
        if not -1 <= self.pcc <= 3:
            raise ValueError(f"a playing conditions calculation gives -1 to +3 (Rule 5.6), not {self.pcc}")
        totals = [t for t in (self.adjusted_total, self.points, self.holes_up) if t is not None]
        if len(totals) != (0 if self.holes else 1):
            raise ValueError("a score has either its holes or exactly one total")
        numbers = [hole.number for hole in self.holes]
        indexes = [hole.stroke_index for hole in self.holes]
        if len(set(numbers)) != len(numbers) or len(set(indexes)) != len(indexes):
            raise ValueError("hole numbers and stroke indexes must each occur once")
        if len(self.holes) > self.holes_in_round:
            raise ValueError("more holes on the card than in the round")
