"""Which benchmark a key means.

``peer`` is a golfer of the player's own handicap and rating gender; ``professional``; ``handicap:3.4`` and
``handicap:+2`` a golfer of that handicap, ``club:12`` the club's own golfers near it, both of the player's
gender unless the key names one (``handicap:3.4:women``).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from golfstats.calc.strokes.benchmark import Benchmark, professional
from golfstats.calc.strokes.handicap_golfer import (
    BEST_HANDICAP,
    HIGHEST_HANDICAP,
    handicap_golfer,
    handicap_words,
)
from golfstats.calc.strokes.peer import peer
from golfstats.calc.strokes.reference_course import Gender
from golfstats.sentences import Sentence

_GOLFER = re.compile(
    r"(?P<kind>handicap|club):(?P<sign>[+-]?)(?P<number>[0-9]{1,2}(\.[0-9])?)(:(?P<gender>men|women))?"
)

ClubGolfers = Callable[[float, Gender], Benchmark | None]
"""Looks up the club's stored golfer near a handicap; None if there is none."""


class UnknownBenchmarkError(ValueError):
    """The key names no benchmark; the message says what is allowed."""


@dataclass(frozen=True)
class BenchmarkKey:
    """A parsed key. ``str()`` gives its one canonical spelling, fit for storing."""

    kind: str
    """``peer``, ``professional``, ``handicap`` or ``club``."""
    handicap: float | None = None
    gender: Gender | None = None
    """None: the gender of the player who is compared."""

    @classmethod
    def parse(cls, text: str) -> BenchmarkKey:
        """The key; :class:`UnknownBenchmarkError` if it is none.

        A plus handicap is written ``+2`` or ``-2``: in the query of an address a bare + means a space.
        """
        if text in ("peer", "professional"):
            return cls(text)
        match = _GOLFER.fullmatch(text)
        if match is None:
            raise UnknownBenchmarkError(
                Sentence(
                    "{text} is no benchmark: write peer, professional, handicap:<h> or club:<h>, "
                    "for example handicap:12.4, and handicap:+2 or handicap:-2 for a plus handicap; "
                    ":men or :women after it chooses the rating gender",
                    text=repr(text),
                )
            )
        handicap = float(match["number"]) * (-1.0 if match["sign"] else 1.0) + 0.0
        if not BEST_HANDICAP <= handicap <= HIGHEST_HANDICAP:
            raise UnknownBenchmarkError(
                Sentence("{text} is no benchmark: a handicap lies between +5 and 54", text=repr(text))
            )
        gender: Gender | None = "women" if match["gender"] == "women" else "men" if match["gender"] else None
        return cls(match["kind"], handicap, gender)

    def __str__(self) -> str:
        if self.handicap is None:
            return self.kind
        words = f"{self.kind}:{handicap_words(self.handicap)}"
        return words if self.gender is None else f"{words}:{self.gender}"


def benchmark_for(
    key: str,
    club_golfer: ClubGolfers | None = None,
    gender: Gender = "men",
    handicap: float | None = None,
) -> Benchmark:
    """The benchmark of this key for a player of this rating gender and handicap (None: none yet).

    :class:`UnknownBenchmarkError` if the key is none or the club has no such golfer.
    """
    parsed = BenchmarkKey.parse(key)
    if parsed.kind == "professional":
        return professional()
    if parsed.handicap is None:
        return peer(handicap, gender)
    of = parsed.gender or gender
    if parsed.kind == "handicap":
        return handicap_golfer(parsed.handicap, of)
    golfer = club_golfer(parsed.handicap, of) if club_golfer is not None else None
    if golfer is None:
        raise UnknownBenchmarkError(
            Sentence(
                "this club has no golfers fitted near handicap {handicap} ({of}) yet",
                handicap=handicap_words(parsed.handicap),
                of=of,
            )
        )
    return golfer
