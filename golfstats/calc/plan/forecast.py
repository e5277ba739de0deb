"""A round before it is played: the distribution of its score, and what to think of on the first tee.

Every hole is played many times by its plan. Each simulated round has a draw of the player's patterns, which
their own shots leave uncertain, and a form of the day (:mod:`~golfstats.calc.plan.day_form`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from scipy import special

from golfstats.calc.figure import never_certain, percent
from golfstats.calc.plan.day_form import DayForm, dealt_by_days
from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.options import plain_tee_shot, valued
from golfstats.calc.plan.play import Played, play_hole
from golfstats.calc.plan.shots.learn import PLAYER_SPREAD_SD
from golfstats.calc.plan.shots.pattern import Bag
from golfstats.calc.plan.value import BestPlay
from golfstats.calc.record import Floats, Ints
from golfstats.calc.vocabulary import Lie
from golfstats.sentences import Sentence

UNKNOWN_SD = 0.04
"""Spread of the logarithm of a factor on all spreads of a draw: what is not known of how the player is swinging this
season (our choice)."""
ROUNDS = 4000
LEAST_SAVED = 0.05
"""Strokes; a hole where the plan saves less is not one to think about (our choice)."""


@dataclass(frozen=True, eq=False)
class HolePlan:
    """One hole of the round, solved."""

    number: int
    par: int
    best: BestPlay
    tee_length: float
    tee_direction: float
    """The tee shot of the plan: yards and radians."""
    expected: float


@dataclass(frozen=True, eq=False)
class RoundForecast:
    """Simulated rounds, rounds × holes."""

    number: tuple[int, ...]
    par: tuple[int, ...]
    scores: Ints
    putts: Ints
    greens_add: Floats
    """Putts that the greens of the day add a round, one value a simulated round."""
    plan_matters: Floats
    """Strokes by hole that the plan's tee shot saves over the longest club down the middle."""

    @property
    def totals(self) -> Ints:
        totals: Ints = self.scores.sum(axis=1)
        return totals

    @property
    def expected(self) -> float:
        return float(self.totals.mean())

    def range(self, share: float = 0.9) -> tuple[int, int]:
        """Scores between which this share of the rounds lies."""
        low, high = np.quantile(self.totals, [(1 - share) / 2, (1 + share) / 2], method="nearest")
        return int(low), int(high)

    def chance(self, target: float) -> float:
        """Chance of this score or better; never certain, whatever the simulated rounds say."""
        return never_certain(float(np.mean(self.totals <= target)))

    def matters_most(self, most: int = 3) -> list[int]:
        """Numbers of the holes where the plan saves most; none where it saves what is written as 0.0."""
        order = np.argsort(-self.plan_matters)[:most]
        return [self.number[i] for i in order if self.plan_matters[i] >= LEAST_SAVED]


