"""The answers for one hole: club and line from the tee, sides to keep away from, lay up or go, where to aim at the
green, which side of the hole to be on and how far past it to putt.

Two choices that cannot be told apart are called a tie. What tells them apart is their difference over draws of the
player's patterns, which their own shots leave uncertain, and never less than what the grid itself leaves open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.figure import NORMAL_QUANTILE
from golfstats.calc.plan.greens import Greens
from golfstats.calc.plan.hole.drawing import Drawing, Surface, pin_position
from golfstats.calc.plan.hole.places import aim_words
from golfstats.calc.plan.hole.shape import STEP, Shape, shape_of
from golfstats.calc.plan.options import Options, ends, options_from, pattern_points, valued
from golfstats.calc.plan.shots.pattern import Bag, finish
from golfstats.calc.plan.value import BestPlay, best_play
from golfstats.calc.record import Floats, Ints
from golfstats.calc.vocabulary import Lie
from golfstats.sentences import Sentence

SAME = 0.02
"""Strokes: what the grid and the patterns' shape leave open. Nearer than this no two choices are told apart."""
CLEAR_COST = 0.05
"""Strokes from which a side is worth a warning."""


@dataclass(frozen=True)
class ClubChoice:
    """One club from one place, aimed as well as it can be."""

    club: str
    length: float
    """Yards the shot is meant to go."""
    aim: tuple[float, float]
    """Where the middle of the player's shots should finish, yards."""
    start_line: float
    """Radians right of straight ahead to send it, so that shots with the player's bias finish there."""
    words: str
    """The aim in words."""
    expected: float
    """Strokes to hole out."""
    worse: float
    """Strokes to hole out that this club takes more than the best choice, each aimed as well as it can be."""
    doubt: float
    """Standard deviation of ``worse`` over what is not known of the player's patterns."""
    tie: bool
    """Not told apart from the best choice."""
    gone: float
    """Chance to lose the ball or go out of bounds."""

    @property
    def half_width(self) -> float:
        """Half of the interval of ``worse``."""
        return NORMAL_QUANTILE * self.doubt


@dataclass(frozen=True)
class CostlySide:
    """What it costs to finish on one side of the aim instead of the other, with the same club and swing."""

    side: str
    """left, right, short or long."""
    cost: float
    """Mean strokes of such a finish over one close to the aim."""
    because: str
    """Mostly because of what: trees, sand, penalty area, out of bounds, rough; empty if the cost is distance."""


@dataclass(frozen=True)
class LayUp:
    """Go for the green or lay up, from the fairway with so much left."""

    yards: float
    """Left to the hole."""
    go: float
    """Expected strokes to hole out, going for the green."""
    lay_up: float
    """Expected strokes to hole out, laying up."""
    leave: float
    """Yards that the best lay-up leaves."""
    say: str
    """go, lay up, or either."""


@dataclass(frozen=True)
class PinAim:
    """The approach to one hole location."""

    pin: str
    """Where on the green the hole is cut."""
    club: str
    words: str
    expected: float
    """Expected strokes to hole out, aimed as the words say."""
    at_flag: float
    """Expected strokes when the flag itself is aimed at with the same club."""

    @property
    def cost_of_flag(self) -> float:
        return max(0.0, self.at_flag - self.expected)


@dataclass(frozen=True)
class BelowAndAbove:
    """Putts from below and above the hole, from the same distance."""

    below: float
    """Expected putts from below the hole."""
    above: float
    """Expected putts from above the hole."""
    feet: float
    """Distance of both, feet."""


def tee_choices(best: BestPlay, bags: Sequence[Bag]) -> list[ClubChoice]:
    """Clubs from the tee, best first. ``bags`` is the player's bag and then draws of what it may be (none is well)."""
    return choices_from(best, bags, best.shape.tee, Lie.TEE)


def choices_from(
    best: BestPlay, bags: Sequence[Bag], place: tuple[float, float], lie: Lie, most: int = 5
) -> list[ClubChoice]:
    """The best aims of the best clubs from a place. The aim is chosen for the first bag, and held over the draws."""
    bag = bags[0]
    options = options_from(best, bag, place, lie)
    rows = [row for row in (options.best_of_club(club) for club in range(len(bag.clubs))) if row is not None]
    rows = sorted(rows, key=lambda row: float(options.expected[row]))[:most]
    tried = options.select(np.array(rows))
    doubt = _doubt(best, bags[1:], place, lie, tried, bag)
    return [_choice(best.shape, bag, place, tried, row, float(doubt[row])) for row in range(len(tried))]


