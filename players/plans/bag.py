"""The bag as plans play it: how far each club goes, how widely it scatters, where it misses, and the gaps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc.plan.shots.learn import Learnt
from golfstats.calc.plan.shots.pattern import Bag, ClubPattern
from golfstats.ground.club_names import club_words
from golfstats.ground.operations import Asker, Query
from players.golf.answers import Figure, figure
from players.people.models import Player
from players.people.remembered import Remembered
from players.plans.answers import rests_on
from players.plans.making import handicap_of, learnt_of

NINE_IN_TEN = 2.0
"""Spreads within which nine in ten shots finish: four in five are normal, one in five twice as wide."""
WIDE_GAP, LEAST_GAP, OVERLAP = 0.14, 18.0, 0.04
"""Neighbours leave a hole from this share of the longer club's length (and so many yards), and do the same work below
the last share (our choice)."""
NOTICE = noop(
    "Yards of carry and roll together, in still air, mis-hits aside. A figure is too few below 8 full swings of "
    "known length; the plan then plays with what the handicap and the other clubs say."
)


@dataclass(frozen=True)
class BagClub:
    """One club."""

    club: str
    full_swings: int
    """Own full swings of known length."""
    length: float
    """Yards that the plan takes for it."""
    along: float
    """Yards: nine in ten shots finish no farther than this short or long of the length. Less is better."""
    across: float
    """Yards: the same to either side of where such shots finish on the mean."""
    miss: float
    """Yards right of the aim (left is negative) where they finish on the mean."""
    to_next: float | None
    """Yards to the next shorter club; None for the shortest."""
    length_figure: Figure
    """Yards, by the player's own full swings."""
    length_spread: Figure
    """Standard deviation of the length."""
    direction: Figure
    """Degrees right of the aim."""
    direction_spread: Figure
    """Standard deviation of the direction, degrees."""


@dataclass(frozen=True)
class PlayerBag:
    """A player's clubs, longest first."""

    rests_on: str
    """What the patterns rest on, in words."""
    notice: str
    mishit: float
    """Chance of a mis-hit of a full swing from the fairway."""
    words: list[str]
    """The gaps and overlaps that stand out, and the club that misses most; nothing where none does."""
    clubs: list[BagClub]
    """Longest first."""


def _bags(_: Asker, players: Sequence[Player], __: Query) -> list[PlayerBag]:
    return [_bag(learnt_of(player), handicap_of(player)) for player in players]


def _bag(learnt: Learnt, handicap: float | None) -> PlayerBag:
    patterns = learnt.bag.clubs
    order = sorted(range(len(patterns)), key=lambda row: -patterns[row].length)
    clubs = [_club(learnt, row, shorter) for row, shorter in zip(order, [*order[1:], None], strict=True)]
    return PlayerBag(
        rests_on=rests_on(int(learnt.shots.sum()), handicap),
        notice=gettext(NOTICE),
        mishit=learnt.bag.mishit,
        words=_gap_words(clubs) + _miss_words(clubs),
        clubs=clubs,
    )


def _club(learnt: Learnt, row: int, shorter: int | None) -> BagClub:
    bag: Bag = learnt.bag
    club: ClubPattern = bag.clubs[row]
    figures = learnt.figures(row)
    return BagClub(
        club=club.name,
        full_swings=club.shots,
        length=club.length,
        along=NINE_IN_TEN * club.along * club.length,
        across=NINE_IN_TEN * float(np.tan(club.across)) * club.length,
        miss=float(np.tan(club.bias)) * club.length,
        to_next=None if shorter is None else club.length - bag.clubs[shorter].length,
        length_figure=figure(figures["length"], of="full swing"),
        length_spread=figure(figures["length_spread"], of="full swing"),
        direction=figure(figures["bias"], of="full swing", signed=True),
        direction_spread=figure(figures["direction_spread"], of="full swing"),
    )


def _gap_words(clubs: Sequence[BagClub]) -> list[str]:
    words = []
    for longer, shorter in pairwise(clubs):
        names = {"longer": club_words(longer.club), "shorter": club_words(shorter.club)}
        gap = longer.length - shorter.length
        if gap > max(WIDE_GAP * longer.length, LEAST_GAP):
            open_yards = gettext("{yards} yards lie between {longer} and {shorter}: a hole in the bag.")
            words.append(open_yards.format(yards=f"{gap:.0f}", **names))
        elif gap < OVERLAP * longer.length:
            near = gettext("{longer} and {shorter} are {yards} yards apart: one does for both.")
            words.append(near.format(yards=f"{gap:.0f}", **names))
    return words


def _miss_words(clubs: Sequence[BagClub]) -> list[str]:
    """The club whose mean is surest to lie to one side of the aim, if any is."""
    sure = [
        club
        for club in clubs
        if club.direction.low is not None
        and club.direction.high is not None
        and (club.direction.low > 0 or club.direction.high < 0)
    ]
    if not sure:
        return []
    most = max(sure, key=lambda club: abs(club.miss))
    words = gettext("{club} finishes {yards} yards left of the aim on the mean: the plan aims it right.")
    if most.miss > 0:
        words = gettext("{club} finishes {yards} yards right of the aim on the mean: the plan aims it left.")
    return [words.format(club=club_words(most.club), yards=f"{abs(most.miss):.0f}")]


bags = Remembered("bag", _bags, PlayerBag)
"""Of each player, in their order. From full swings alone: what putts say takes several times as long to read."""
