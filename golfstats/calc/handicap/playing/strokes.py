"""Where handicap strokes fall (Appendices C and E). Strokes given back are negative."""

from __future__ import annotations

from collections.abc import Sequence


def strokes_on_hole(handicap: int, stroke_index: int, holes: int = 18) -> int:
    """Strokes on the hole with this stroke index among ``holes``.

    Received in the order of the index and again from 1 beyond it (index 1 is also 19, 37, 55); a
    plus handicap gives back from the highest index downward.
    """
    every_hole, remainder = divmod(abs(handicap), holes)
    if handicap >= 0:
        return every_hole + (stroke_index <= remainder)
    return -every_hole - (stroke_index > holes - remainder)


def ranks(stroke_indexes: Sequence[int]) -> tuple[int, ...]:
    """Order of the published indexes among themselves, 1 the hardest: a nine renumbered 1 to 9."""
    order = {index: rank for rank, index in enumerate(sorted(stroke_indexes), start=1)}
    return tuple(order[index] for index in stroke_indexes)


def strokes_on_nine(handicap: int, stroke_indexes: Sequence[int]) -> tuple[int, ...]:
    """Strokes on each hole of a nine with its part of an 18-hole allocation."""
    return tuple(strokes_on_hole(handicap, rank, len(stroke_indexes)) for rank in ranks(stroke_indexes))
