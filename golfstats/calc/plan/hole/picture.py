"""A hole as SVG: its surfaces seen from above, tee at the bottom, and where to aim."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from xml.sax.saxutils import escape

import numpy as np

from golfstats.calc.plan.hole.drawing import Drawing, Surface
from golfstats.calc.record import Floats

FILLS = {
    Surface.ROUGH: "#a9c48a",
    Surface.WOODS: "#5f7f52",
    Surface.FAIRWAY: "#c9e2ac",
    Surface.WATER: "#8db8d8",
    Surface.SAND: "#f0e2b0",
    Surface.GREEN: "#e4f4d4",
    Surface.OUT: "#d8d2cb",
}
WORDS = {
    Surface.ROUGH: "rough",
    Surface.WOODS: "trees",
    Surface.FAIRWAY: "fairway",
    Surface.WATER: "penalty area",
    Surface.SAND: "bunker",
    Surface.GREEN: "green",
    Surface.OUT: "out of bounds",
}
PIXELS_A_YARD = 1.5
INK = "#12263f"
LABEL_SIZE, LABEL_LINE = 22, 26
"""Height of a name's letters, and from one line of names to the next; both as pixels of the picture."""


@dataclass(frozen=True)
class Mark:
    """An aim or a finish to be shown, yards."""

    x: float
    y: float
    words: str = ""
    """Said of it to who points at it or listens."""
    kind: str = "aim"
    """aim (with the line to it from the tee), tie (an aim as good as the first), or ball (where a shot may finish)."""
    label: str = ""
    """Written beside it."""


def hole_picture(
    drawing: Drawing,
    pin: tuple[float, float],
    marks: Sequence[Mark] = (),
    squares: Sequence[tuple[float, float, float]] = (),
    side: float = 0.0,
) -> str:
    """The hole from above. Every surface has a title, so that it does not speak by its colour alone.

    ``squares``: places (yards) with the strokes to hole out from there, each drawn ``side`` yards wide and the darker
    the more.
    """
    rings = [ring for patch in drawing.patches for ring in patch.rings] + [
        drawing.green,
        np.array([drawing.tee]),
    ]
    corners = np.concatenate(rings)
    low, high = corners.min(axis=0) - drawing.margin, corners.max(axis=0) + drawing.margin
    wide, tall = (high - low) * PIXELS_A_YARD

    def place(points: Floats) -> Floats:
        moved: Floats = (points - [low[0], high[1]]) * [PIXELS_A_YARD, -PIXELS_A_YARD]
        return moved

    parts = [f'<rect width="{wide:.0f}" height="{tall:.0f}" fill="{FILLS[drawing.base]}"/>']
    parts += [_surface(patch.surface, [place(ring) for ring in patch.rings]) for patch in drawing.patches]
    parts.append(_surface(Surface.GREEN, [place(drawing.green)]))
    parts += _squares(squares, side, place)
    tee_x, tee_y = place(np.array([drawing.tee]))[0]
    pin_x, pin_y = place(np.array([pin]))[0]
    parts.append(
        f'<rect x="{tee_x - 4:.1f}" y="{tee_y - 3:.1f}" width="8" height="6" fill="#333"><title>tee</title></rect>'
    )
    parts.append(
        f'<circle cx="{pin_x:.1f}" cy="{pin_y:.1f}" r="2.5" fill="#b00020"><title>hole</title></circle>'
    )
    at = [(mark, place(np.array([[mark.x, mark.y]]))[0]) for mark in marks]
    for mark, (x, y) in sorted(at, key=lambda one: one[0].kind != "ball"):
        parts.append(_mark(mark, (x, y), (tee_x, tee_y)))
    parts += _labels([(mark.label, x, y) for mark, (x, y) in at if mark.label], wide)
    generic = " (generic)" if drawing.generic else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.0f} {tall:.0f}" role="img" '
        'font-family="Liberation Sans, Arial, sans-serif" '
        f'aria-label="The hole from above{generic}">{"".join(parts)}</svg>'
    )


