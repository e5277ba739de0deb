"""Which benchmark a key means: ``professional``, ``handicap:3.4``, ``handicap:+2``, ``club:12``."""

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

_GOLFER = re.compile(r"(?P<kind>handicap|club):(?P<sign>[+-]?)(?P<number>[0-9]{1,2}(\.[0-9])?)")


class UnknownBenchmark(ValueError):  # noqa: N818 - read as a sentence: "raise UnknownBenchmark"
    """The key names no benchmark; the message says what is allowed."""


@dataclass(frozen=True)
class BenchmarkKey:
    """A parsed key. ``str()`` gives its one canonical spelling, fit for storing."""

    kind: str
    """``professional``, ``handicap`` or ``club``."""
    handicap: float | None = None

    @classmethod
    def parse(cls, text: str) -> BenchmarkKey:
        """The key; :class:`UnknownBenchmark` if it is none.

        A plus handicap is written ``+2`` or ``-2``: in the query of an address a bare + means a space.
        """
        if text == "professional":
            return cls("professional")
        match = _GOLFER.fullmatch(text)
        if match is None:
            raise UnknownBenchmark(
                f"{text!r} is no benchmark: write professional, handicap:<h> or club:<h>, "
                "for example handicap:12.4, and handicap:+2 or handicap:-2 for a plus handicap"
            )
        handicap = float(match["number"]) * (-1.0 if match["sign"] else 1.0) + 0.0
        if not BEST_HANDICAP <= handicap <= HIGHEST_HANDICAP:
            raise UnknownBenchmark(f"{text!r} is no benchmark: a handicap lies between +5 and 54")
        return cls(match["kind"], handicap)

    def __str__(self) -> str:
        return self.kind if self.handicap is None else f"{self.kind}:{handicap_words(self.handicap)}"


def benchmark_for(key: str, club_golfer: Callable[[float], Benchmark | None] | None = None) -> Benchmark:
    """The benchmark of this key.

    ``club_golfer`` looks up the club's stored golfer near a handicap and gives None if there is none.
    :class:`UnknownBenchmark` if the key is none or the club has no such golfer.
    """
    parsed = BenchmarkKey.parse(key)
    if parsed.handicap is None:
        return professional()
    if parsed.kind == "handicap":
        return handicap_golfer(parsed.handicap)
    found = club_golfer(parsed.handicap) if club_golfer is not None else None
    if found is None:
        raise UnknownBenchmark(
            f"this club has no golfers fitted near handicap {handicap_words(parsed.handicap)} yet"
        )
    return found
