"""Where missed shots go, seen from above: the target in the middle, a disc for each side as large as its share."""

from __future__ import annotations

import math
from collections.abc import Mapping

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from golfstats.doors.pages.pictures.frame import NOTHING, drawing, words
from golfstats.ground.words import percent_words
from players.pictures.shapes import Sides

WIDTH, HEIGHT = 420, 300
PLACES = {"left": (90, 150), "right": (330, 150), "long": (210, 52), "short": (210, 248)}
LARGEST = 42


def drawn(shape: Sides) -> SafeString:
    return sides(
        shape.title,
        {one.name: one.share for one in shape.sides},
        {one.name: one.words for one in shape.sides},
    )


def sides(title: str, shares: Mapping[str, float], tooltips: Mapping[str, str]) -> SafeString:
    """``shares`` of left, right, short and long; ``said`` what each cost. Better is nowhere: only size speaks."""
    known = {side: share for side, share in shares.items() if side in PLACES}
    if not known or max(known.values()) <= 0:
        return NOTHING
    parts = [SafeString('<ellipse cx="210" cy="150" rx="62" ry="48" class="ground"/>')]
    parts.append(words("210", "154", gettext("target"), "mid"))
    for side, share in known.items():
        x, y = PLACES[side]
        radius = LARGEST * math.sqrt(share / max(known.values()))
        parts.append(
            format_html(
                '<circle cx="{}" cy="{}" r="{}" class="band"><title>{}</title></circle>',
                x,
                y,
                f"{radius:.1f}",
                tooltips.get(side, side),
            )
        )
        parts.append(words(str(x), str(y - 1), gettext(side), "mid strong"))
        parts.append(words(str(x), str(y + 13), percent_words(share), "mid"))
    if known.keys() <= {"left", "right"}:
        return drawing(WIDTH, HEIGHT, title, parts, "small", top=94, cut=94)
    return drawing(WIDTH, HEIGHT, title, parts, "small")