def _squares(
    squares: Sequence[tuple[float, float, float]], side: float, place: Callable[[Floats], Floats]
) -> list[str]:
    if not squares:
        return []
    strokes = np.array([value for _, _, value in squares])
    shade = 0.75 * (strokes - strokes.min()) / max(float(np.ptp(strokes)), 1e-9)
    corners = place(np.array([(x - side / 2, y + side / 2) for x, y, _ in squares]))
    wide = side * PIXELS_A_YARD
    return [
        f'<rect x="{x:.0f}" y="{y:.0f}" width="{wide:.1f}" height="{wide:.1f}" fill="{INK}" '
        f'fill-opacity="{dark:.2f}"><title>{value:.1f}</title></rect>'
        for (x, y), dark, value in zip(corners, shade, strokes, strict=True)
    ]


def _mark(mark: Mark, at: tuple[float, float], tee: tuple[float, float]) -> str:
    (x, y), (tee_x, tee_y) = at, tee
    if mark.kind == "ball":
        return f'<circle cx="{x:.0f}" cy="{y:.0f}" r="2.2" fill="{INK}" fill-opacity="0.45"/>'
    dashes = ' stroke-dasharray="3 3"' if mark.kind == "tie" else ""
    drawn = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="7" fill="none" stroke="{INK}" stroke-width="2.5"{dashes}>'
    drawn += f"<title>{escape(mark.words)}</title></circle>"
    if mark.kind == "aim":
        line = f'<path d="M{tee_x:.1f},{tee_y:.1f} L{x:.1f},{y:.1f}" fill="none" stroke="{INK}"'
        drawn = f'{line} stroke-width="1.5" stroke-dasharray="7 5"/>{drawn}'
    return drawn


@dataclass(frozen=True)
class _Written:
    """A name as it stands in the picture, with the room that it takes."""

    label: str
    x: float
    y: float
    right: bool
    """Written to the right of ``x``; else it ends there."""

    def meets(self, other: _Written) -> bool:
        (left, right), (other_left, other_right) = self._across(), other._across()
        return abs(self.y - other.y) < LABEL_LINE and left < other_right and other_left < right

    def _across(self) -> tuple[float, float]:
        # Seven tenths of its height a letter are enough for every letter but W, and for other languages' names.
        wide = 0.7 * LABEL_SIZE * len(self.label)
        return (self.x, self.x + wide) if self.right else (self.x - wide, self.x)

    def svg(self) -> str:
        return (
            f'<text x="{self.x:.1f}" y="{self.y:.1f}" text-anchor="{"start" if self.right else "end"}" '
            f'font-size="{LABEL_SIZE}" font-weight="700" fill="{INK}" stroke="#fff" stroke-width="5" '
            f'stroke-linejoin="round" paint-order="stroke">{escape(self.label)}</text>'
        )


def _labels(names: Sequence[tuple[str, float, float]], wide: float) -> list[str]:
    """Each name beside its ring, to the side with more room; lines lower where another name stands already.

    Aims of one club that lie so close share its name.
    """
    written: list[_Written] = []
    for label, x, y in names:
        right = x < wide / 2
        beside = _Written(label, x + (12 if right else -12), y + 7.5, right)
        if any(one.label == label and beside.meets(one) for one in written):
            continue
        for one in sorted(written, key=lambda one: one.y):
            if beside.meets(one):
                beside = replace(beside, y=one.y + LABEL_LINE)
        written.append(beside)
    return [one.svg() for one in written]


def _surface(surface: Surface, rings: Sequence[Floats]) -> str:
    path = " ".join("M" + " L".join(f"{x:.1f},{y:.1f}" for x, y in ring) + " Z" for ring in rings)
    return (
        f'<path d="{path}" fill="{FILLS[surface]}" fill-rule="evenodd"><title>{WORDS[surface]}</title></path>'
    )
