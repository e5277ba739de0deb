"""Which golfer a player is compared with."""

from __future__ import annotations

from golfstats.calc.strokes.benchmark import Benchmark
from golfstats.calc.strokes.selection import benchmark_for as find_benchmark


def benchmark_for(key: str) -> Benchmark:
    """The benchmark of a key such as ``professional``, ``handicap:3.4`` or ``club:12``.

    Raises ``UnknownBenchmark`` with the reason.
    """
    return find_benchmark(key, None)
