"""Plays rounds: all holes of all rounds side by side, one shot at a time, into a record with every detail.

Assumptions beside those of :mod:`~golfstats.calc.simulate.swing` and
:mod:`~golfstats.calc.simulate.green`: players are independent; a round has one factor of form on all
spreads; nothing a player does depends on the score. The record knows everything about every shot;
:mod:`~golfstats.calc.simulate.reporting` takes away what a player would not have noted.

A year of a club (600 rounds, 50,000 shots) takes well under a second.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.record import Bools, Codes, Floats, Holes, Ints, Record, Rounds, Shots
from golfstats.calc.simulate.balls import Balls, Skills, skills_of, stack, tee_off
from golfstats.calc.simulate.course import Course
from golfstats.calc.simulate.golfer import PUTTER, Golfer
from golfstats.calc.simulate.green import putt
from golfstats.calc.simulate.schedule import Effects, Schedule, spread_factors
from golfstats.calc.simulate.swing import Flights, Landings, drops, land, lie_qualities, plan, strike
from golfstats.calc.units import FEET_PER_YARD
from golfstats.calc.vocabulary import UNKNOWN, Lie, MissDepth, MissSide, Part, Swing, Wind

SHOTS_CAP = 24
"""The shot with this number drops, so that play always ends."""


@dataclass(frozen=True)
class _Step:
    """State of the balls after one shot of each, and those shots."""

    balls: Balls
    holed: Bools
    shots: Shots


def play(
    golfers: Sequence[Golfer],
    courses: Sequence[Course],
    schedule: Schedule,
    rng: np.random.Generator,
    effects: Effects | None = None,
) -> Record:
    """Play the schedule and record every shot. The same arguments and generator state give the same rounds.

    ``Schedule.player`` are rows of ``golfers``, ``Schedule.tees`` rows of ``courses``. In the record
    rounds stand in the order of the schedule. ``ValueError`` for holes that a course does not have.
    """
    effects = effects or Effects()
    all_skills = skills_of(golfers)
    balls, holes = tee_off(schedule, courses, effects.form_sd, rng)
    in_play = np.arange(len(balls))
    strokes = np.zeros(len(balls), dtype=np.int64)
    given_up = np.zeros(len(balls), dtype=np.bool_)
    still_to_come = np.zeros(len(balls), dtype=np.int64)
    played: list[Shots] = []
    now = balls
    for number in range(1, SHOTS_CAP + 1):
        step = _play_one(golfers, now, holes.select(in_play), all_skills.select(now.player), effects, rng)
        holed = step.holed | (number == SHOTS_CAP)
        strokes[in_play] += 1 + np.where(holed, 0, step.shots.penalty)
        gives_up = ~holed & (strokes[in_play] - holes.par[in_play] >= now.pick_up)
        given_up[in_play] = gives_up
        still_to_come[in_play] = _most_likely_addition(step.balls)
        played.append(_finish(step, in_play, number, holed, gives_up))
        goes_on = ~holed & ~gives_up
        in_play, now = in_play[goes_on], step.balls.select(goes_on)
        if not len(in_play):
            break
    shots = stack(played)
    shots = shots.select(np.lexsort((shots.number, shots.hole)))
    score = strokes + np.where(given_up, still_to_come, 0)
    return Record(_rounds(schedule), _holes(balls, holes, shots, score, given_up), shots)


def _play_one(
    golfers: Sequence[Golfer],
    balls: Balls,
    holes: Course,
    skills: Skills,
    effects: Effects,
    rng: np.random.Generator,
) -> _Step:
    """One shot with every ball: putts on the green, swings elsewhere, rows kept in order."""
    part = np.full(len(balls), int(Part.APPROACH), dtype=np.int64)
    part[(balls.lie == Lie.TEE) & (holes.par > 3)] = Part.TEE
    part[balls.lie == Lie.GREEN] = Part.PUTTING
    direction, pace = spread_factors(golfers, effects, balls.round, balls.player, part, balls.distance)
    direction, pace = _with_disturbance(balls, effects, direction, pace)
    swings, putts = np.flatnonzero(balls.lie != Lie.GREEN), np.flatnonzero(balls.lie == Lie.GREEN)
    swung = _swing(
        balls.select(swings),
        holes.select(swings),
        skills.select(swings),
        (direction[swings], pace[swings]),
        rng,
    )
    rolled = _putt(
        balls.select(putts),
        holes.select(putts),
        skills.select(putts),
        effects.slope,
        (direction[putts], pace[putts]),
        rng,
    )
    back = np.argsort(np.concatenate([swings, putts]))
    return _Step(
        stack([swung.balls, rolled.balls]).select(back),
        np.concatenate([swung.holed, rolled.holed])[back],
        stack([swung.shots, rolled.shots]).select(back),
    )


def _with_disturbance(
    balls: Balls, effects: Effects, direction: Floats, pace: Floats
) -> tuple[Floats, Floats]:
    """Disturbed greens widen the spreads of putts and, from the fringe, of whatever is played."""
    if effects.disturbance is None:
        return direction, pace
    here = effects.disturbance[balls.round, balls.number - 1]
    here = np.where(np.isin(balls.lie, (Lie.GREEN, Lie.FRINGE)), here, 0.0)
    return direction * (1 + effects.on_direction * here), pace * (1 + effects.on_distance * here)


def _swing(
    balls: Balls,
    holes: Course,
    skills: Skills,
    factors: tuple[Floats, Floats],
    rng: np.random.Generator,
) -> _Step:
    plans = plan(balls, skills, rng)
    quality = lie_qualities(balls, rng)
    flights = strike(balls, plans, skills, quality, factors, rng)
    landing = land(balls, holes, flights, rng)
    holed = drops(flights, balls)
    after = replace(balls, x=landing.x, y=landing.y, lie=landing.lie)
    side, depth = _misses(balls, holes, flights, landing)
    shots = replace(
        _blank_shots(balls, holes),
        penalty=landing.penalty,
        penalty_kind=landing.penalty_kind,
        club=plans.club,
        target=plans.target,
        travel=np.where(plans.full, flights.travel, np.nan),
        offline=np.where(plans.full, flights.offline, np.nan),
        miss_side=side,
        miss_depth=depth,
        short_sided=_short_sided(balls, holes, landing),
        lie_quality=quality,
        swing=np.where(plans.club == PUTTER, UNKNOWN, np.where(plans.full, Swing.FULL, Swing.PART)).astype(
            np.int8
        ),
        wind=np.where(plans.full, _wind_word(balls), UNKNOWN).astype(np.int8),
        wind_speed=np.where(plans.full, np.hypot(balls.headwind, balls.crosswind), np.nan),
        elevation=np.where(plans.full, holes.elevation, np.nan),
    )
    return _Step(after, holed, shots)


def _putt(
    balls: Balls,
    holes: Course,
    skills: Skills,
    slope_effect: float,
    factors: tuple[Floats, Floats],
    rng: np.random.Generator,
) -> _Step:
    result = putt(balls, holes, skills, slope_effect, factors, rng)
    after = replace(balls, x=result.x, y=result.y)
    shots = replace(
        _blank_shots(balls, holes),
        club=np.full(len(balls), PUTTER, dtype=np.int8),
        miss_side=result.side,
        miss_depth=result.depth,
        slope=result.slope,
        putt_break=result.putt_break,
        fault=result.fault,
    )
    return _Step(after, result.holed.astype(np.bool_), shots)


def _blank_shots(balls: Balls, holes: Course) -> Shots:
    """Shots of which only the start is known; hole, number and finish are filled in by :func:`_finish`."""
    return Shots.unknown(len(balls), round=balls.round, par=holes.par, lie=balls.lie, distance=balls.distance)


def _finish(step: _Step, in_play: Ints, number: int, holed: Bools, gives_up: Bools) -> Shots:
    """The shots with their number and outcome."""
    over = holed | gives_up
    left = np.where(holed, 0.0, np.where(gives_up, np.nan, step.balls.distance))
    return replace(
        step.shots,
        hole=in_play,
        number=np.full(len(in_play), number, dtype=np.int64),
        holed=holed,
        lie_after=np.where(over, UNKNOWN, step.balls.lie).astype(np.int8),
        distance_after=left,
        penalty=np.where(holed, 0, step.shots.penalty),
        penalty_kind=np.where(holed, UNKNOWN, step.shots.penalty_kind).astype(np.int8),
        miss_side=np.where(holed, UNKNOWN, step.shots.miss_side).astype(np.int8),
        miss_depth=np.where(holed, UNKNOWN, step.shots.miss_depth).astype(np.int8),
    )


def _misses(balls: Balls, holes: Course, flights: Flights, landing: Landings) -> tuple[Codes, Codes]:
    """Side and depth of shots that missed fairway (from the tee of a par 4 or 5) or green (others)."""
    from_tee = (balls.lie == Lie.TEE) & (holes.par > 3)
    fairway_missed = from_tee & ~np.isin(landing.lie, (Lie.FAIRWAY, Lie.FRINGE, Lie.GREEN))
    green_missed = ~from_tee & (landing.lie != Lie.GREEN)
    wide = np.abs(flights.offline) > 0.4 * np.abs(flights.depth)
    deep = np.abs(flights.depth) > 0.4 * np.abs(flights.offline)
    sides = np.where(flights.offline > 0, int(MissSide.RIGHT), int(MissSide.LEFT))
    depths = np.where(flights.depth > 0, int(MissDepth.LONG), int(MissDepth.SHORT))
    side = np.where(fairway_missed | (green_missed & wide), sides, UNKNOWN)
    depth = np.where(green_missed & deep, depths, UNKNOWN)
    return side.astype(np.int8), depth.astype(np.int8)


def _short_sided(balls: Balls, holes: Course, landing: Landings) -> Codes:
    """Whether a ball just off the green lies on the side to which the hole is cut; UNKNOWN elsewhere."""
    out_x, out_y = landing.x - balls.green_x, landing.y - balls.green_y
    out = np.maximum(np.hypot(out_x, out_y), 1e-9)
    hole_offset = np.hypot(balls.green_x, balls.green_y)
    towards = -(out_x * balls.green_x + out_y * balls.green_y) / out
    short = (towards > 0.5 * hole_offset) & (hole_offset > 0.3 * holes.green)
    just_off = (landing.lie != Lie.GREEN) & (out < holes.green + 20.0)
    return np.where(just_off, short, UNKNOWN).astype(np.int8)


def _wind_word(balls: Balls) -> Ints:
    along, across = balls.headwind, balls.crosswind
    word = np.where(across > 0, int(Wind.FROM_LEFT), int(Wind.FROM_RIGHT))
    main = np.abs(along) > np.abs(across)
    word = np.where(main, np.where(along > 0, int(Wind.INTO), int(Wind.HELPING)), word)
    return np.where(np.hypot(along, across) < 4.0, int(Wind.CALM), word)


def _most_likely_addition(balls: Balls) -> Ints:
    """Strokes still to come for a ball picked up: Rules of Handicapping 3.3, the higher value of a range."""
    left_at = balls.distance
    close = (balls.lie == Lie.GREEN) & (left_at * FEET_PER_YARD <= 5.0)
    return np.where(close, 1, np.where(left_at <= 20.0, 3, 4)).astype(np.int64)


def _rounds(schedule: Schedule) -> Rounds:
    return Rounds(
        player=schedule.player,
        day=schedule.day,
        course=schedule.course,
        counting=schedule.counting,
        competition=schedule.competition,
        start_hour=schedule.start_hour,
        temperature=schedule.temperature,
        wind_speed=schedule.wind_speed,
    )


def _holes(balls: Balls, holes: Course, shots: Shots, score: Ints, given_up: Bools) -> Holes:
    n = len(balls)
    putts = np.bincount(shots.hole[shots.lie == Lie.GREEN], minlength=n).astype(np.int64)
    penalties = np.bincount(shots.hole, weights=shots.penalty, minlength=n).astype(np.int64)
    fairway = np.full(n, UNKNOWN, dtype=np.int8)
    drives = (shots.number == 1) & (shots.par > 3)
    in_play = np.isin(shots.lie_after, (Lie.FAIRWAY, Lie.FRINGE, Lie.GREEN)) | shots.holed
    fairway[shots.hole[drives]] = in_play[drives]
    taken = _strokes_until(shots)
    reached = ((shots.lie_after == Lie.GREEN) | shots.holed) & (taken <= shots.par - 2)
    regulation = np.bincount(shots.hole[reached], minlength=n) > 0
    return Holes(
        round=balls.round,
        number=balls.number,
        par=holes.par,
        length=holes.length,
        score=score,
        picked_up=given_up,
        putts=putts,
        penalties=penalties,
        fairway_hit=fairway,
        green_in_regulation=regulation.astype(np.int8),
        complete=~given_up,
    )


def _strokes_until(shots: Shots) -> Ints:
    """Strokes with penalties taken on the hole up to and including each shot."""
    strokes = np.cumsum(1 + shots.penalty)
    first = shots.number == 1
    before = (strokes - 1 - shots.penalty)[first]
    on_hole: Ints = strokes - before[np.cumsum(first) - 1]
    return on_hole
