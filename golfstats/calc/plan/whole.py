"""The whole plan: everything that is said of one hole, and the round made of its holes.

A hole is planned at a time, so that a worker can do a round in pieces. What was simulated of each hole is kept: the
same draws of the player's patterns belong to one simulated round on every hole, and so does the form of the day once
:func:`on_days` has dealt the balls to rounds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from golfstats.calc.plan.card import CardGreen, CardRow, greens_page, plan_page
from golfstats.calc.plan.choices import (
    BelowAndAbove,
    ClubChoice,
    CostlySide,
    LayUp,
    PinAim,
    below_and_above,
    choice_sentence,
    fairway_spot,
    lay_up_table,
    pin_aims,
    sides,
    tee_choices,
)
from golfstats.calc.plan.day_form import DayForm, dealt_by_days
from golfstats.calc.plan.forecast import RoundForecast, greens_add, plan_matters, sentences, unknown_games
from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.drawing import PIN_POSITIONS, Drawing, pin_position
from golfstats.calc.plan.hole.generic import GENERIC_WORDS
from golfstats.calc.plan.hole.picture import Mark, hole_picture
from golfstats.calc.plan.hole.shape import shape_of
from golfstats.calc.plan.past_the_hole import Overrun, best_overrun
from golfstats.calc.plan.play import Played, play_hole
from golfstats.calc.plan.shots.pattern import Bag
from golfstats.calc.plan.shots.weather import Weather, in_weather
from golfstats.calc.plan.value import BestPlay, best_play
from golfstats.calc.record import Floats, Ints
from golfstats.calc.vocabulary import Lie
from golfstats.sentences import Sentence, joined

DRAWS, BALLS = 20, 100
"""Draws of the player's patterns, and simulated rounds with each."""
MARKED_CHOICES, DRAWN_BALLS = 3, 60
"""Choices and finished tee shots in a hole's picture."""
PIN_STEP = 4.0
"""Yards: grid on which aims by hole location are compared with each other."""
LAY_UP_YARDS = tuple(range(160, 300, 20))
OVERRUN_FEET = (5.0, 10.0, 20.0, 40.0)
MAP_WORDS = Sentence(
    "Rests on a map of the hole; bounces, trees in the way and slopes off the green are left out."
)


@dataclass(frozen=True, eq=False)
class HoleQuestion:
    """A hole to be planned."""

    number: int
    par: int
    yards: float
    """Along the hole, as the scorecard says."""
    drawing: Drawing
    """Facing the green."""
    weather: Weather = field(default_factory=Weather)
    pin: str = "middle"


@dataclass(frozen=True)
class ScoreChance:
    score: int
    """A score."""
    chance: float
    """Of just this score, 0 to 1."""


@dataclass(frozen=True)
class PlannedHole:
    """Everything that is said of a hole."""

    number: int
    """Number of the hole."""
    par: int
    """For the player."""
    yards: float
    """By the scorecard."""
    rests_on: str
    """Whether on a map or on a generic hole, in words."""
    sentence: str
    """What to do from the tee, and what it is worth."""
    expected: float
    """Strokes."""
    scores: tuple[ScoreChance, ...]
    """Every likely score with its chance."""
    choices: tuple[ClubChoice, ...]
    """Clubs from the tee, the best first."""
    keep_away: tuple[CostlySide, ...]
    """Sides not to miss on, the dearest first."""
    lay_up: tuple[LayUp, ...]
    """Whether to go for the green, by the distance left."""
    pins: tuple[PinAim, ...]
    """Where to aim the approach, by where the hole is cut."""
    below_and_above: BelowAndAbove | None
    """What it is worth to leave the ball below the hole; null on a level green."""
    putts: float
    """Expected putts."""
    greens_add: float
    """Putts that the greens of the day add here."""
    plan_saves: float
    """Strokes that the plan's tee shot saves over the longest club down the middle."""
    picture: str
    """SVG."""


@dataclass(frozen=True, eq=False)
class SimulatedHole:
    """One hole of the simulated rounds; one value a round, in the same order on every hole."""

    score: Ints
    putts: Ints
    greens_add: Floats


