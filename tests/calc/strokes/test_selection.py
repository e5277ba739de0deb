"""Benchmarks by key."""

from __future__ import annotations

import pytest

from golfstats.calc.strokes.benchmark import professional
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.selection import BenchmarkKey, UnknownBenchmarkError, benchmark_for


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
        ("club:12:women", "club", 12.0, "club:12:women"),
        ("handicap:+2:men", "handicap", -2.0, "handicap:+2:men"),
        ("peer", "peer", None, "peer"),
    ],
)
def test_keys(text, kind, handicap, canonical):
    key = BenchmarkKey.parse(text)
    assert (key.kind, key.handicap, str(key)) == (kind, handicap, canonical)
    assert BenchmarkKey.parse(canonical) == key


@pytest.mark.parametrize(
    "text",
    ["", "pro", "handicap", "handicap:", "handicap: 2", "handicap:abc", "handicap:3.45", "handicap:55", "club:+6", "handicap:nan", "handicap:٣", "Professional", "handicap:3\n", "handicap:3:mixed", "peer:12", "handicap:3:"],
)  # fmt: skip
def test_anything_else_is_an_unknown_benchmark(text):
    with pytest.raises(UnknownBenchmarkError, match="is no benchmark"):
        benchmark_for(text)


def test_the_message_says_how_to_write_one():
    with pytest.raises(UnknownBenchmarkError, match=r"handicap:\+2"):
        benchmark_for("handicap: 2")


def test_benchmarks_by_key():
    assert benchmark_for("professional") is professional()
    assert benchmark_for("handicap:+2").key == handicap_golfer(-2.0).key


def test_a_golfer_of_a_handicap_is_of_the_players_gender_unless_the_key_names_one():
    assert benchmark_for("handicap:9", gender="women") is handicap_golfer(9.0, "women")
    assert benchmark_for("handicap:9:men", gender="women") is handicap_golfer(9.0, "men")
    assert benchmark_for(benchmark_for("handicap:9", gender="women").key) is handicap_golfer(9.0, "women")


def test_a_peer_is_of_the_players_own_handicap_and_gender():
    assert benchmark_for("peer", gender="women", handicap=17.6) is handicap_golfer(18.0, "women")
    assert benchmark_for("peer", gender="men", handicap=-1.8) is handicap_golfer(-2.0, "men")
    # The model bogey golfers of the course rating system (a golf association's page): about 20 and 24.
    assert benchmark_for("peer", gender="men") is handicap_golfer(20.0, "men")
    assert benchmark_for("peer", gender="women") is handicap_golfer(24.0, "women")


def test_the_clubs_golfer_is_looked_up_by_the_caller():
    stored = {(12.0, "women"): handicap_golfer(12.0, "women")}

    def look_up(handicap, gender):
        return stored.get((handicap, gender))

    assert benchmark_for("club:12", look_up, "women") is stored[12.0, "women"]
    assert benchmark_for("club:12:women", look_up, "men") is stored[12.0, "women"]
    with pytest.raises(UnknownBenchmarkError, match=r"no golfers fitted near handicap 12 \(men\)"):
        benchmark_for("club:12", look_up)
    with pytest.raises(UnknownBenchmarkError, match="no golfers fitted near handicap 20"):
        benchmark_for("club:20", look_up)
    with pytest.raises(UnknownBenchmarkError):
        benchmark_for("club:12")
