"""What pictures of a plan and a bag show, from the answers: pages and programs take it here."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc.units import Unit
from golfstats.ground.club_names import club_words
from golfstats.ground.words import counted, spoken, with_marks
from players.golf.words import strokes_words
from players.pictures.green_subjects import Between
from players.pictures.shapes import Chances, Row, Rows, Scatter, ScatterSide, Stack, Stacks, Written
from players.plans.answers import ClubChoice, PlannedRound, ShotRead
from players.plans.bag import PlayerBag
from players.plans.scatter import SIDES, TeeScatter

TOLD_BIAS = 2.0
"""Yards to one side that a player would notice."""
PARTS = (noop("choice"), noop("execution"), noop("greens"), noop("luck"))


def scores(whole: PlannedRound) -> Chances:
    """Those that are likelier than one in five hundred."""
    likely = [one for one in whole.scores if one.chance >= 0.002] or list(whole.scores)
    words = gettext(
        "Scores to expect: most likely about {expected}, nine in ten between {low} and {high}"
    ).format(expected=f"{whole.expected:.0f}", low=whole.low, high=whole.high)
    if whole.chance_of_target is not None:
        words += gettext("; {value}% are {target} or better").format(
            value=f"{100 * whole.chance_of_target:.0f}", target=whole.target
        )
    return Chances(
        title=gettext("How likely each score is"),
        scores=[(one.score, one.chance) for one in likely],
        low=whole.low,
        high=whole.high,
        target=whole.target,
        words=f"{words}.",
    )


def no_scores() -> Chances:
    """Before a plan is made."""
    title = gettext("How likely each score is")
    return Chances(title=title, scores=[], low=0, high=0, target=None, words=gettext("No plan is made yet."))


def clubs_from_tee(hole: int, offered: Sequence[ClubChoice]) -> Rows:
    """What each club costs beside the best, with what is not known of it."""
    return Rows(
        title=gettext("Hole {number}: what each club costs beside the best").format(number=hole),
        rows=[
            Row(
                club_words(one.club),
                Between(one.worse, max(one.worse - one.half_width, 0.0), one.worse + one.half_width),
                words=with_marks(f"{one.expected:.2f}")
                if place == 0
                else f"{strokes_words(one.worse)} ({one.words})",
                hollow=place > 0 and one.tie,
            )
            for place, one in enumerate(offered)
        ],
        written=Written.GAINED,
        zero=gettext("the best"),
        high=gettext("costs strokes"),
        rings=gettext("clubs that cannot be told apart from the best"),
    )


def scatter(one: TeeScatter) -> Scatter:
    """How the shots with the club that is meant lie about the aim, and what it costs to finish beside it."""
    words = gettext(
        "With the {club} half of the shots finish within {half_across} yards left or right and {half_along} long or "
        "short of the aim, nine in ten within {across} and {along}"
    ).format(
        club=club_words(one.club),
        half_across=f"{one.half_across:.0f}",
        half_along=f"{one.half_along:.0f}",
        across=f"{one.most_across:.0f}",
        along=f"{one.most_along:.0f}",
    )
    if abs(one.bias) >= TOLD_BIAS:
        side = gettext("right") if one.bias > 0 else gettext("left")
        allowed = gettext(
            "; they finish {yards} yards {side} of where they are sent, and the aim allows for it"
        )
        words += allowed.format(yards=f"{abs(one.bias):.0f}", side=side)
    return Scatter(
        title=gettext("Hole {number}: where shots with the {club} finish about the aim").format(
            number=one.hole, club=club_words(one.club)
        ),
        half=(one.half_across, one.half_along),
        most=(one.most_across, one.most_along),
        sides=[_scatter_side(one, side) for side in SIDES],
        words=f"{words}.",
    )


def _scatter_side(one: TeeScatter, side: str) -> ScatterSide:
    costly = one.costs.get(side)
    name = gettext(side)
    if costly is None:
        words = gettext("{side}: costs no more than near the aim")
        return ScatterSide(side, "", "", words.format(side=name))
    cost = with_marks(f"+{costly.cost:.1f}")
    because = spoken(costly.because) if costly.because else ""
    words = gettext("{side}: {cost} strokes").format(side=name, cost=cost)
    return ScatterSide(side, cost, because, f"{words} ({because})" if because else words)


def no_scatter(hole: int) -> Scatter:
    """Before a plan is made."""
    title = gettext("Hole {number}: where shots finish about the aim").format(number=hole)
    nowhere = (0.0, 0.0)
    return Scatter(title=title, half=nowhere, most=nowhere, sides=[], words=gettext("No plan is made yet."))


def parts_by_hole(shots: Sequence[ShotRead]) -> Stacks:
    """Choice, execution, greens and luck of each hole."""
    by_hole: dict[int, dict[str, float]] = {}
    for shot in shots:
        sums = by_hole.setdefault(shot.hole, dict.fromkeys(PARTS, 0.0))
        for part in PARTS:
            sums[part] += getattr(shot, part)
    return Stacks(
        title=gettext("Strokes gained or lost by hole, in four parts"),
        stacks=[Stack(str(number), sums) for number, sums in by_hole.items()],
        unit=Unit.STROKES,
        across="hole",
    )


def bag(answer: PlayerBag) -> Rows:
    """Where nine in ten shots of each club finish."""
    return Rows(
        title=gettext("How far each club goes as plans play it"),
        rows=[
            Row(
                club_words(one.club),
                Between(one.length, one.length - one.along, one.length + one.along),
                words=gettext("{yards} yards").format(yards=f"{one.length:.0f}")
                + f" (± {one.along:.0f}), {counted(one.full_swings, 'full swing')}",
                hollow=not one.length_figure.enough,
            )
            for one in answer.clubs
        ],
        written=Written.WHOLE,
        unit=Unit.YARDS.value,
        bars=gettext("nine shots in ten"),
        rings=gettext("too few full swings of one's own"),
    )
