"""The pictures of a plan: SVG written here, coloured by the page's sheet of styles, so that both schemes have theirs.

Each picture says in a title what it shows; the numbers behind it stand folded beneath.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from golfstats.ground.club_names import club_words
from golfstats.ground.words import signed_number, with_marks
from players.golf.words import strokes_words
from players.pictures.shapes import Chances, Scatter, Stacks
from players.plans.answers import ClubChoice
from players.plans.bag import BagClub

WIDE = 360.0


@dataclass(frozen=True)
class _Scale:
    """From values to places between two edges of a drawing."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        share = (value - self.low) / ((self.high - self.low) or 1.0)
        return round(self.start + share * (self.end - self.start), 1)


def distribution(whole: Chances) -> SafeString:
    """How likely each score of the round is; bars up to the target are filled darker."""
    low, high = whole.scores[0][0], whole.scores[-1][0]
    x = _Scale(low - 0.5, high + 0.5, 8, WIDE - 8)
    top = max(chance for _, chance in whole.scores)
    tall, base = 96.0, 116.0
    gap = (x(low + 1) - x(low)) * 0.14
    bars = format_html_join(
        "",
        '<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>',
        (
            (
                "chance met" if whole.target is not None and score <= whole.target else "chance",
                round(x(score - 0.5) + gap / 2, 1),
                round(base - tall * chance / top, 1),
                round(max(x(score + 0.5) - x(score - 0.5) - gap, 0.5), 1),
                round(tall * chance / top, 1),
            )
            for score, chance in whole.scores
        ),
    )
    step = 1 if high - low < 12 else 2 if high - low < 24 else 5
    ticks = format_html_join(
        "",
        '<text class="mid" x="{}" y="133">{}</text>',
        ((x(score), score) for score in range(low, high + 1) if score % step == 0),
    )
    marks = format_html(
        '<path class="span" d="M{} {} H{}"/><text class="mid" x="{}" y="158">{}</text>',
        x(whole.low),
        139,
        x(whole.high),
        x((whole.low + whole.high) / 2),
        gettext("nine rounds in ten"),
    )
    if whole.target is not None and low <= whole.target <= high:
        edge = x(whole.target + 0.5)
        side = "end" if edge > WIDE / 2 else "start"
        marks += format_html(
            '<path class="target" d="M{0} 14 V{1}"/><text class="strong {2}" x="{3}" y="11">{4}</text>',
            edge,
            base,
            side,
            edge,
            gettext("target {score}").format(score=whole.target),
        )
    return format_html(
        '<svg viewBox="0 -8 {} 172" role="img" class="drawn small"><title>{}</title>{}'
        '<path class="zero" d="M4 {} H{}"/>{}{}</svg>',
        WIDE,
        whole.words,
        bars,
        base,
        WIDE - 4,
        ticks,
        marks,
    )


def choices(offered: Sequence[ClubChoice]) -> SafeString:
    """What each club costs beside the best, with what is not known of it; ties are bracketed with the best."""
    best = offered[0].expected
    reach = max([one.worse + one.half_width for one in offered] + [0.1])
    x = _Scale(0.0, reach, 118, WIDE - 60)
    rows = []
    for place, one in enumerate(offered):
        y = 14 + 22 * place
        words = with_marks(f"{one.expected:.2f}" if place == 0 else f"+{one.worse:.2f}")
        rows.append(
            format_html(
                '<text class="strong end" x="104" y="{}">{}</text><path class="bar" d="M{} {} H{}"/>'
                '<circle class="{}" cx="{}" cy="{}" r="5"/><text x="{}" y="{}">{}</text>',
                y + 4,
                club_words(one.club),
                x(max(one.worse - one.half_width, 0.0)),
                y,
                x(one.worse + one.half_width),
                "dot" if place == 0 or not one.tie else "hollow",
                x(one.worse),
                y,
                WIDE - 46,
                y + 4,
                words,
            )
        )
    ties = [place for place, one in enumerate(offered) if one.tie]
    bracket = SafeString("")
    if ties:
        bracket = format_html('<path class="bracket" d="M112 8 H108 V{0} H112"/>', 20 + 22 * ties[-1])
    description = "; ".join(
        (gettext("{club} is a tie") if one.tie else gettext("{club} costs {worse} more")).format(
            club=club_words(one.club), worse=with_marks(f"{one.worse:.2f}")
        )
        for one in offered[1:]
    )
    return format_html(
        '<svg viewBox="0 0 {} {}" role="img" class="drawn small"><title>{}: {}. {}.</title>'
        '<path class="zero" d="M{} 2 V{}"/>{}{}</svg>',
        WIDE,
        10 + 22 * len(offered),
        club_words(offered[0].club),
        gettext("{strokes} strokes").format(strokes=with_marks(f"{best:.2f}")),
        description or gettext("No other club was worth a look"),
        x(0.0),
        8 + 22 * len(offered),
        bracket,
        SafeString("".join(rows)),
    )


RING, CENTRE = 74.0, (180.0, 112.0)
"""Half of the larger axis of the outer ellipse, and where the aim is drawn."""
WRITTEN_AT = {
    "left": (4, 108, ""),
    "right": (356, 108, "end"),
    "long": (180, 14, "mid"),
    "short": (180, 208, "mid"),
}