@dataclass(frozen=True)
class PlannedRound:
    """Everything that is said of the round."""

    expected: float
    """Strokes that the round comes to on the mean when it is played by the plan."""
    low: int
    """Least strokes of the range."""
    high: int
    """Nine rounds in ten lie between."""
    scores: tuple[ScoreChance, ...]
    """Every likely score with its chance."""
    target: int | None
    """Score asked for; null where none was."""
    chance_of_target: float | None
    """How likely the score asked for, or a better one, is; nothing without a target."""
    chance_of_handicap: float | None
    """To play to the handicap or better; None without ratings."""
    putts: float
    """Expected putts."""
    greens_add: float
    """Putts that the greens of the day add."""
    matters_most: tuple[int, ...]
    """Numbers of the holes where the plan saves most."""
    sentences: tuple[str, ...]
    """The plan in three sentences."""
    flags_cost: float
    """Strokes a round that aiming every approach at the flag would cost, flags as likely left, right, front,
    back.
    """
    overruns: tuple[Overrun, ...]
    """How far past the hole to let putts die, by their length."""
    generic_holes: int
    """Holes that are not drawn from a map."""
    card: str
    """SVG, 4¼ × 7 inches."""
    card_of_greens: str
    """SVG of the greens, within the sizes that Rule 4.3 allows."""


def plan_hole(
    question: HoleQuestion, bags: Sequence[Bag], greens: Greens, seed: int
) -> tuple[PlannedHole, SimulatedHole]:
    """Plan one hole. ``bags``: the player's pattern to plan with, then draws of what it may be (at least one).

    Give every hole of a round the same draws and the same seed.
    """
    bags = [in_weather(bag, question.weather) for bag in bags]
    shape = shape_of(question.drawing, pin_position(question.drawing, question.pin))
    best = best_play(shape, bags[0], greens)
    choices = tee_choices(best, bags)
    first = choices[0]
    direction = float(np.arctan2(first.aim[0] - shape.tee[0], first.aim[1] - shape.tee[1]))
    rng = np.random.default_rng([seed, question.number])
    factors = unknown_games(len(bags) - 1, np.random.default_rng(seed))
    played = [
        play_hole(best, factor.of(bag), greens, (first.length, direction), BALLS, rng)
        for bag, factor in zip(bags[1:], factors, strict=True)
    ]
    simulated = SimulatedHole(
        score=np.concatenate([hole.score for hole in played]),
        putts=np.concatenate([hole.putts for hole in played]),
        greens_add=np.concatenate([greens_add(greens, hole) for hole in played]),
    )
    planned = PlannedHole(
        number=question.number,
        par=question.par,
        yards=question.yards,
        rests_on=GENERIC_WORDS if question.drawing.generic else MAP_WORDS,
        sentence=choice_sentence(choices),
        expected=first.expected,
        scores=_chances(simulated.score),
        choices=tuple(choices),
        keep_away=tuple(sides(best, bags[0], shape.tee, Lie.TEE, first)),
        lay_up=tuple(lay_up_table(best, bags[0], LAY_UP_YARDS)) if question.par > 4 else (),
        pins=tuple(_pins(question, best, bags[0], greens, first)),
        below_and_above=below_and_above(best, greens),
        putts=float(simulated.putts.mean()),
        greens_add=float(simulated.greens_add.mean()),
        plan_saves=plan_matters(best, bags[0], first.expected),
        picture=hole_picture(question.drawing, shape.pin, [*aims(choices), *_finishes(played)]),
    )
    return planned, simulated


def on_days(
    simulated: Sequence[SimulatedHole], numbers: Sequence[int], form: DayForm, seed: int
) -> list[SimulatedHole]:
    """The same balls on every hole, those of one day together; whatever days they were dealt to before."""
    sorted_holes = [_picked(hole, _in_draws(hole)) for hole in simulated]
    scores = [hole.score for hole in sorted_holes]
    draws = len(scores[0]) // BALLS if scores else 0
    dealt = dealt_by_days(scores, draws, form.of_a_plan(), seed, numbers)
    return [_picked(hole, balls) for hole, balls in zip(sorted_holes, dealt, strict=True)]


def _in_draws(hole: SimulatedHole) -> Ints:
    """Balls in order of score within each draw of the player's patterns."""
    draw = np.arange(len(hole.score)) // BALLS
    return np.lexsort((hole.greens_add, hole.putts, hole.score, draw))


def _picked(hole: SimulatedHole, balls: Ints) -> SimulatedHole:
    return SimulatedHole(hole.score[balls], hole.putts[balls], hole.greens_add[balls])


