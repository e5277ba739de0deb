"""The putts of a club, and their binned sums: all that the effect model needs, however many putts there are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from golfstats.calc.greens.disturbance import Work, combined, days_since, recovery_days, share_left
from golfstats.calc.greens.stimpmeter import SMALLEST_NOTICED_FT
from golfstats.calc.record import Bools, Floats, Ints, Record, Table
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import Lie

EDGES_FT = np.array([2, 3, 4, 5, 6, 7.5, 9.5, 12, 15, 19, 25, 33, 45, 65, 100], dtype=np.float64)
"""Putts from less than 2 ft or more than 100 ft say nothing here and stay out."""
LONGEST_HEALING = 3.0
"""Work counts as healed for certain after this many times its default recovery days."""


@dataclass(frozen=True)
class Putts(Table):
    """Putts of all players of a club. Equally long columns."""

    player: Ints
    round: Ints
    course: Ints
    day: Ints
    hole: Ints
    """Hole number on the course."""
    first: Bools
    """First putt of its hole."""
    distance_ft: Floats
    holed: Bools
    leave_ft: Floats
    """Distance left after a miss; 0 where holed, NaN where not recorded."""
    speed_ft: Floats
    """Stimpmeter speed of the course that day; NaN where not measured."""


@dataclass(frozen=True)
class Conditions:
    """Surface conditions putted on: one row a course, a day and a set of greens in the same state."""

    course_day: Ints
    """Number of the course-day."""
    since: Floats
    """Days since each work ended, conditions × works; ∞ where it has nothing to do with these greens."""
    speed_ft: Floats
    strength: Floats
    """Severity of each work."""
    recovery: Floats
    """Default (or the club's former) recovery days of each work."""
    kind: tuple[str, ...]
    """Kind of each work."""

    def disturbance(self, recovery_scale: float = 1.0) -> Floats:
        """Surface disturbance with every recovery time multiplied by the scale."""
        return combined(self.strength * share_left(self.since, self.recovery * recovery_scale))


@dataclass(frozen=True)
class PuttSums(Table):
    """Sums over putts of one player from one distance bin in one condition. Equally long columns."""

    player: Ints
    distance_bin: Ints
    condition: Ints
    log_distance: Floats
    """Mean over the putts, log feet."""
    tries: Floats
    makes: Floats
    leaves: Floats
    """Misses with a recorded leave."""
    leave_sum: Floats
    """Sum of log(1 + feet left) over those."""
    leave_squares: Floats

    def grouped(self, condition: Ints, weight: Floats) -> PuttSums:
        """Rows times their weight, put together where player, distance bin and the given condition agree."""
        distances = len(EDGES_FT) - 1
        players = int(self.player.max()) + 1
        key = (condition * players + self.player) * distances + self.distance_bin
        keys, group = np.unique(key, return_inverse=True)

        def total(values: Floats) -> Floats:
            return np.bincount(group, weights=values * weight, minlength=len(keys)).astype(np.float64)

        tries = total(self.tries)
        return PuttSums(
            player=keys // distances % players,
            distance_bin=keys % distances,
            condition=keys // (distances * players),
            log_distance=total(self.log_distance * self.tries) / tries,
            tries=tries,
            makes=total(self.makes),
            leaves=total(self.leaves),
            leave_sum=total(self.leave_sum),
            leave_squares=total(self.leave_squares),
        )


@dataclass(frozen=True)
class PuttBins:
    """A club's binned putts with the conditions they were made in."""

    sums: PuttSums
    conditions: Conditions
    players: int
    round_pairs: Ints
    """Rounds and the conditions met in them: distinct pairs, 2 columns."""
    first_putts: Floats
    """First putts a round of 18 holes by distance bin."""

    def rounds(self, conditions: Bools) -> int:
        """Number of rounds that met any of the conditions."""
        return len(np.unique(self.round_pairs[conditions[self.round_pairs[:, 1]], 0]))


def putts_of(record: Record, speed_by_round_ft: Floats | None = None) -> Putts:
    """The strokes from the green of a record, with the green speed of each round where it was measured."""
    shots = record.shots.select(record.shots.lie == Lie.GREEN)
    rounds = record.rounds
    speed = np.full(len(rounds), np.nan) if speed_by_round_ft is None else speed_by_round_ft
    new_hole = np.ones(len(shots), dtype=np.bool_)
    new_hole[1:] = shots.hole[1:] != shots.hole[:-1]
    return Putts(
        player=rounds.player[shots.round],
        round=shots.round,
        course=rounds.course[shots.round],
        day=rounds.day[shots.round],
        hole=record.holes.number[shots.hole],
        first=new_hole,
        distance_ft=shots.distance * FEET_PER_YARD,
        holed=shots.holed,
        leave_ft=np.where(shots.holed, 0.0, shots.distance_after * FEET_PER_YARD),
        speed_ft=speed[shots.round],
    )


def bin_putts(
    putts: Putts, works: Mapping[int, Sequence[Work]], recovery: Mapping[str, float] | None = None
) -> PuttBins:
    """Bin a club's putts; ``works`` gives the green work of each course number.

    Players, rounds and courses keep no more than their order; ``ValueError`` when no putt is usable.
    """
    usable = np.isfinite(putts.distance_ft)
    usable &= (putts.distance_ft >= EDGES_FT[0]) & (putts.distance_ft < EDGES_FT[-1])
    putts = putts.select(usable)
    if not len(putts):
        raise ValueError("no putts between 2 and 100 ft")
    conditions, condition = _conditions(putts, works, recovery)
    _, player = np.unique(putts.player, return_inverse=True)
    distance_bin = np.digitize(putts.distance_ft, EDGES_FT) - 1
    left = ~putts.holed & np.isfinite(putts.leave_ft) & (putts.leave_ft >= 0)
    log_leave = np.where(left, np.log1p(np.where(left, putts.leave_ft, 0.0)), 0.0)
    one = np.ones(len(putts))
    single = PuttSums(
        player=player,
        distance_bin=distance_bin,
        condition=condition,
        log_distance=np.log(putts.distance_ft),
        tries=one,
        makes=putts.holed.astype(np.float64),
        leaves=left.astype(np.float64),
        leave_sum=log_leave,
        leave_squares=log_leave**2,
    )
    # First putts from inside 2 ft are left out: the surface costs next to nothing there.
    first = np.bincount(distance_bin, weights=putts.first, minlength=len(EDGES_FT) - 1)
    return PuttBins(
        sums=single.grouped(condition, one),
        conditions=conditions,
        players=int(player.max()) + 1,
        round_pairs=np.unique(np.stack([putts.round, condition], axis=1), axis=0),
        first_putts=first / len(np.unique(putts.round)) * _eighteen_holes(putts),
    )


def _eighteen_holes(putts: Putts) -> float:
    """18 ÷ mean holes a round, so that rounds of nine holes count as half rounds."""
    per_round = np.unique(np.stack([putts.round, putts.hole], axis=1), axis=0)[:, 0]
    return min(18 / float(np.mean(np.unique(per_round, return_counts=True)[1])), 2.0)


def _conditions(
    putts: Putts, works: Mapping[int, Sequence[Work]], recovery: Mapping[str, float] | None
) -> tuple[Conditions, Ints]:
    """The distinct conditions and the one each putt met."""
    places, place = np.unique(
        np.stack([putts.course, putts.day, putts.hole], axis=1), axis=0, return_inverse=True
    )
    place = place.ravel()
    disturbing = [(course, work) for course, some in works.items() for work in some if work.strength > 0]
    recovery_of = np.array([recovery_days(work.kind, recovery) for _, work in disturbing])
    since = np.full((len(places), len(disturbing)), np.inf)
    for column, (course, work) in enumerate(disturbing):
        here = places[:, 0] == course
        since[here, column] = days_since([work], places[here, 1], places[here, 2])[:, 0]
    since[since >= LONGEST_HEALING * recovery_of] = np.inf

    _, course_day = np.unique(places[:, :2], axis=0, return_inverse=True)
    course_day = course_day.ravel()
    rows = np.column_stack([course_day, since])
    distinct, of_place = np.unique(rows, axis=0, return_inverse=True)
    condition = of_place.ravel()[place]
    conditions = Conditions(
        course_day=distinct[:, 0].astype(np.int64),
        since=distinct[:, 1:],
        speed_ft=_mean_speed(putts.speed_ft, condition, len(distinct)),
        strength=np.array([work.strength for _, work in disturbing]),
        recovery=recovery_of,
        kind=tuple(work.kind for _, work in disturbing),
    )
    return conditions, condition


def _mean_speed(speed_ft: Floats, condition: Ints, conditions: int) -> Floats:
    """Mean measured speed of each condition, to the half foot below which readings are noise."""
    measured = np.isfinite(speed_ft)
    counts = np.bincount(condition[measured], minlength=conditions)
    sums = np.bincount(condition[measured], weights=speed_ft[measured], minlength=conditions)
    with np.errstate(invalid="ignore"):
        means = sums / counts
    rounded: Floats = np.round(means / SMALLEST_NOTICED_FT) * SMALLEST_NOTICED_FT
    return rounded