def _doubt(
    best: BestPlay, draws: Sequence[Bag], place: tuple[float, float], lie: Lie, options: Options, bag: Bag
) -> Floats:
    """Standard deviation over the draws of each option's difference to the first."""
    if not draws:
        return np.zeros(len(options))
    errors = pattern_points(9)
    rows = []
    for draw in draws:
        # The player swings the same club the same way; what it does is what the draw says.
        ratio = np.array([draw.clubs[c].length / bag.clubs[c].length for c in options.club])
        turn = np.array([draw.clubs[c].bias - bag.clubs[c].bias for c in options.club])
        cost = valued(
            best, draw, place, lie, options.length * ratio, options.direction + turn, errors
        ).expected
        rows.append(cost - cost[0])
    return np.asarray(np.std(rows, axis=0, ddof=1) if len(rows) > 1 else np.zeros(len(options)))


def _choice(
    shape: Shape, bag: Bag, place: tuple[float, float], options: Options, row: int, doubt: float
) -> ClubChoice:
    length, direction = float(options.length[row]), float(options.direction[row])
    aim = (place[0] + length * float(np.sin(direction)), place[1] + length * float(np.cos(direction)))
    worse = float(options.expected[row] - options.expected[0])
    club = bag.clubs[int(options.club[row])]
    return ClubChoice(
        club=club.name,
        length=length,
        aim=aim,
        start_line=direction - club.bias,
        words=aim_words(shape, *aim),
        expected=float(options.expected[row]),
        worse=worse,
        doubt=doubt,
        tie=row > 0 and worse <= max(SAME, NORMAL_QUANTILE * doubt),
        gone=float(options.gone[row]),
    )


def choice_sentence(choices: Sequence[ClubChoice]) -> str:
    """As in "3-wood, at the left edge of the right bunker: 4.31; driver is 0.02 worse: take the one you like"."""
    first = choices[0]
    best = Sentence(
        "{club}, at {aim}: {strokes}", club=first.club, aim=first.words, strokes=f"{first.expected:.2f}"
    )
    ties = [choice for choice in choices[1:] if choice.tie]
    if not ties:
        if len(choices) == 1:
            return Sentence("{best}.", best=best)
        return Sentence(
            "{best}; {club} costs {strokes} more.",
            best=best,
            club=choices[1].club,
            strokes=f"{choices[1].worse:.2f}",
        )
    more = max(choice.worse for choice in ties[:2])
    if len(ties) == 1:
        which = Sentence("{club} is {strokes} worse", club=ties[0].club, strokes=f"{more:.2f}")
    else:
        which = Sentence(
            "{club} and {other} are {strokes} worse",
            club=ties[0].club,
            other=ties[1].club,
            strokes=f"{more:.2f}",
        )
    if more > SAME:
        which = Sentence("{worse}, not told apart", worse=which)
    return Sentence("{best}; {worse}: take the one you like.", best=best, worse=which)


def sides(
    best: BestPlay, bag: Bag, place: tuple[float, float], lie: Lie, choice: ClubChoice
) -> list[CostlySide]:
    """Sides not to miss on, dearest first: finishes more than one spread off the aim against those near it."""
    errors = pattern_points(11)
    direction = float(np.arctan2(choice.aim[0] - place[0], choice.aim[1] - place[1]))
    x, y = ends(bag, place, lie, np.array([choice.length]), np.array([direction]), errors)
    cost, _ = best.landed()
    # Out of bounds costs a stroke and plays this one again.
    replayed = 1.0 + choice.expected
    out = best.shape.surface == Surface.OUT
    worth = best.shape.look_up(np.where(out, replayed, cost), x, y, replayed)[0]
    surface = best.shape.surface_at(x[0], y[0])
    spreads = bag.spreads(lie, np.array([choice.length]))
    along, across = finish(*spreads, np.array([choice.length]), errors)
    along, across = along / spreads[0], across / spreads[1]
    near = worth[(np.abs(along) < 1) & (np.abs(across) < 1)].mean()
    straight, pin_high = np.abs(across) < 1.3, np.abs(along) < 1.3
    # A mis-hit is no miss to one side: nobody can choose where it goes.
    ways = {
        "left": (across < -1.3) & pin_high,
        "right": (across > 1.3) & pin_high,
        "short": (along < -1.3) & (along > -4) & straight,
        "long": (along > 1.3) & straight,
    }
    every_side = [
        CostlySide(side, float(worth[there].mean() - near), _because(surface[there], worth[there] - near))
        for side, there in ways.items()
        if there.any()
    ]
    return sorted((side for side in every_side if side.cost >= CLEAR_COST), key=lambda side: -side.cost)