def plan_round(
    holes: Sequence[PlannedHole],
    simulated: Sequence[SimulatedHole],
    questions: Sequence[HoleQuestion],
    greens: Greens,
    title: str,
    target: int | None = None,
    plays_to: float | None = None,
) -> PlannedRound:
    """The round of these holes; ``plays_to`` is the score that plays to the handicap exactly."""
    forecast = RoundForecast(
        number=tuple(hole.number for hole in holes),
        par=tuple(hole.par for hole in holes),
        scores=np.stack([hole.score for hole in simulated], axis=1),
        putts=np.stack([hole.putts for hole in simulated], axis=1),
        greens_add=np.sum([hole.greens_add for hole in simulated], axis=0),
        plan_matters=np.array([hole.plan_saves for hole in holes]),
    )
    low, high = forecast.range()
    words = sentences(forecast, target)
    rows = [card_row(hole) for hole in holes]
    outlines = [CardGreen(q.number, q.drawing.green, q.drawing.falls_to) for q in questions]
    return PlannedRound(
        expected=forecast.expected,
        low=low,
        high=high,
        scores=_chances(forecast.totals),
        target=target,
        chance_of_target=None if target is None else forecast.chance(target),
        chance_of_handicap=None if plays_to is None else forecast.chance(plays_to),
        putts=float(forecast.putts.sum(axis=1).mean()),
        greens_add=float(forecast.greens_add.mean()),
        matters_most=tuple(forecast.matters_most()),
        sentences=words,
        flags_cost=float(sum(_flag_cost(hole) for hole in holes)),
        overruns=tuple(best_overrun(greens, feet) for feet in OVERRUN_FEET),
        generic_holes=sum(question.drawing.generic for question in questions),
        card=plan_page(title, rows, words),
        card_of_greens=greens_page(outlines),
    )


def aims(choices: Sequence[ClubChoice]) -> list[Mark]:
    """The best tee shot, and those that cannot be told apart from it."""
    marked = [choice for choice in choices if choice.tie or choice is choices[0]][:MARKED_CHOICES]
    return [
        Mark(
            *choice.aim,
            words=Sentence("{club}, at {aim}", club=choice.club, aim=choice.words),
            kind="tie" if choice.tie else "aim",
            label=choice.club,
        )
        for choice in marked
    ]


def _finishes(played: Sequence[Played]) -> list[Mark]:
    """Where some of the tee shots come to rest."""
    each = -(-DRAWN_BALLS // max(len(played), 1))
    return [
        Mark(float(x), float(y), kind="ball")
        for hole in played
        for x, y in zip(hole.tee_x[:each], hole.tee_y[:each], strict=True)
    ]


def _pins(
    question: HoleQuestion, best: BestPlay, bag: Bag, greens: Greens, first: ClubChoice
) -> list[PinAim]:
    """Aims for the approach: from the tee of a par 3, else from where the tee shot leaves the ball."""
    left = float(np.hypot(first.aim[0] - best.shape.pin[0], first.aim[1] - best.shape.pin[1]))
    place: tuple[float, float] | None
    if question.par == 3 or left < 20.0:
        place, lie = best.shape.tee, Lie.TEE
    elif left <= bag.reach(Lie.FAIRWAY):
        place, lie = first.aim, Lie.FAIRWAY
    else:
        place, lie = fairway_spot(best.shape, 0.6 * bag.reach(Lie.FAIRWAY)), Lie.FAIRWAY
    if place is None:
        return []
    return pin_aims(question.drawing, bag, greens, place, lie, PIN_POSITIONS, PIN_STEP)


def _flag_cost(hole: PlannedHole) -> float:
    outer = [pin.cost_of_flag for pin in hole.pins if pin.pin != "middle"]
    return float(np.mean(outer)) if outer else 0.0


def card_row(hole: PlannedHole) -> CardRow:
    """What the card says of a hole."""
    avoid = ""
    if hole.keep_away:
        dearest = hole.keep_away[0]
        where = Sentence(dearest.side)
        if dearest.because:
            where = Sentence("{side} ({because})", side=where, because=Sentence(dearest.because))
        avoid = joined(": ", [where, f"{dearest.cost:+.1f}"])
    first = hole.choices[0]
    return CardRow(hole.number, hole.par, hole.yards, first.club, first.words, hole.expected, avoid)


def _chances(scores: Ints) -> tuple[ScoreChance, ...]:
    values, counts = np.unique(scores, return_counts=True)
    return tuple(
        ScoreChance(int(value), float(count / len(scores)))
        for value, count in zip(values, counts, strict=True)
    )
