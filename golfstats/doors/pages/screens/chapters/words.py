"""Words and orders that chapters share."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext

from golfstats.doors.pages.screens.chapters.base import Trust
from players.golf.answers import Benchmark


def trust_in(benchmark: Benchmark) -> Trust:
    """Who the golfer compared with is, and how far to trust them."""
    return Trust((f"{benchmark.name}: {benchmark.description}", benchmark.provenance, benchmark.caution))


def joined(words: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return (
        words[0]
        if len(words) == 1
        else gettext("{listed} and {last}").format(listed=", ".join(words[:-1]), last=words[-1])
        if words
        else ""
    )
