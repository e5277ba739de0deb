"""Worlds that attack strokes gained and the figures of approaches: balls picked up, nine holes, water, short sides.

The golf here is walked shot by shot by rules of its own: full shots cover a share of a reach, approaches
leave a lognormal share of their length, putts drop by a logistic curve. Nothing of it is a model that the service fits,
and none of its numbers is a published one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from golfstats.calc.figures.catalogue import CATALOGUE
from golfstats.calc.observations import AnalysedRecord
from golfstats.calc.record import Record
from golfstats.calc.strokes.benchmark import Benchmark, professional
from golfstats.calc.strokes.gained import strokes_gained
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.parts import parts_of_shots
from tests.calc.record_builder import BuiltHole, hole, record_of
from tests.worlds.court import Told, World

PARS = (4, 5, 4, 3, 4, 4, 3, 5, 4) * 2
LENGTHS = {3: (150.0, 195.0), 4: (330.0, 430.0), 5: (480.0, 550.0)}
STROKES_RECEIVED = {20: (2, 1, 1, 1, 1, 2, 1, 1, 1) * 2, 9: (1, 0, 1, 0, 1, 0, 1, 0, 1) * 2}


@dataclass(frozen=True)
class Walker:
    """A golfer of this world."""

    handicap: int
    reach: float
    """Yards of a good long shot."""
    scatter: float
    """Share of a shot's length that half of all approaches finish within."""
    topped: float
    """Chance that a shot goes hardly anywhere."""
    wet: float = 0.02
    """Chance that an approach ends in water."""


DUFFER = Walker(20, 205.0, 0.11, 0.09)
TIDY = Walker(9, 235.0, 0.08, 0.03)


def walk(walker: Walker, par: int, form: float, rng: np.random.Generator) -> list[tuple]:
    """All shots of a hole until it is holed: (lie, yards, columns)."""
    lie, left = "tee", float(rng.uniform(*LENGTHS[par]))
    shots: list[tuple] = []
    while len(shots) < 18:
        if lie == "green":
            feet = 3 * left
            holed = rng.random() < 1 / (1 + math.exp(0.32 * (feet - 7.5) * (1 if feet > 2 else 3)))
            shots.append((lie, left))
            if holed:
                return shots
            left = max(left * min(rng.lognormal(math.log(0.13), 0.6), 0.9), 0.2)
            continue
        penalty = 0
        wanted = min(left, walker.reach * (0.75 if lie in ("sand", "recovery") else 1.0))
        if rng.random() < walker.topped * form:
            after = left - wanted * rng.uniform(0.05, 0.5)
        elif wanted < left:
            after = left - wanted * rng.uniform(0.8, 1.05)
        else:
            after = left * rng.lognormal(math.log(walker.scatter * form), 0.7) + 1.0
            penalty = int(rng.random() < walker.wet)
        shots.append((lie, left, {"penalty": penalty}))
        left = max(after, 1.0)
        on_green = left < 11 and not penalty and rng.random() < 0.85
        lie = (
            "green"
            if on_green
            else str(rng.choice(["fairway", "rough", "sand", "recovery"], p=[0.45, 0.4, 0.1, 0.05]))
        )
    return shots


def most_likely(lie: str, left: float, rng: np.random.Generator) -> int:
    """Rules of Handicapping 3.3: one more from within 5 ft of the hole, two or three within 20 yards, else three or four."""
    if lie == "green" and 3 * left <= 5:
        return 1
    return int(rng.integers(2, 4) if left <= 20 else rng.integers(3, 5))


def as_written(
    shots: list[tuple], par: int, strokes: int, rng: np.random.Generator, **where: int
) -> BuiltHole:
    """The hole as it was entered by a player who picks up when the next stroke could at best be net double bogey."""
    taken = np.cumsum([1 + (shot[2]["penalty"] if len(shot) > 2 else 0) for shot in shots])
    over = np.flatnonzero(taken[:-1] >= par + 1 + strokes)
    if not len(over):
        return hole(par, shots, **where)
    last = int(over[0])
    lie, left = shots[last + 1][:2]
    score = int(taken[last]) + most_likely(lie, left, rng)
    return hole(par, shots[: last + 1], holed=False, picked_up=True, score=score, **where)


def rounds_of(
    walker: Walker, holes: list[int], rng: np.random.Generator, picks_up: bool
) -> tuple[Record, Record]:
    """Rounds of so many holes each: as they would have been played to the end, and as they were entered."""
    played, written = [], []
    for number, count in enumerate(holes):
        form = math.exp(0.08 * rng.standard_normal())
        for par, strokes in list(zip(PARS, STROKES_RECEIVED[walker.handicap], strict=True))[:count]:
            shots = walk(walker, par, form, rng)
            played.append(hole(par, shots, round=number))
            written.append(
                as_written(shots, par, strokes, rng, round=number)
                if picks_up
                else hole(par, shots, round=number)
            )
    return record_of(played), record_of(written)


def analysed(record: Record, benchmark: Benchmark) -> AnalysedRecord:
    shots = record.shots
    part = parts_of_shots(shots.lie, shots.distance, shots.par)
    return AnalysedRecord(record, strokes_gained(record, benchmark), part)


