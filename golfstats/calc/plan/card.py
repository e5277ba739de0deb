"""The plan on paper, as SVG: a page of holes, and a page of greens, each 4¼ × 7 inches so that it fits a pocket.

Rule 4.3a/1 lets a player use pictures of greens no larger than 3/8 inch to 5 yards on a page of this size; a wider
scale is never drawn. Lengths in the SVG are points (72 to the inch).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

import numpy as np

from golfstats.calc.plan.rules import CARD_INCHES, INCHES_PER_YARD
from golfstats.calc.record import Floats
from golfstats.sentences import Sentence, joined

POINTS = 72.0
WIDE, TALL = CARD_INCHES[0] * POINTS, CARD_INCHES[1] * POINTS
MARGIN = 12.0
LARGEST_SCALE = INCHES_PER_YARD * POINTS
"""Points a yard."""
COLUMNS = 3
LINE_LETTERS, LINE_STEP = 90, 8.5
RULE = 'stroke="#999" stroke-width="0.4"'
GREEN = 'fill="#e3f0dc" stroke="#3b6b35" stroke-width="0.7"'
ARROW = "#1d3557"
QUOTE = {'"': "&quot;"}
CAUTION = Sentence("Lightning and heat stop play. The committee decides what may be used in a round.")
Say = Callable[[str], str]
"""How the reader says a sentence; ``str`` for English."""


@dataclass(frozen=True)
class CardRow:
    """One hole of the plan."""

    number: int
    par: int
    yards: float
    club: str
    aim: str
    expected: float
    avoid: str
    """What to keep away from; empty if nothing."""


@dataclass(frozen=True, eq=False)
class CardGreen:
    """A green to be drawn: outline facing the green, yards."""

    number: int
    outline: Floats
    falls_to: tuple[float, float]


def plan_page(title: str, rows: Sequence[CardRow], lines: Sequence[str], say: Say = str) -> str:
    """The holes of the plan; ``lines`` (the sentences for the round) go below them."""
    top, folded = 30.0, _folded(list(map(say, lines)), LINE_LETTERS)
    below = LINE_STEP * len(folded) + 18.0
    step = (TALL - top - below) / max(len(rows), 1)
    parts = [_text(MARGIN, 20.0, say(title), 9.5, weight="bold")]
    for place, row in enumerate(rows):
        parts += _row(row, top + place * step, step, say)
    for place, line in enumerate(folded):
        parts.append(_text(MARGIN, TALL - below + 8.0 + LINE_STEP * place, line, 6.4))
    parts.append(_text(MARGIN, TALL - 7.0, say(CAUTION), 5.2))
    return _page(parts, say(Sentence("The plan on paper: {title}", title=title)))


def _row(row: CardRow, y: float, step: float, say: Say) -> list[str]:
    """Nine holes are written larger than eighteen."""
    size = min(step / 22.5, 1.25)
    first, second = y + step / 2 - 1.0 * size, y + step / 2 + 7.5 * size
    parts = [
        f'<line x1="{MARGIN}" y1="{y:.1f}" x2="{WIDE - MARGIN}" y2="{y:.1f}" {RULE}/>',
        _text(MARGIN, first + 3.0 * size, str(row.number), 9.0 * size, weight="bold"),
        _text(MARGIN + 18, first, say(Sentence("par {par}", par=row.par)), 6.0 * size),
        _text(MARGIN + 18, second, f"{row.yards:.0f}", 6.0 * size),
        _text(MARGIN + 42, first, _cut(say(joined(": ", [row.club, row.aim])), int(70 / size)), 7.0 * size),
        _text(
            WIDE - MARGIN,
            first + 3.0 * size,
            say(joined("", [f"{row.expected:.1f}"])),
            8.0 * size,
            anchor="end",
        ),
    ]
    if row.avoid:
        avoid = say(Sentence("not {avoid}", avoid=row.avoid))
        parts.append(_text(MARGIN + 42, second, _cut(avoid, int(80 / size)), 6.0 * size))
    return parts


def greens_page(greens: Sequence[CardGreen]) -> str:
    """Every green at one scale, with an arrow the way it falls."""
    rows = -(-len(greens) // COLUMNS)
    wide, tall = (WIDE - 2 * MARGIN) / COLUMNS, (TALL - 2 * MARGIN) / max(rows, 1)
    scale = picture_scale([green.outline for green in greens], wide - 10.0, tall - 16.0)
    parts = []
    for place, green in enumerate(greens):
        left, top = MARGIN + wide * (place % COLUMNS), MARGIN + tall * (place // COLUMNS)
        middle = (green.outline.min(axis=0) + green.outline.max(axis=0)) / 2
        centre = np.array([left + wide / 2, top + tall / 2 + 4.0])
        points = centre + (green.outline - middle) * [scale, -scale]
        parts.append(_text(left + 2, top + 9.0, str(green.number), 8.0, weight="bold"))
        parts.append(f'<polygon points="{_points(points)}" {GREEN}/>')
        parts.append(_arrow(centre, green.falls_to))
    parts.append(_text(WIDE - MARGIN, TALL - 5.0, _scale_words(scale), 5.2, anchor="end"))
    return _page(parts, "The greens on paper, all at one scale")


def picture_scale(outlines: Sequence[Floats], wide: float, tall: float) -> float:
    """Points a yard at which every outline fits, never larger than the rule allows."""
    if not outlines:
        return LARGEST_SCALE
    sizes = np.array([np.ptp(outline, axis=0) for outline in outlines])
    return float(min(LARGEST_SCALE, wide / sizes[:, 0].max(), tall / sizes[:, 1].max()))


def _scale_words(scale: float) -> str:
    return f"5 yards = {5 * scale / POINTS:.2f} inch (at most 0.375 by Rule 4.3a/1)"


def _arrow(centre: Floats, falls_to: tuple[float, float]) -> str:
    size = float(np.hypot(*falls_to))
    if size == 0:
        return ""
    way = np.array([falls_to[0], -falls_to[1]]) / size
    beside = np.array([-way[1], way[0]])
    start, tip = centre - 11.0 * way, centre + 11.0 * way
    head = np.array([tip, tip - 5.0 * way + 2.5 * beside, tip - 5.0 * way - 2.5 * beside])
    return (
        f'<path d="M{start[0]:.1f},{start[1]:.1f} L{tip[0]:.1f},{tip[1]:.1f}" stroke="{ARROW}"/>'
        f'<polygon points="{_points(head)}" fill="{ARROW}"/>'
    )


def _page(parts: Sequence[str], words: str) -> str:
    """Colours stand with each shape: a page's security policy forbids a sheet of styles within it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{CARD_INCHES[0]}in" height="{CARD_INCHES[1]}in" '
        f'viewBox="0 0 {WIDE:g} {TALL:g}" font-family="Liberation Sans, Arial, sans-serif" role="img" '
        f'aria-label="{escape(words, QUOTE)}">'
        f'<rect width="{WIDE:g}" height="{TALL:g}" fill="#fff"/>' + "".join(parts) + "</svg>"
    )


def _text(
    x: float, y: float, words: str, size: float, *, weight: str = "normal", anchor: str = "start"
) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" font-weight="{weight}" text-anchor="{anchor}">'
        f"{escape(words)}</text>"
    )


def _points(points: Floats) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in points)


def _cut(words: str, most: int) -> str:
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"


def _folded(lines: Sequence[str], most: int) -> list[str]:
    folded: list[str] = []
    for line in lines:
        rest = line
        while len(rest) > most:
            space = rest.rfind(" ", 0, most)
            cut = space if space > 0 else most
            folded.append(rest[:cut])
            rest = rest[cut:].lstrip()
        folded.append(rest)
    return folded
