"""Which picture, of which rounds, on what ground."""

from __future__ import annotations

from enum import StrEnum

from pydantic import Field

from players.golf.questions import FigureKey, WindowQuery
from players.pictures.colours import Scheme


class PictureName(StrEnum):
    """What a picture of a player shows."""

    PARTS = "parts"
    """Where do the strokes go? Strokes gained a round by part of the game."""
    CLUBS = "clubs"
    """How far does each club go? The middle half of its full swings."""
    APPROACH = "approach"
    """Which approaches cost? Strokes gained a shot by distance."""
    SHORT_GAME = "short-game"
    """Does the short game save strokes? The shares that come off."""
    PUTTS_HOLED = "putts-holed"
    """How are putts holed? The share by distance, beside the golfer compared with."""
    PUTTS_MISSED = "putts-missed"
    """Is enough break played? The share of misses on the low side."""
    MISSED_GREENS = "missed-greens"
    """Which way do shots miss the green? The target seen from above."""
    MISSED_FAIRWAYS = "missed-fairways"
    """Which way do drives miss the fairway?"""
    GREENS_OR_ME = "greens-or-me"
    """Was it the greens or the stroke? Putting as it was, what the greens took, and without that."""
    TREND = "trend"
    """Is it getting better? A figure by round, its level with the 90% band; `figure` says which."""
    PRIORITIES = "priorities"
    """What is worth working on? Strokes a round to gain."""
    INDEX = "index"
    """How did the handicap index move? Unofficial."""


class PictureQuery(WindowQuery):
    name: PictureName
    """Which picture, as the list of pictures names it."""
    figure: FigureKey = Field(
        "gained.total", description="Key of a figure, for `trend`: strokes gained in all if left out."
    )
    scheme: Scheme = Scheme.LIGHT
    """On what ground the picture stands."""

    def given(self) -> dict[str, object]:
        """Benchmark, unit and window under the names that an address gives them."""
        own = {"name", "figure", "scheme"}
        return self.model_dump(by_alias=True, exclude=own, exclude_none=True)