def figure(key: str, golf: AnalysedRecord):
    spec = CATALOGUE[key]
    return spec.figure(spec.observe(golf))


@cache
def truth_of(key: str, walker: Walker, benchmark: str) -> float:
    """The figure over so many rounds that chance is small beside any interval, every hole played to its end."""
    played, _ = rounds_of(walker, [18] * 2000, np.random.default_rng(1), picks_up=False)
    value = figure(key, analysed(played, _benchmark(benchmark))).value
    assert value is not None
    return value


def _benchmark(key: str) -> Benchmark:
    return professional() if key == "professional" else handicap_golfer(float(key))


def picks_up(rng: np.random.Generator) -> Mapping[str, Told]:
    """Every second round is of nine holes; balls are picked up at net double bogey."""
    _, written = rounds_of(DUFFER, [18, 9] * 10, rng, picks_up=True)
    told = {}
    for words, benchmark in (("a golfer of 20", "20"), ("the professional", "professional")):
        gained = figure("gained.total", analysed(written, _benchmark(benchmark)))
        told[f"strokes gained on {words}"] = Told.of(gained, truth_of("gained.total", DUFFER, benchmark))
    return told


def tidy(rng: np.random.Generator) -> Mapping[str, Told]:
    _, written = rounds_of(TIDY, [9, 18, 9, 18, 18] * 4, rng, picks_up=True)
    gained = figure("gained.total", analysed(written, _benchmark("9")))
    to_par = figure("score.to_par", analysed(written, _benchmark("9")))
    return {
        "strokes gained on a golfer of 9": Told.of(gained, truth_of("gained.total", TIDY, "9")),
        "score to par": Told.of(to_par, truth_of("score.to_par", TIDY, "9")),
    }


def _shots_at_green(rng: np.random.Generator, wet: float, count: int = 200) -> Record:
    """From 130 yards over twenty rounds; what ends in water is dropped not far from the hole."""
    holes = []
    for number in range(count):
        in_water = rng.random() < wet
        left = float(rng.uniform(8, 25)) if in_water else float(rng.lognormal(math.log(15), 0.6))
        after = ("rough" if in_water or left > 11 else "green", left)
        holes.append(
            hole(
                4,
                [("tee", 350), ("fairway", 130, {"penalty": int(in_water)}), after, ("green", 1)],
                round=number % 20,
            )
        )
    return record_of(holes)


def water(rng: np.random.Generator) -> Mapping[str, Told]:
    """A fifth of the shots, of whatever quality, are in the water: those left behind are no nearer than before."""
    key = "approach.125-150.proximity"
    found = figure(key, analysed(_shots_at_green(rng, 0.2), professional()))
    # With a fifth beyond any of them, the median of all is the 62.5% point of the dry ones.
    truth = 3 * 15 * math.exp(0.6 * 0.318639)
    return {"median distance left": Told.of(found, truth, claimed=(found.high or 0) < 45.0, is_so=False)}


SHORT_SIDED, OTHER = "misses.green.cost.short_sided", "misses.green.cost.other"


def _misses(rng: np.random.Generator, count: int) -> AnalysedRecord:
    """Misses that lie alike; from the short side the next shot stops three times as far from the hole."""
    holes = []
    for number in range(count):
        short = int(rng.random() < 0.35)
        lie_left, feet = float(rng.uniform(8, 14)), float(rng.lognormal(math.log(18 if short else 6), 0.4))
        shots = [
            ("tee", 390),
            ("fairway", 140, {"short_sided": short}),
            ("rough", lie_left),
            ("green", feet / 3),
            ("green", 0.5),
        ]
        holes.append(hole(4, shots, round=number % 20))
    return analysed(record_of(holes), professional())


@cache
def _truth_of_misses(key: str) -> float:
    value = figure(key, _misses(np.random.default_rng(5), 6000)).value
    assert value is not None
    return value


def short_sides(rng: np.random.Generator) -> Mapping[str, Told]:
    golf = _misses(rng, 120)
    shares = {
        kind: figure(f"misses.green.finish.{kind}", golf).value or 1.0 for kind in ("short_sided", "other")
    }
    each = {
        kind: (figure(f"misses.green.cost.{kind}", golf).value or 0.0) / share
        for kind, share in shares.items()
    }
    return {
        "part of the cost, short-sided": Told.of(figure(SHORT_SIDED, golf), _truth_of_misses(SHORT_SIDED)),
        "part of the cost, elsewhere": Told.of(
            figure(OTHER, golf),
            _truth_of_misses(OTHER),
            claimed=each["short_sided"] < each["other"],
            is_so=False,
        ),
    }


WORLDS = [
    World(
        "picks up at net double bogey, half the rounds of nine holes",
        "holes given up vanish",
        "1 x 20",
        picks_up,
    ),
    World("a tidy golfer, mostly whole rounds", "nine holes count as a round", "1 x 20", tidy),
    World("a fifth of the approaches in water", "water improves the distance left", "1 x 20", water),
    World("short-sided balls lie well but chip badly", "short-sided looks cheapest", "1 x 20", short_sides),
]
