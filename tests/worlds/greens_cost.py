"""Worlds that try what is said of green work: that it costs strokes, how many, when, and elsewhere.

The golf is :mod:`tests.worlds.greens_golf`. In half of the worlds the work costs nothing and something else makes
putting look worse just then; in the others it costs what a usual member would notice, in shapes and under
disturbances that the model was not told of.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from golfstats.calc.figure import NORMAL_QUANTILE
from golfstats.calc.greens.adjusted import RoundPutting, adjust_window
from golfstats.calc.greens.effect.estimate import fit_effect
from golfstats.calc.greens.effect.posterior import WINDOWS, GreensEffect
from golfstats.calc.greens.surface.work_types import work_types
from tests.worlds.court import Told, World
from tests.worlds.greens_golf import (
    HEALING_DAYS,
    KIND,
    Club,
    Season,
    expected_on_sound_greens,
    linear,
    plateau,
    play,
    rough_later,
)

EFFECT = 3.1
"""Strokes a round on the day, with both putting errors larger by 28%."""
SIZES = {"40 x 20": (40, 20), "12 x 10": (12, 10)}
HEALED_AFTER = {plateau: 14.7, rough_later: 12.0}
"""Days after which nothing is left, where that is not the usual."""
ENDS = (8, 212)
"""Coring in the first and in the last weeks of the season."""

SEASON, WEATHER = "the season passes for coring", "a spell of weather passes for coring"
SHAPE, PLAYERS = "one healing curve for all", "all members suffer alike"
MODEL, FORM = "the putting model is right", "form passes for coring"
HERE, KINDS = "known at home is known everywhere", "one kind of work speaks for another"
SURE = "the intervals are as narrow as the golf allows"


def swing(share: float, days: float = 240.0, peak: float = 0.0) -> Callable[[np.ndarray], np.ndarray]:
    """Putting errors that rise and fall through the season by this share, largest on the peak day."""
    return lambda day: share * np.cos(2 * np.pi * (day - peak) / days)


CLUBS: dict[str, tuple[str, Club]] = {
    "coring costs": (SURE, Club(0, 0, effect=EFFECT)),
    "coring costs nothing": (SURE, Club(0, 0)),
    "season of 8%, coring at its ends costs nothing": (SEASON, Club(0, 0, corings=ENDS, season=swing(0.08))),
    "season of 15%, coring at its ends costs nothing": (SEASON, Club(0, 0, corings=ENDS, season=swing(0.15))),
    "season of 15%, coring at its ends costs": (
        SEASON,
        Club(0, 0, corings=ENDS, season=swing(0.15), effect=EFFECT),
    ),
    "short swings of 8% that peak with the coring, which costs nothing": (
        SEASON,
        Club(0, 0, corings=(60, 181), season=swing(0.08, 66.0, 68.0)),
    ),
    "days go together, coring costs nothing": (WEATHER, Club(0, 0, weather=0.1)),
    "days go together, coring costs": (WEATHER, Club(0, 0, weather=0.1, effect=EFFECT)),
    "long spells of weather, coring costs nothing": (WEATHER, Club(0, 0, weather=0.15, memory=0.97)),
    "long spells of weather, coring costs": (
        WEATHER,
        Club(0, 0, weather=0.15, memory=0.97, effect=EFFECT),
    ),
    "everybody 6% worse in the healing weeks, coring costs nothing": (FORM, Club(0, 0, form=0.06)),
    "everybody 10% worse at everything in the healing weeks, coring costs nothing": (
        FORM,
        Club(0, 0, form=0.10),
    ),
    "half of all putts by one who does not mind": (PLAYERS, Club(0, 0, effect=EFFECT, immune=True)),
    "members suffer by half more or less": (PLAYERS, Club(0, 0, effect=EFFECT, effect_spread=0.5)),
    "as bad for two weeks, then gone": (SHAPE, Club(0, 0, effect=EFFECT / 0.55, profile=plateau)),
    "rough only from the third day on": (SHAPE, Club(0, 0, effect=EFFECT, profile=rough_later)),
    "heals day by day alike": (SHAPE, Club(0, 0, effect=EFFECT, profile=linear)),
    "heals in two thirds of the usual time": (SHAPE, Club(0, 0, effect=EFFECT, kind="coring_double_pass")),
    "heals in twice the usual time": (SHAPE, Club(0, 0, effect=EFFECT, kind="coring_medium")),
    "chances are logistic, coring costs": (MODEL, Club(0, 0, effect=EFFECT, logistic=True)),
    "chances are logistic, coring costs nothing": (MODEL, Club(0, 0, logistic=True)),
    "distances in whole feet, coring costs": (MODEL, Club(0, 0, effect=EFFECT, whole_feet=True)),
    "members stay away while greens heal": (PLAYERS, Club(0, 0, effect=EFFECT, vanish=0.7)),
    "two seasons of 8%, coring costs nothing": (
        SEASON,
        Club(0, 0, corings=ENDS, season=swing(0.08), seasons=2),
    ),
    "two seasons of weather, coring costs": (WEATHER, Club(0, 0, seasons=2, weather=0.1, effect=EFFECT)),
    "a quarter of all rounds elsewhere, coring costs": (HERE, Club(0, 0, effect=EFFECT, elsewhere=0.25)),
    "sand every fortnight costs nothing, coring costs": (KINDS, Club(0, 0, effect=EFFECT, sand_every=14)),
}


def _world(name: str, attacks: str, club: Club, size: str) -> World:
    players, rounds = SIZES[size]
    club = replace(club, players=players, rounds=rounds)

    def once(rng: np.random.Generator) -> Mapping[str, Told]:
        golf = play(club, rng)
        effect = fit_effect(golf.putts, golf.works, tee_to_green=golf.tee_to_green)
        told = _windows(effect, golf, club)
        if club.elsewhere or not club.effect:
            return told
        told |= _adjusted(effect, golf, club, rng)
        if club.sand_every:
            told |= _sand(effect)
        return told

    return World(name, attacks, size, once, tries=(3, 40))


def _windows(effect: GreensEffect, golf: Season, club: Club) -> dict[str, Told]:
    told = {}
    for first, last in WINDOWS:
        figure = effect.strokes_between(first, last, club.kind, 1.0)
        truth = float(np.mean(golf.cost(np.arange(first, last + 1))))
        told[f"cost on days {first} to {last}"] = Told.of(figure, truth=truth)
    placebo = effect.placebo
    if placebo.days:
        # The same date of a season whatever is found there: the first that is clear of work.
        claimed = placebo.strokes[0] > NORMAL_QUANTILE * placebo.sd[0]
        told["a date without work costs something"] = Told(claimed=claimed, is_so=False)
    if club.effect:
        healed = HEALED_AFTER.get(club.profile, HEALING_DAYS)
        told["recovery days"] = Told.of(effect.recovery_days(club.kind), truth=healed)
    if not club.effect:
        named = effect.recovery_days(club.kind).value is not None
        told["recovery days are named"] = Told(claimed=named, is_so=False)
    told["coring costs something"] = Told(claimed=effect.claims(club.kind), is_so=club.effect > 0)
    return told


def _sand(effect: GreensEffect) -> dict[str, Told]:
    kind = "topdressing_light"
    figure = effect.strokes_between(0, 1, kind)
    return {
        "cost of the sand on days 0 to 1": Told.of(figure, truth=0.0),
        "sand costs something": Told(claimed=effect.claims(kind), is_so=False),
    }


def _adjusted(effect: GreensEffect, golf: Season, club: Club, rng: np.random.Generator) -> dict[str, Told]:
    """What a member's putting would have been on sound greens, over the rounds played on healing ones."""
    putts, works = golf.putts, golf.works[0]
    since = np.min([np.where(putts.day >= w.start, putts.day - w.start, 999) for w in works], axis=0)
    healing = putts.select(since <= 10)
    players, counts = np.unique(healing.player[healing.first], return_counts=True)
    busy = players[counts >= 4 * 18]
    busy = busy[busy > 0] if club.immune else busy
    if not len(busy) or club.effect_spread:
        return {}
    member = int(rng.choice(busy))
    own = healing.select(healing.player == member)
    rounds, sound = [], []
    for number in np.unique(own.round):
        one = own.select(own.round == number)
        first = one.select(one.first)
        taken = np.bincount(one.hole, minlength=19)[first.hole]
        usual = 1.2 + 0.02 * first.distance_ft
        loading = effect.of_greens(works, first.day, first.hole, "0")
        rounds.append(RoundPutting(first.distance_ft, taken, usual, loading))
        expected = expected_on_sound_greens(golf, member, int(number), first.distance_ft)
        sound.append(float(np.sum(usual)) - expected)
    figure = adjust_window(effect, rounds).adjusted
    return {
        "putting without the surface": Told.of(
            figure, truth=18 * sum(sound) / sum(len(one.putts) for one in rounds)
        )
    }


def _elsewhere(size: str) -> World:
    players, rounds = SIZES[size]
    club = Club(players, rounds, effect=EFFECT)

    def once(rng: np.random.Generator) -> Mapping[str, Told]:
        golf = play(club, rng)
        effect = fit_effect(golf.putts, golf.works)
        # The greens of another course take it as they will: from not at all to half as hard again.
        other = float(rng.uniform(0.0, 1.5))
        days = np.arange(int(7 / 21 * work_types()[KIND].recovery_days) + 1)
        truth = other * float(np.mean(golf.cost(days)))
        low, high = effect.perhaps(KIND, "another course")
        return {
            "perhaps on another course": Told(truth, (low + high) / 2, low, high),
            "a number for another course": Told.of(
                effect.strokes_between(0, 3, KIND, 1.0, "another course"), truth=truth
            ),
        }

    return World("another course is cored for the first time", HERE, size, once, tries=(3, 40))


WORLDS = [_world(name, attacks, club, size) for size in SIZES for name, (attacks, club) in CLUBS.items()] + [
    _elsewhere(size) for size in SIZES
]
