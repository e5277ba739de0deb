"""The demo's away course: maps that can be used, and a kept plan that is whole."""

from __future__ import annotations

import numpy as np
import pytest

from courses.plans.maps import drawing_of_map
from golfstats.calc.plan.hole.drawing import Surface
from golfstats.demo import away
from players.plans.answers import ROUND
from players.plans.making import HOLE, restored
from players.plans.on_course.afterwards import PARTS
from players.rounds import services as posting

FACTS = away.read_facts()


@pytest.mark.parametrize("shape", FACTS["shapes"], ids=lambda shape: f"hole {shape['number']}")
def test_every_hole_is_drawn_as_long_as_its_scorecard_says(shape):
    drawing = drawing_of_map(shape["map"])
    hole = FACTS["course"]["tee_sets"][0]["holes"][shape["number"] - 1]
    # Straight from tee to green is shorter than along a bent hole, and never longer.
    assert 0.9 * hole["length"] < drawing.length <= hole["length"] + 3
    assert any(patch.surface == Surface.SAND for patch in drawing.patches)


def test_the_course_lies_where_no_course_can():
    """In the Atlantic, far from any land, so that the drawing can be taken for no course."""
    for shape in FACTS["shapes"]:
        for feature in shape["map"]["features"]:
            corners = np.array(feature["geometry"]["coordinates"]).reshape(-1, 2)
            assert ((corners > (-28, 47)) & (corners < (-27, 48))).all()
    assert "Invented" in FACTS["about"]


def test_the_kept_plan_is_whole_and_its_parts_add_up():
    kept = away.kept()
    holes = [HOLE.validate_python(hole["document"]) for hole in kept["holes"]]
    whole = ROUND.validate_python(kept["plan"]["document"])
    assert [hole.number for hole in holes] == list(range(1, 10))
    assert whole.generic_holes == 0
    assert whole.greens_add > 0.3  # cored a week ago
    totals = np.sum([restored(hole["simulated"]).score for hole in kept["holes"]], axis=0)
    assert totals.mean() == pytest.approx(whole.expected)
    assert kept["plan"]["full_swings"] > 100
    document = kept["afterwards"]["document"]
    shots = [shot for hole in kept["afterwards"]["holes"].values() for shot in hole]
    text = (away.FOLDER / "away_round.txt").read_text(encoding="utf-8")
    posted = posting.round_of_text(f"player: {FACTS['plan']['player']}\n{text}")
    assert len(shots) == sum(len(hole.shots) for hole in posted.holes)
    assert sum(document[part] for part in PARTS[:4]) == pytest.approx(document["total"], abs=1e-3)
    for shot in shots:
        assert sum(shot[part] for part in PARTS[:4]) == pytest.approx(shot["total"], abs=4e-4)
