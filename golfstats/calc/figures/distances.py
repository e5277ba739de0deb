"""How far and how straight each club in the bag goes, and the gaps between clubs.

A shot's distance is its measured length. Without one it is inferred where the ball finished near the line:
the start distance less what was left, or plus what was left when the player noted "long", or the start
distance itself when it finished on the green and nobody noted short or long. Holed shots and shots with
a penalty tell nothing unless measured; putts and shots from recovery are left out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import Literal

import numpy as np

from golfstats.calc.figure import Figure, deviations, difference_figure, quantile_figure
from golfstats.calc.figures import plays_like
from golfstats.calc.figures.swings import full_swings
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.record import Bools, Floats, Ints, Record, Shots
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissDepth, Swing

NEAR_LINE = 0.1
"""A finish off the line by more than this share of the distance does not tell how far the ball went."""

MINIMUM_SHOTS = 8


@dataclass(frozen=True)
class ClubDistance:
    """Full swings with one club, in yards."""

    club: int
    distance: Figure
    """Median."""
    spread: Figure
    """Robust standard deviation of the distance."""
    lower_quarter: Figure
    upper_quarter: Figure
    side_yards: Figure
    """Robust standard deviation of the finish to the side, from measured shots."""
    side_degrees: Figure
    plays_like: Figure
    """Median in calm air at 70 °F to a level target (see :mod:`~golfstats.calc.figures.plays_like`)."""
    plays_like_range: tuple[float, float] | None
    """The same with the correction half and one and a half times as large; None with too few shots."""
    measured: int
    """How many of the shots were measured; the others are inferred."""
    estimated: bool
    """Full swings were told from part swings by a fit, for want of the player's marks."""
    shots: Ints
    """Rows of the shots behind these figures."""


@dataclass(frozen=True)
class Gap:
    """Two neighbouring clubs by median distance."""

    longer: int
    shorter: int
    yards: Figure
    """Difference of the medians."""
    overlap: float
    """Yards that the middle halves (25-75%) share; negative is open ground that neither covers."""


def travelled(shots: Shots) -> Floats:
    """Distance of each shot in yards, measured or inferred; NaN where it cannot be told."""
    left = np.where(shots.miss_depth == MissDepth.LONG, -shots.distance_after, shots.distance_after)
    pin_high = (shots.lie_after == Lie.GREEN) & (shots.miss_depth == UNKNOWN)
    inferred = np.where(pin_high, shots.distance, shots.distance - left)
    wide = (shots.miss_side != UNKNOWN) | (np.abs(shots.offline) > NEAR_LINE * shots.distance)
    telling = ~wide & ~shots.holed & (shots.penalty == 0) & (inferred > 0)
    known = np.where(np.isnan(shots.travel), np.where(telling, inferred, np.nan), shots.travel)
    return np.where(np.isin(shots.lie, [Lie.GREEN, Lie.RECOVERY]), np.nan, known)


def club_shots(record: Record, club: int) -> tuple[Ints, bool]:
    """Rows of the full swings with a club whose distance is known, and whether a fit chose any of them.

    The player's mark decides; shots without one are sorted by :func:`full_swings`.
    """
    shots = record.shots
    distance = travelled(shots)
    rows = np.flatnonzero((shots.club == club) & ~np.isnan(distance))
    swing = shots.swing[rows]
    unmarked = swing == UNKNOWN
    full: Bools = swing == Swing.FULL
    full[unmarked] = full_swings(distance[rows][unmarked])
    return rows[full], bool(unmarked.any())


def club_distance(analysed: AnalysedRecord, club: int) -> Observations:
    rows, _ = club_shots(analysed.record, club)
    return Observations.of_shots(analysed.record, travelled(analysed.record.shots), rows)


def club_distance_spread(analysed: AnalysedRecord, club: int) -> Observations:
    return _spread(club_distance(analysed, club))


def club_side_yards(analysed: AnalysedRecord, club: int) -> Observations:
    """Deviation from the median finish to the side, whose median is the spread; measured shots alone."""
    shots = analysed.record.shots
    rows, _ = club_shots(analysed.record, club)
    sideways = rows[~np.isnan(shots.offline[rows])]
    return _spread(Observations.of_shots(analysed.record, shots.offline, sideways))