_BECAUSE = {
    Surface.OUT: Sentence("out of bounds"),
    Surface.WATER: Sentence("penalty area"),
    Surface.SAND: Sentence("sand"),
    Surface.WOODS: Sentence("trees"),
    Surface.ROUGH: Sentence("rough"),
}


def _because(surface: Ints, extra: Floats) -> str:
    sums = {kind: float(np.sum(extra[surface == kind])) for kind in _BECAUSE}
    kind = max(sums, key=lambda each: sums[each])
    return _BECAUSE[kind] if sums[kind] > 0.4 * float(np.sum(extra)) else ""


def lay_up_table(best: BestPlay, bag: Bag, yards: Sequence[float]) -> list[LayUp]:
    """Go or lay up by distance left, from the middle of the fairway; distances without fairway are left out."""
    table = []
    for left in yards:
        place = fairway_spot(best.shape, left)
        if place is None or left < 120:
            continue
        options = options_from(best, bag, place, Lie.FAIRWAY)
        after = left - options.length
        going = after <= max(25.0, 0.12 * left)
        if not going.any() or going.all():
            continue
        go = float(options.expected[going].min())
        row = int(np.flatnonzero(~going)[np.argmin(options.expected[~going])])
        lay = float(options.expected[row])
        say = "either" if abs(go - lay) <= SAME else ("go" if go < lay else "lay up")
        table.append(LayUp(float(left), go, lay, float(after[row]), say))
    return table


def pin_aims(
    drawing: Drawing,
    bag: Bag,
    greens: Greens,
    place: tuple[float, float],
    lie: Lie,
    pins: Sequence[str],
    step: float = STEP,
) -> list[PinAim]:
    """Aim for the approach from one place by hole location, and what the flag would cost as the aim."""
    aims = []
    for pin in pins:
        shape = shape_of(near_green(drawing), pin_position(drawing, pin), step)
        best = best_play(shape, bag, greens)
        options = options_from(best, bag, place, lie)
        row = options.best
        aim = options.length[row], options.direction[row]
        x, y = shape.pin[0] - place[0], shape.pin[1] - place[1]
        flag = valued(best, bag, place, lie, np.array([np.hypot(x, y)]), np.array([np.arctan2(x, y)]))
        point = (place[0] + aim[0] * np.sin(aim[1]), place[1] + aim[0] * np.cos(aim[1]))
        aims.append(
            PinAim(
                pin=pin,
                club=bag.clubs[int(options.club[row])].name,
                words=aim_words(shape, float(point[0]), float(point[1])),
                expected=float(options.expected[row]),
                at_flag=float(flag.expected[0]),
            )
        )
    return aims


def near_green(drawing: Drawing, yards: float = 110.0) -> Drawing:
    """The end of the hole alone: enough for shots at the green, and quick to solve."""
    top = drawing.middle[1]
    patches = []
    for patch in drawing.patches:
        rings = tuple(
            np.column_stack([ring[:, 0], np.maximum(ring[:, 1], top - yards)]) for ring in patch.rings
        )
        if all(np.ptp(ring[:, 1]) > 0 for ring in rings):
            patches.append(type(patch)(patch.surface, rings))
    return replace(drawing, patches=tuple(patches), tee=(0.0, top - yards))


def below_and_above(best: BestPlay, greens: Greens, feet: float = 12.0) -> BelowAndAbove | None:
    """Putts of one length from straight below and above the hole; None on a level green."""
    slope = float(np.hypot(*best.shape.falls_to))
    if slope == 0:
        return None
    distance, none = np.array([feet]), np.zeros(1)
    below = greens.putts_on_slope(distance, np.array([slope]), none)
    above = greens.putts_on_slope(distance, np.array([-slope]), none)
    return BelowAndAbove(float(below[0]), float(above[0]), feet)


def fairway_spot(shape: Shape, left: float) -> tuple[float, float] | None:
    """A cell in the middle of the fairway with so much left to the hole; None if there is no fairway there."""
    ring = (np.abs(shape.distance - left) <= shape.step) & (shape.lie == Lie.FAIRWAY)
    row, column = np.nonzero(ring)
    if not len(row):
        return None
    middle = np.argsort(column)[len(column) // 2]
    return float(shape.x[column[middle]]), float(shape.y[row[middle]])
