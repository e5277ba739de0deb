"""The holes of a tee set as they are drawn."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from courses.layout.models import Gender, Hole, TeeSet
from courses.plans.maps import drawing_of_map
from courses.plans.models import HoleShape
from golfstats.calc.plan.hole.drawing import Drawing
from golfstats.calc.plan.hole.generic import LONGEST, SHORTEST, falls_to, generic_hole
from golfstats.calc.plan.hole.picture import hole_picture
from golfstats.calc.plan.hole.words import HoleWords, HoleWordsFault, read_words
from golfstats.ground.faults import Fault
from golfstats.ground.operations import Asker, Query
from golfstats.sentences import Sentence


@dataclass(frozen=True)
class DrawnHole:
    """A hole ready to be planned."""

    number: int
    par: int
    yards: float
    stroke_index: int | None
    drawing: Drawing


@dataclass(frozen=True)
class ShapedHole:
    """How one hole is drawn."""

    number: int
    """Number of the hole."""
    words: str
    """What was said of it."""
    mapped: bool
    """Drawn from a map; otherwise from the scorecard and the words, and every answer says so."""
    yards: float
    """Along the hole, by the scorecard."""
    straight_yards: float
    """From the tee straight to the middle of the green, as drawn."""
    picture: str
    """SVG."""


@dataclass(frozen=True)
class ShapesStored:
    """What came of describing holes."""

    holes: int
    """How many were described."""


def shaped_holes(_: Asker, tee_sets: Sequence[TeeSet], __: Query) -> list[list[ShapedHole]]:
    """The holes of each tee set as they are drawn, without those that cannot be. Three queries, however many tees."""
    drawn = drawn_holes([tee_set.id for tee_set in tee_sets], Gender.MEN)
    shapes = HoleShape.objects.filter(hole__tee_set__in=tee_sets).values_list(
        "hole__tee_set_id", "hole__number", "words"
    )
    words_of_hole = {(tee_set, number): words for tee_set, number, words in shapes}
    return [
        [
            ShapedHole(
                number=hole.number,
                words=words_of_hole.get((tee_set.id, hole.number), ""),
                mapped=not hole.drawing.generic,
                yards=hole.yards,
                straight_yards=round(hole.drawing.length, 1),
                picture=hole_picture(hole.drawing, hole.drawing.middle),
            )
            for hole in drawn.get(tee_set.id, [])
        ]
        for tee_set in tee_sets
    ]


def drawn_holes(tee_sets: Iterable[UUID], gender: str) -> dict[UUID, list[DrawnHole]]:
    """The holes of each tee set in order, by map, words or scorecard. Two queries, however many tees.

    Without those that only a map could draw, see :func:`not_drawn`.
    """
    holes = list(Hole.objects.filter(tee_set_id__in=list(tee_sets)).order_by("tee_set_id", "number"))
    shapes = {shape.hole_id: shape for shape in HoleShape.objects.filter(hole_id__in=[h.id for h in holes])}
    by_tee_set: dict[UUID, list[DrawnHole]] = {}
    for hole in holes:
        shape = shapes.get(hole.id)
        if needs_a_map(hole, shape):
            continue
        par = hole.par(gender) or hole.par_men or hole.par_women or usual_par(hole.length)
        drawing = _drawing(hole, par, shape)
        drawn = DrawnHole(hole.number, par, hole.length, hole.stroke_index(gender), drawing)
        by_tee_set.setdefault(hole.tee_set_id, []).append(drawn)
    return by_tee_set


def needs_a_map(hole: Hole, shape: HoleShape | None) -> bool:
    """Whether the hole is too short or too long to be drawn from its scorecard, and has no map."""
    mapped = shape is not None and shape.map is not None
    return not mapped and not SHORTEST <= hole.length <= LONGEST


def not_drawn(tee_set: TeeSet, numbers: Collection[int]) -> list[Fault]:
    """Why nothing can be worked out of these holes, a fault for each that cannot be drawn."""
    odd = tee_set.holes.filter(number__in=numbers).exclude(length__range=(SHORTEST, LONGEST))
    holes = list(odd.order_by("number"))
    shapes = {shape.hole_id: shape for shape in HoleShape.objects.filter(hole__in=holes)} if holes else {}
    return [
        Fault("/tee", "hole_needs_a_map", only_a_map(hole.number), hole=hole.number)
        for hole in holes
        if needs_a_map(hole, shapes.get(hole.id))
    ]


def only_a_map(number: int) -> Sentence:
    """Why a hole cannot be drawn."""
    return Sentence(
        "hole {number} is not 40 to 700 yards long: only a map can say what it looks like", number=number
    )


def usual_par(yards: float) -> int:
    """Par by length alone, where a gender has none (common practice, no source)."""
    return 3 if yards < 250 else 4 if yards < 470 else 5


def _drawing(hole: Hole, par: int, shape: HoleShape | None) -> Drawing:
    try:
        words = read_words(shape.words if shape is not None else "")
    except HoleWordsFault:  # written when the words were others
        words = HoleWords()
    if shape is not None and shape.map is not None:
        # A map seldom knows which way a green slopes.
        return replace(drawing_of_map(shape.map), falls_to=falls_to(words.slopes))
    return generic_hole(par, hole.length, words)
