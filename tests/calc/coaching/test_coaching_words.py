from golfstats.calc.coaching.words import index_words, likely_better
from golfstats.calc.figure import percent


def test_no_sample_tells_for_certain():
    assert [percent(chance) for chance in (0.0, 0.004, 0.5, 0.874, 0.999, 1.0)] == [
        "1%",
        "1%",
        "50%",
        "87%",
        "99%",
        "99%",
    ]


def test_chance_is_told_of_the_likelier_side():
    assert likely_better(0.87, "in May") == "87% likely better than in May"
    assert likely_better(0.2, "in May") == "80% likely worse than in May"


def test_an_index_better_than_scratch_has_a_plus():
    """As handicaps are written (Rules of Handicapping, definition of Handicap Index)."""
    assert [index_words(index) for index in (3.44, 0.04, -0.02, -1.24)] == ["3.4", "0.0", "0.0", "+1.2"]
