"""A made-up player of known truth, drawn hole by hole with rounds that differ in form.

Each hole is a drive (par 4 and 5), a lay-up (par 5), a shot at the green, a chip where it missed, and one to
three putts. The strokes gained are drawn, not worked out, so that their means are known exactly.
"""

import numpy as np

from golfstats.calc.observations import AnalysedRecord
from golfstats.calc.record import Holes, Record, Rounds, Shots
from golfstats.calc.vocabulary import UNKNOWN, Lie, Part

HIT_GREEN = 0.55
MISS_COST = 0.35
"""Mean strokes lost by a missed green, whatever the round."""
HIT_GAIN = 0.25
APPROACH_GAINED = HIT_GREEN * HIT_GAIN - (1 - HIT_GREEN) * MISS_COST
"""Mean strokes gained of a shot at the green, in every band."""
FORM = 0.10
"""Standard deviation between rounds of the strokes gained of each shot at a green."""
PARS = np.array([4, 4, 3, 5, 4, 4, 3, 4, 5] * 2)
DRIVE, LAY_UP, APPROACH, CHIP, PUTT_1, PUTT_2, PUTT_3 = range(7)
SLOTS = 7


def simulated_player(rng: np.random.Generator, rounds: int) -> AnalysedRecord:
    """18 holes a round with about 73 shots; every shot recorded."""
    count = rounds * 18
    round_of = np.repeat(np.arange(rounds), 18)
    par = np.tile(PARS, rounds)
    hit = rng.random(count) < HIT_GREEN
    putts = 1 + (rng.random((2, count)) < [[0.65], [0.08]]).astype(int).cumprod(axis=0).sum(axis=0)

    played = np.zeros((count, SLOTS), bool)
    played[:, DRIVE], played[:, LAY_UP] = par > 3, par == 5
    played[:, APPROACH], played[:, CHIP] = True, ~hit
    for extra, slot in enumerate((PUTT_1, PUTT_2, PUTT_3)):
        played[:, slot] = putts > extra

    distance, lie = _where(rng, par, hit)
    gained = _gained(rng, hit, round_of, rounds)
    hole, slot = np.nonzero(played)
    shots = _shots(rng, hole, slot, round_of, par, distance[hole, slot], lie[hole, slot])
    length = distance[np.arange(count), np.argmax(played, axis=1)]
    part = np.array(
        [Part.TEE, Part.APPROACH, Part.APPROACH, Part.SHORT_GAME, *[Part.PUTTING] * 3], dtype=np.int64
    )
    record = Record(_rounds(rounds), _holes(round_of, par, length, played.sum(axis=1)), shots)
    return AnalysedRecord(record, gained[hole, slot], part[slot])


def _where(rng, par, hit):
    """Yards to the hole and lie before the shot of each slot."""
    count = len(par)
    distance, lie = np.zeros((count, SLOTS)), np.full((count, SLOTS), int(Lie.GREEN))
    distance[:, DRIVE] = np.where(par == 4, 400.0, 530.0)
    distance[:, LAY_UP] = rng.uniform(255, 290, count)
    distance[:, APPROACH] = np.where(par == 3, rng.uniform(130, 210, count), rng.uniform(60, 230, count))
    distance[:, CHIP] = rng.uniform(8, 25, count)
    distance[:, PUTT_1] = np.where(hit, rng.gamma(2.0, 4.0, count), rng.gamma(2.0, 1.2, count)) + 0.3
    distance[:, PUTT_2], distance[:, PUTT_3] = rng.uniform(0.3, 2, count), rng.uniform(0.2, 0.5, count)
    fairway = np.where(rng.random(count) < 0.6, Lie.FAIRWAY, Lie.ROUGH)
    lie[:, DRIVE], lie[:, LAY_UP] = Lie.TEE, fairway
    lie[:, APPROACH] = np.where(par == 3, Lie.TEE, fairway)
    lie[:, CHIP] = rng.choice(
        [Lie.FRINGE, Lie.ROUGH, Lie.SAND, Lie.RECOVERY], count, p=[0.3, 0.4, 0.25, 0.05]
    )
    return distance, lie


def _gained(rng, hit, round_of, rounds):
    """The cost of a miss is skewed (gamma), and a round's form moves all its shots at greens."""
    count = len(hit)
    gained = rng.normal(0.0, 0.3, (count, SLOTS))
    at_green = np.where(hit, rng.normal(HIT_GAIN, 0.25, count), -rng.gamma(2.0, MISS_COST / 2, count))
    gained[:, APPROACH] = at_green + rng.normal(0.0, FORM, rounds)[round_of]
    return gained


def _shots(rng, hole, slot, round_of, par, distance, lie):
    count = len(hole)
    last = np.append(hole[1:] != hole[:-1], True)
    number = np.arange(count) - np.searchsorted(hole, hole) + 1
    after = np.where(last, 0.0, np.append(distance[1:], 0.0))
    lie_after = np.where(last, UNKNOWN, np.append(lie[1:], UNKNOWN)).astype(np.int8)
    swing = slot <= APPROACH
    club = np.where(slot == DRIVE, 1, np.where(swing, np.clip(14 - distance // 20, 2, 12), UNKNOWN))
    measured = swing & (rng.random(count) < 0.5)
    missed = (slot == APPROACH) & (lie_after != Lie.GREEN)
    return Shots.unknown(
        count, round=round_of[hole], hole=hole, number=number, par=par[hole],
        lie=lie.astype(np.int8), distance=distance, lie_after=lie_after, distance_after=after, holed=last,
        club=club.astype(np.int8),
        target=np.where(slot == LAY_UP, 160.0, np.nan),
        travel=np.where(measured, distance - after + rng.normal(0, 6, count), np.nan),
        offline=np.where(measured, rng.normal(0, 0.05, count) * distance, np.nan),
        miss_side=np.where(missed, rng.integers(0, 2, count), UNKNOWN).astype(np.int8),
        miss_depth=np.where(missed, rng.random(count) < 0.3, UNKNOWN).astype(np.int8),
        short_sided=np.where(missed, rng.random(count) < 0.2, UNKNOWN).astype(np.int8),
    )  # fmt: skip


def _rounds(rounds):
    zeros, nothing = np.zeros(rounds, dtype=np.int64), np.full(rounds, np.nan)
    return Rounds(
        player=zeros, day=738_000 + 2 * np.arange(rounds), course=zeros,
        counting=np.full(rounds, True), competition=np.full(rounds, False),
        start_hour=nothing, temperature=nothing, wind_speed=nothing,
    )  # fmt: skip


def _holes(round_of, par, length, score):
    count = len(par)
    unknown, flag = np.full(count, UNKNOWN, dtype=np.int64), np.full(count, UNKNOWN, dtype=np.int8)
    return Holes(
        round=round_of, number=np.arange(count) % 18 + 1, par=par, length=length, score=score,
        picked_up=np.full(count, False), putts=unknown, penalties=unknown,
        fairway_hit=flag, green_in_regulation=flag, complete=np.full(count, True),
    )  # fmt: skip
