"""Benchmarks by key."""

from __future__ import annotations

import pytest

from golfstats.calc.strokes.benchmark import professional
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.selection import BenchmarkKey, UnknownBenchmark, benchmark_for


@pytest.mark.parametrize(
    ("text", "kind", "handicap", "canonical"),
    [
        ("professional", "professional", None, "professional"),
        ("handicap:3.4", "handicap", 3.4, "handicap:3.4"),
        ("handicap:+2", "handicap", -2.0, "handicap:+2"),
        ("handicap:-2", "handicap", -2.0, "handicap:+2"),
        ("handicap:18.0", "handicap", 18.0, "handicap:18"),
        ("handicap:+0", "handicap", 0.0, "handicap:0"),
        ("club:12", "club", 12.0, "club:12"),
    ],
)
def test_keys(text, kind, handicap, canonical):
    key = BenchmarkKey.parse(text)
    assert (key.kind, key.handicap, str(key)) == (kind, handicap, canonical)
    assert BenchmarkKey.parse(canonical) == key


@pytest.mark.parametrize(
    "text",
    ["", "pro", "handicap", "handicap:", "handicap: 2", "handicap:abc", "handicap:3.45", "handicap:55", "club:+6", "handicap:nan", "handicap:٣", "Professional", "handicap:3\n"],
)  # fmt: skip
def test_anything_else_is_an_unknown_benchmark(text):
    with pytest.raises(UnknownBenchmark, match="is no benchmark"):
        benchmark_for(text)


def test_the_message_says_how_to_write_one():
    with pytest.raises(UnknownBenchmark, match=r"handicap:\+2"):
        benchmark_for("handicap: 2")


def test_benchmarks_by_key():
    assert benchmark_for("professional") is professional()
    assert benchmark_for("handicap:+2").key == handicap_golfer(-2.0).key


def test_the_clubs_golfer_is_looked_up_by_the_caller():
    stored = {12.0: handicap_golfer(12.0)}
    assert benchmark_for("club:12", stored.get) is stored[12.0]
    with pytest.raises(UnknownBenchmark, match="no golfers fitted near handicap 20"):
        benchmark_for("club:20", stored.get)
    with pytest.raises(UnknownBenchmark):
        benchmark_for("club:12")
