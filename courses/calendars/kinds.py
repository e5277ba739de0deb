"""From the words of somebody's calendar to our kinds of green work."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from golfstats.calc.greens.work_types import work_types

ANYTHING = "*"
"""In an explicit mapping: every event that nothing else fits."""

WORDS: tuple[tuple[str, str], ...] = (
    # The first that is found decides, so narrower words come first.
    (r"double pass|two passes|twice", "coring_double_pass"),
    (r"summer vent", "venting_summer_core"),
    (r"drill", "drill_and_fill"),
    (r"sand inject", "sand_injection"),
    (r"hydro|water inject", "water_injection"),
    (r"air inject", "air_injection"),
    (r"solid|spik", "solid_tine"),
    (r"deep tin|deep aer", "deep_tine"),
    (r"needle|vent|pencil", "venting"),
    (r"spring (coring|aer|hollow)", "coring_spring"),
    (r"(autumn|fall) (coring|aer|hollow)", "coring_autumn"),
    (r"large tin|5/8", "coring_large"),
    (r"small tin|1/4", "coring_small"),
    (r"cor(e|ing)|hollow|aerat|aerif|tin(e|ing)", "coring_medium"),
    (r"deep (verti|scar)|scarif", "verticutting_deep"),
    (r"vertic|verti-c", "verticutting_light"),
    (r"groom", "grooming"),
    (r"brush", "brushing"),
    (r"slic|slit", "slicing"),
    (r"heavy (top|sand)", "topdressing_heavy"),
    (r"top-? ?dress|sanding", "topdressing_light"),
    (r"over-?seed", "overseeding"),
    (r"transition", "transition"),
    (r"roll", "rolling"),
    (r"hole change|pin change|new holes", "hole_change"),
    (r"re-?turf|sod|plug|repair", "turf_repair"),
    (r"diseas|winter ?kill|damage|snow mou?ld", "turf_damage"),
)
"""Our own list: trade words, and the kind that they usually mean."""


def kind_of(categories: Iterable[str], summary: str, mapping: Mapping[str, str]) -> str | None:
    """The kind of an event: by the caller's mapping, by our kinds' names, by trade words; ``None`` if unknown.

    Categories are asked before the summary. Keys of ``mapping`` are lower case.
    """
    texts = [text.strip().lower() for text in [*categories, summary] if text.strip()]
    for text in texts:
        if text in mapping:
            return mapping[text]
    for text in texts:
        found = _by_name(text) or _by_words(text)
        if found:
            return found
    return mapping.get(ANYTHING)


def _by_name(text: str) -> str | None:
    for kind, work_type in work_types().items():
        if text in (kind, work_type.words):
            return kind
    return None


def _by_words(text: str) -> str | None:
    for pattern, kind in WORDS:
        if re.search(pattern, text):
            return kind
    return None