def club_side_degrees(analysed: AnalysedRecord, club: int) -> Observations:
    shots = analysed.record.shots
    rows, _ = club_shots(analysed.record, club)
    sideways = rows[~np.isnan(shots.offline[rows])]
    angle = np.full(len(shots), np.nan)
    angle[sideways] = np.degrees(np.arctan2(shots.offline[sideways], travelled(shots)[sideways]))
    return _spread(Observations.of_shots(analysed.record, angle, sideways))


def club_plays_like(analysed: AnalysedRecord, club: int, strength: float = 1.0) -> Observations:
    rows, _ = club_shots(analysed.record, club)
    neutral = plays_like.plays_like(travelled(analysed.record.shots), analysed.record, strength)
    return Observations.of_shots(analysed.record, neutral, rows)


def specs(club: int) -> list[FigureSpec]:
    """The figures of one club; the number's meaning (its name) is the caller's."""

    def spec(
        name: str,
        words: str,
        unit: str,
        better: Literal["higher", "lower"],
        observe: Callable[..., Observations],
    ) -> FigureSpec:
        key, words = f"club.{club}.{name}", f"{words} with club {club}"
        return FigureSpec(
            key, words, unit, better, "shot", "median", MINIMUM_SHOTS, partial(observe, club=club)
        )

    return [
        spec("distance", "Distance", "yd", "higher", club_distance),
        spec("distance_spread", "Spread of the distance", "yd", "lower", club_distance_spread),
        spec("side_yards", "Spread to the side", "yd", "lower", club_side_yards),
        spec("side_degrees", "Spread of the direction", "degrees", "lower", club_side_degrees),
        spec("plays_like", "Distance in neutral conditions", "yd", "higher", club_plays_like),
    ]


def bag(analysed: AnalysedRecord) -> list[ClubDistance]:
    """Every club of the record that has a full swing of known distance, longest median first.

    Clubs with too few shots come last.
    """
    clubs = np.unique(analysed.record.shots.club)
    found = [_club(analysed, int(club)) for club in clubs[clubs != UNKNOWN]]
    return sorted((club for club in found if len(club.shots)), key=lambda club: -(club.distance.value or 0.0))


def gaps(clubs: list[ClubDistance]) -> list[Gap]:
    """Gap and overlap between each club and the next shorter one; clubs with too few shots are passed over."""
    ordered = [club for club in clubs if club.distance.enough]
    return [
        Gap(
            longer.club,
            shorter.club,
            difference_figure(longer.distance, shorter.distance),
            (shorter.upper_quarter.value or 0.0) - (longer.lower_quarter.value or 0.0),
        )
        for longer, shorter in pairwise(ordered)
    ]


def _club(analysed: AnalysedRecord, club: int) -> ClubDistance:
    rows, estimated = club_shots(analysed.record, club)
    shots = analysed.record.shots
    figures = {spec.key.rpartition(".")[2]: spec.figure(spec.observe(analysed)) for spec in specs(club)}
    values = travelled(shots)[rows]
    neutral = [club_plays_like(analysed, club, strength).value for strength in _STRENGTHS]
    return ClubDistance(
        club=club,
        distance=figures["distance"],
        spread=figures["distance_spread"],
        lower_quarter=quantile_figure(values, 0.25, "yd", MINIMUM_SHOTS),
        upper_quarter=quantile_figure(values, 0.75, "yd", MINIMUM_SHOTS),
        side_yards=figures["side_yards"],
        side_degrees=figures["side_degrees"],
        plays_like=figures["plays_like"],
        plays_like_range=_range(neutral) if figures["plays_like"].enough else None,
        measured=int(np.sum(~np.isnan(shots.travel[rows]))),
        estimated=estimated,
        shots=rows,
    )


_STRENGTHS = (1 - plays_like.DOUBT, 1 + plays_like.DOUBT)


def _range(neutral: list[Floats]) -> tuple[float, float]:
    medians = [float(np.median(values)) for values in neutral]
    return min(medians), max(medians)


def _spread(observations: Observations) -> Observations:
    return Observations(
        deviations(observations.value), observations.round, observations.hole, observations.shot
    )
