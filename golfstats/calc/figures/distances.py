"""How far and how straight each club in the bag goes, and the gaps between clubs.

A shot's distance is its measured length. Without one it is inferred where the ball finished near the line:
the start distance less what was left, or plus what was left when the player noted "long", or the start
distance itself when it finished on the green and nobody noted short or long. Holed shots and shots with
a penalty tell nothing unless measured; putts and shots from recovery are left out.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from typing import Literal

import numpy as np

from golfstats.calc.figure import Figure, clustered_quantile_figure, deviations, difference_figure
from golfstats.calc.figures import plays_like
from golfstats.calc.figures.swings import full_swings
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.record import Bools, Floats, Ints, Record, Shots
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissDepth, Swing
from golfstats.sentences import Sentence

NEAR_LINE = 0.1
"""A finish off the line by more than this share of the distance does not tell how far the ball went."""

MINIMUM_SHOTS = 8
"""Full swings with a club (our choice)."""


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
    """Median in calm air at 70 °F and sea level to a level target (see :mod:`~golfstats.calc.figures.plays_like`)."""
    plays_like_range: tuple[float, float] | None
    """The span of the same with half, all and one and a half of the correction; None with too few shots."""
    conditions_known: int
    """How many of the shots have wind, height, temperature or altitude recorded; 0 means nothing was corrected."""
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
    overlap: Figure
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


def observe_club(analysed: AnalysedRecord, club: int) -> dict[str, Observations]:
    """Observations of every figure of a club by the figure's name, from one choice of full swings.

    Those of a spread are deviations from the median, whose median is the spread (a robust standard
    deviation); those to the side come from measured shots alone.
    """
    record, shots = analysed.record, analysed.record.shots
    rows, _ = club_shots(record, club)
    distance = travelled(shots)
    sideways = rows[~np.isnan(shots.offline[rows])]
    angle = np.degrees(np.arcsin(np.clip(shots.offline / distance, -1, 1)))
    along = Observations.of_shots(record, distance, rows)
    return {
        "distance": along,
        "distance_spread": _spread(along),
        "side_yards": _spread(Observations.of_shots(record, shots.offline, sideways)),
        "side_degrees": _spread(Observations.of_shots(record, angle, sideways)),
        "plays_like": Observations.of_shots(record, _neutral(analysed, distance), rows),
    }


def specs(club: int, called: str = "") -> list[FigureSpec]:
    """The figures of one club; the number's meaning, what the club is ``called``, is the caller's."""
    which = Sentence("the {club}", club=called) if called else Sentence("club {number}", number=str(club))

    def spec(
        name: str, words: Sentence, unit: Unit, better: Literal["higher", "lower"], meaning: str
    ) -> FigureSpec:
        key = f"club.{called or club}.{name}"
        observe = partial(_observe_one, club=club, name=name)
        return FigureSpec(
            *(key, words, unit, better, "shot", "median", MINIMUM_SHOTS, observe), least=0.0, meaning=meaning
        )

    return [
        spec(
            "distance",
            Sentence("Distance with {club}", club=which),
            Unit.YARDS,
            "higher",
            "Half of the full swings with the club go farther than that, measured or told from "
            "where they finished.",
        ),
        spec(
            "distance_spread",
            Sentence("Spread of the distance with {club}", club=which),
            Unit.YARDS,
            "lower",
            "How much the length of full swings varies: two in three lie within that of the median.",
        ),
        spec(
            "side_yards",
            Sentence("Spread to the side with {club}", club=which),
            Unit.YARDS,
            "lower",
            "How far full swings finish beside the line: two in three within that of the usual "
            "finish. Only measured shots tell.",
        ),
        spec(
            "side_degrees",
            Sentence("Spread of the direction with {club}", club=which),
            Unit.DEGREES,
            "lower",
            "The spread to the side as an angle, so that clubs of different length can be compared.",
        ),
        spec(
            "plays_like",
            Sentence("Distance in neutral conditions with {club}", club=which),
            Unit.YARDS,
            "higher",
            "What the median would be in calm air at 70 °F and sea level to a level target; what "
            "nobody noted is not corrected.",
        ),
    ]


def club_figures(analysed: AnalysedRecord, club: int) -> dict[str, Figure]:
    """The figures of :func:`specs` by key, from one choice of full swings."""
    observed = observe_club(analysed, club)
    return {spec.key: spec.figure(observed[spec.key.rpartition(".")[2]]) for spec in specs(club)}


def clubs_in(record: Record) -> list[int]:
    return [int(club) for club in np.unique(record.shots.club) if club != UNKNOWN]


def bag(analysed: AnalysedRecord) -> list[ClubDistance]:
    """Every club of the record that has a full swing of known distance, longest median first.

    Clubs with too few shots come last.
    """
    clubs = [_club(analysed, club) for club in clubs_in(analysed.record)]
    return sorted((club for club in clubs if len(club.shots)), key=lambda club: -(club.distance.value or 0.0))


def gaps(clubs: list[ClubDistance]) -> list[Gap]:
    """Gap and overlap between each club and the next shorter one; clubs with too few shots are passed over."""
    ordered = [club for club in clubs if club.distance.enough]
    return [
        Gap(
            longer.club,
            shorter.club,
            difference_figure(longer.distance, shorter.distance),
            difference_figure(shorter.upper_quarter, longer.lower_quarter),
        )
        for longer, shorter in pairwise(ordered)
    ]


def _club(analysed: AnalysedRecord, club: int) -> ClubDistance:
    record, shots = analysed.record, analysed.record.shots
    rows, estimated = club_shots(record, club)
    figures = {key.rpartition(".")[2]: figure for key, figure in club_figures(analysed, club).items()}
    values = travelled(shots)
    return ClubDistance(
        club=club,
        distance=figures["distance"],
        spread=figures["distance_spread"],
        lower_quarter=_quarter(values[rows], shots.round[rows], 0.25),
        upper_quarter=_quarter(values[rows], shots.round[rows], 0.75),
        side_yards=figures["side_yards"],
        side_degrees=figures["side_degrees"],
        plays_like=figures["plays_like"],
        plays_like_range=_doubt(analysed, values, rows) if figures["plays_like"].enough else None,
        conditions_known=int(np.sum(plays_like.conditions_known(record, analysed.altitude)[rows])),
        measured=int(np.sum(~np.isnan(shots.travel[rows]))),
        estimated=estimated,
        shots=rows,
    )


def _quarter(distance: Floats, round: Ints, share: float) -> Figure:
    return clustered_quantile_figure(distance, round, share, Unit.YARDS, MINIMUM_SHOTS)


def _neutral(analysed: AnalysedRecord, distance: Floats, strength: float = 1.0) -> Floats:
    return plays_like.plays_like(distance, analysed.record, strength, analysed.altitude)


def _doubt(analysed: AnalysedRecord, distance: Floats, rows: Ints) -> tuple[float, float]:
    strengths = (1 - plays_like.DOUBT, 1.0, 1 + plays_like.DOUBT)
    medians = [float(np.median(_neutral(analysed, distance, s)[rows])) for s in strengths]
    return min(medians), max(medians)


def _observe_one(analysed: AnalysedRecord, club: int, name: str) -> Observations:
    return observe_club(analysed, club)[name]


def _spread(observations: Observations) -> Observations:
    return replace(observations, value=deviations(observations.value))