def scatter(shape: Scatter) -> SafeString:
    """The aim with the player's own ellipses about it, and what each side costs at the edges."""
    scale = RING / max(*shape.most, 1.0)
    x, y = CENTRE
    rings = format_html_join(
        "",
        '<ellipse class="{}" cx="{}" cy="{}" rx="{}" ry="{}"/>',
        (
            (kind, x, y, round(across * scale, 1), round(along * scale, 1))
            for kind, (across, along) in (("scatter", shape.most), ("scatter half", shape.half))
        ),
    )
    sides = format_html_join(
        "",
        '<g><title>{0}</title><text class="strong {1}" x="{2}" y="{3}">{4}</text>'
        '<text class="{1}" x="{2}" y="{5}">{6}</text></g>',
        (
            (
                one.words,
                WRITTEN_AT[one.name][2],
                WRITTEN_AT[one.name][0],
                WRITTEN_AT[one.name][1],
                f"{gettext(one.name)} {one.cost}".strip(),
                WRITTEN_AT[one.name][1] + 15,
                one.because,
            )
            for one in shape.sides
        ),
    )
    return format_html(
        '<svg viewBox="0 0 {} 228" role="img" class="drawn small"><title>{}. {}</title>{}'
        '<path class="aim" d="M{} {} h12 M{} {} v12"/>{}</svg>',
        WIDE,
        shape.title,
        shape.words,
        rings,
        x - 6,
        y,
        x,
        y - 6,
        sides,
    )


def parts_by_hole(shape: Stacks) -> SafeString:
    """Choice, execution, greens and luck of each hole, stacked about zero."""
    by_hole = {one.name: one.parts for one in shape.stacks}
    if not by_hole:
        return SafeString("")
    gained = [sum(v for v in sums.values() if v > 0) for sums in by_hole.values()]
    lost = [sum(v for v in sums.values() if v < 0) for sums in by_hole.values()]
    y = _Scale(min([*lost, -0.5]), max([*gained, 0.5]), 168, 10)
    x = _Scale(0, len(by_hole), 34, WIDE - 6)
    pieces = []
    for place, (number, sums) in enumerate(by_hole.items()):
        up = down = 0.0
        left, wide = x(place + 0.16), round(x(place + 0.84) - x(place + 0.16), 1)
        for part, value in sums.items():
            start = up if value > 0 else down
            first, last = sorted((y(start), y(start + value)))
            pieces.append(
                format_html(
                    '<rect class="part-{}" x="{}" y="{}" width="{}" height="{}"><title>{}, {}: {}</title></rect>',
                    part,
                    left,
                    first,
                    wide,
                    round(last - first, 1),
                    gettext("Hole {number}").format(number=number),
                    gettext(part),
                    strokes_words(value),
                )
            )
            up, down = (start + value, down) if value > 0 else (up, start + value)
        pieces.append(format_html('<text class="mid" x="{}" y="186">{}</text>', x(place + 0.5), number))
    grid = format_html_join(
        "",
        '<path class="grid" d="M30 {0} H{1}"/><text class="end" x="26" y="{2}">{3}</text>',
        (
            (y(v), WIDE, round(y(v) + 4, 1), signed_number(v, 0, plus=True))
            for v in range(int(y.low), int(y.high) + 1)
        ),
    )
    return format_html(
        '<svg viewBox="0 0 {} 192" role="img" class="drawn small"><title>{}</title>{}{}'
        '<path class="zero" d="M30 {} H{}"/></svg>',
        WIDE,
        gettext("Strokes gained or lost by hole, in four parts. The numbers stand in the table below."),
        grid,
        SafeString("".join(pieces)),
        y(0.0),
        WIDE,
    )


def bag_lengths(clubs: Sequence[BagClub]) -> SafeString:
    """One interval a club: where nine in ten of its shots finish, and how many swings that rests on."""
    low = min(one.length - one.along for one in clubs)
    high = max(one.length + one.along for one in clubs)
    x = _Scale(low, high, 112, WIDE - 34)
    rows = []
    for place, one in enumerate(clubs):
        y = 18 + 21 * place
        rows.append(
            format_html(
                '<text class="strong end" x="104" y="{}">{}</text><path class="bar" d="M{} {} H{}"/>'
                '<circle class="{}" cx="{}" cy="{}" r="4.5"><title>{}: {}</title></circle>'
                '<text class="end" x="{}" y="{}">{}</text>',
                y + 4,
                club_words(one.club),
                x(one.length - one.along),
                y,
                x(one.length + one.along),
                "dot" if one.length_figure.enough else "hollow",
                x(one.length),
                y,
                club_words(one.club),
                gettext("{yards} yards").format(yards=f"{one.length:.0f}"),
                WIDE,
                y + 4,
                one.full_swings,
            )
        )
    bottom = 16 + 21 * len(clubs)
    grid = format_html_join(
        "",
        '<path class="grid" d="M{0} 6 V{1}"/><text class="mid" x="{0}" y="{2}">{3}</text>',
        ((x(yards), bottom, bottom + 14, yards) for yards in range(50, 351, 50) if low <= yards <= high),
    )
    return format_html(
        '<svg viewBox="-24 0 {} {}" role="img" class="drawn small"><title>{}</title>{}{}</svg>',
        WIDE + 24,
        bottom + 20,
        gettext(
            "How far each club goes, in yards, with the range of nine shots in ten and the number of full swings."
        ),
        grid,
        SafeString("".join(rows)),
    )