def forecast(
    plans: Sequence[HolePlan],
    bags: Sequence[Sequence[Bag]],
    greens: Greens,
    form: DayForm,
    rng: np.random.Generator,
    rounds: int = ROUNDS,
) -> RoundForecast:
    """Simulate the round. ``bags`` are draws of the player's patterns, each a bag a hole (the wind differs by hole)."""
    each = -(-rounds // len(bags))
    factors = unknown_games(len(bags), rng)
    played = [
        _joined(
            [
                _one_hole(plan, factor.of(bag), greens, each, rng)
                for bag, factor in zip(of_draws, factors, strict=True)
            ]
        )
        for plan, of_draws in zip(plans, zip(*bags, strict=True), strict=True)
    ]
    dealt = dealt_by_days(
        [hole.score for hole in played],
        len(bags),
        form.of_a_plan(),
        int(rng.integers(2**32)),
        range(len(plans)),
    )
    played = [hole.select(balls) for hole, balls in zip(played, dealt, strict=True)]
    matters = np.array(
        [plan_matters(plan.best, bag, plan.expected) for plan, bag in zip(plans, bags[0], strict=True)]
    )
    return RoundForecast(
        number=tuple(plan.number for plan in plans),
        par=tuple(plan.par for plan in plans),
        scores=np.stack([hole.score for hole in played], axis=1)[:rounds],
        putts=np.stack([hole.putts for hole in played], axis=1)[:rounds],
        greens_add=np.sum([greens_add(greens, hole) for hole in played], axis=0)[:rounds],
        plan_matters=matters,
    )


@dataclass(frozen=True)
class UnknownGame:
    """Factors on the spreads of one draw, the same on every hole."""

    swings: float
    short: float
    """On spreads and mis-hits of the short game, beside what holds for all shots."""

    def of(self, bag: Bag) -> Bag:
        scaled = bag.scaled(along=self.swings, across=self.swings)
        return replace(
            scaled,
            short_along=scaled.short_along * self.short,
            short_across=scaled.short_across * self.short,
            short_mishit=min(scaled.short_mishit * self.short, 1.0),
        )


def unknown_games(draws: int, rng: np.random.Generator) -> list[UnknownGame]:
    """What is not known of a player, for each draw of what is.

    Nothing is learnt of the short game, which is taken from the handicap, so players differ in it by as much as their
    swings do before any is seen. The draws lie evenly through that, so that few of them shift no forecast.
    """
    evenly = special.ndtri((np.arange(draws) + 0.5) / max(draws, 1))
    swings = np.exp(UNKNOWN_SD * rng.standard_normal(draws))
    short = np.exp(PLAYER_SPREAD_SD * rng.permutation(evenly))
    return [UnknownGame(*pair) for pair in zip(swings.tolist(), short.tolist(), strict=True)]


def _one_hole(plan: HolePlan, bag: Bag, greens: Greens, balls: int, rng: np.random.Generator) -> Played:
    return play_hole(plan.best, bag, greens, (plan.tee_length, plan.tee_direction), balls, rng)


def _joined(parts: Sequence[Played]) -> Played:
    return Played(*(np.concatenate([getattr(part, one.name) for part in parts]) for one in fields(Played)))


def greens_add(greens: Greens, played: Played) -> Floats:
    """Putts that the greens add to each ball's hole over usual ones, from where it reached the green."""
    feet = played.first_putt_feet
    added = greens.putts(feet) - greens.undisturbed().putts(feet)
    return np.where(np.isnan(feet), 0.0, added)


def plan_matters(best: BestPlay, bag: Bag, expected: float) -> float:
    """Strokes that the plan (``expected``) saves over the plain tee shot."""
    shape = best.shape
    length, direction = plain_tee_shot(shape, bag)
    plain = valued(best, bag, shape.tee, Lie.TEE, np.array([length]), np.array([direction]))
    return max(0.0, float(plain.expected[0]) - expected)


def sentences(result: RoundForecast, target: int | None = None) -> tuple[str, str, str]:
    """The round in three sentences: what to expect, where to think, what the greens do."""
    low, high = result.range()
    expected = f"{result.expected:.0f}"
    first = Sentence(
        "Expect about {strokes}: nine rounds in ten lie between {low} and {high}.",
        strokes=expected,
        low=low,
        high=high,
    )
    if target is not None:
        first = Sentence(
            "Expect about {strokes}: nine rounds in ten lie between {low} and {high}, and {percent} are {target} or "
            "better.",
            strokes=expected,
            low=low,
            high=high,
            percent=percent(result.chance(target)),
            target=target,
        )
    holes = result.matters_most()
    if holes:
        saved = sum(float(result.plan_matters[result.number.index(hole)]) for hole in holes)
        which = Sentence("holes {holes}", holes=", ".join(map(str, sorted(holes))))
        if len(holes) == 1:
            which = Sentence("hole {hole}", hole=holes[0])
        second = Sentence(
            "The plan matters most on {holes}: {strokes} strokes against the longest club down the middle.",
            holes=which,
            strokes=f"{saved:.1f}",
        )
    else:
        second = Sentence("No hole asks for more than the longest club down the middle.")
    added, putts = float(result.greens_add.mean()), float(result.putts.sum(axis=1).mean())
    third = Sentence("Expect {putts} putts on greens as usual.", putts=f"{putts:.0f}")
    if added >= 0.1:
        third = Sentence(
            "Expect {putts} putts, {added} of them because of the greens.",
            putts=f"{putts:.0f}",
            added=f"{added:.1f}",
        )
    return first, second, third
