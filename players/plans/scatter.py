"""Where the tee shots of a plan scatter about their aims: the player's own pattern with the club that is meant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from golfstats.calc.plan.shots.pattern import HALF_WITHIN, NINE_TENTHS_WITHIN, Bag
from golfstats.calc.plan.whole import PlannedHole
from golfstats.calc.vocabulary import Lie
from golfstats.ground.operations import Asker, Query
from players.people.models import Player
from players.people.remembered import Remembered
from players.plans.answers import CostlySide
from players.plans.making import learnt_of

SIDES = ("left", "right", "long", "short")


@dataclass(frozen=True)
class TeeScatter:
    """Of one hole, yards. Mis-hits are left out: nobody can aim where they go."""

    hole: int
    club: str
    full_swings: int
    """Own ones that the pattern rests on."""
    half_along: float
    """Half of the shots finish within the ellipse of these two half-axes: along the line and across it."""
    half_across: float
    most_along: float
    """And nine in ten within this one."""
    most_across: float
    bias: float
    """Yards right of where they are sent (left is negative) that shots finish on the mean; the aim allows for it."""
    costs: dict[str, CostlySide]
    """What it costs to finish on a side, for the sides that cost anything to speak of."""


def _patterns(_: Asker, players: Sequence[Player], __: Query) -> list[Bag]:
    return [learnt_of(player).bag for player in players]


PATTERNS = Remembered("patterns", _patterns, Bag)
"""Reading all of a player's golf takes longer than the rest of a plan's page."""


def tee_scatters(asker: Asker, player: Player, holes: Sequence[PlannedHole]) -> list[TeeScatter]:
    """Of holes of one player's plan, in their order. No query without holes."""
    if not holes:
        return []
    (bag,) = PATTERNS(asker, [player], Query())
    return [_scatter(bag, hole) for hole in holes]


def _scatter(bag: Bag, hole: PlannedHole) -> TeeScatter:
    choice = hole.choices[0]
    spread = bag.spread(Lie.TEE, choice.length)
    own = next((club for club in bag.clubs if club.name == choice.club), None)
    half_along, half_across = spread.within(HALF_WITHIN)
    most_along, most_across = spread.within(NINE_TENTHS_WITHIN)
    return TeeScatter(
        hole=hole.number,
        club=choice.club,
        full_swings=own.shots if own else 0,
        half_along=half_along,
        half_across=half_across,
        most_along=most_along,
        most_across=most_across,
        bias=own.off_line(choice.length) if own else 0.0,
        costs={one.side: one for one in hole.keep_away},
    )
