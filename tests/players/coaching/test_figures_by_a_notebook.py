"""Figures of rounds worked out again by pandas, from the shots that anybody may take along and by the meanings that
the data dictionary tells: nothing here is the service's own arithmetic.
"""

from __future__ import annotations

import io

import pandas as pd
import pytest

from golfstats.ground.walls.scope import club_scope
from players.conditions import analysis
from tests.players.conftest import Place, client_of
from tests.players.simulated_golf import play_rounds

BANDS = [(50, 75), (75, 100), (100, 125), (125, 150), (150, 175), (175, 200), (200, float("inf"))]
PARTS = ("tee", "approach", "short_game", "putting")
WITHIN = 0.0003
"""Figures and yards are told to four places, and feet are three times these."""


@pytest.fixture
def figures_and_shots(place: Place) -> tuple[pd.DataFrame, pd.DataFrame]:
    with club_scope(place.club.id):
        play_rounds(place.player_member, place.player, 4)
        play_rounds(place.other_member, place.other_player, 4, handicap=20.0, seed=11)
        analysis.analyse_pending()
    client = client_of(place.manager)
    figures, shots = (
        pd.read_parquet(io.BytesIO(client.get(f"/api/v1/export/{table}.parquet").getvalue()))
        for table in ("figures", "shots")
    )
    return figures, _with_finish(shots)


def _with_finish(shots: pd.DataFrame) -> pd.DataFrame:
    """With where each shot finished, which is where the next one was played from."""
    shots = shots.sort_values(["round", "hole", "shot"]).reset_index(drop=True)
    holes = shots.groupby(["round", "hole"])
    shots["finish"] = holes["lie"].shift(-1).astype(object).mask(shots["holed"], "holed")
    shots["left"] = holes["distance"].shift(-1).mask(shots["holed"], 0.0)
    shots["penalised"] = shots["penalty_strokes"] > 0
    shots["gained_after"] = holes["strokes_gained"].shift(-1)
    shots["taken_before"] = (1 + shots["penalty_strokes"]).groupby([shots["round"], shots["hole"]]).cumsum()
    shots["taken_before"] -= 1 + shots["penalty_strokes"]
    return shots


def _at_the_green(shots: pd.DataFrame) -> pd.DataFrame:
    noted = shots["target_distance"].notna()
    tee = shots["lie"] == "tee"
    aimed_at_hole = noted & ((shots["target_distance"] - shots["distance"]).abs() <= 20)
    within_reach = ~noted & (tee | ((shots["distance"] <= 250) & (shots["lie"] != "recovery")))
    off_the_green = ~shots["lie"].isin(["green", "fringe"])
    at = shots[
        (aimed_at_hole | within_reach) & off_the_green & ~(tee & (shots["par"] > 3)) & shots["finish"].notna()
    ]
    return at.assign(hit=at["finish"].isin(["green", "holed"]) & ~at["penalised"])


def _of_shots(shots: pd.DataFrame) -> dict[str, pd.Series[float]]:
    holes = shots.groupby("round")["hole"].nunique()

    def a_round(some: pd.DataFrame, column: str) -> pd.Series[float]:
        return 18 * some.groupby("round")[column].sum().reindex(holes.index).fillna(0.0) / holes

    def mean(some: pd.DataFrame, column: str) -> pd.Series[float]:
        return some.groupby("round")[column].mean()

    at = _at_the_green(shots)
    misses = at[(at["distance"] >= 50) & ~at["hit"]]
    valued = misses[misses["gained_after"].notna()]
    valued = valued.assign(cost=-valued["strokes_gained"], after=-valued["gained_after"])
    drives = shots[(shots["shot"] == 1) & (shots["par"] > 3) & shots["finish"].notna()]
    kept = drives["finish"].isin(["fairway", "fringe", "green", "holed"]) & ~drives["penalised"]
    found = {
        "gained.total": a_round(shots, "strokes_gained"),
        **{f"gained.{part}": a_round(shots[shots["part"] == part], "strokes_gained") for part in PARTS},
        "misses.green.rate": 1 - mean(at[at["distance"] >= 50], "hit"),
        "misses.green.cost": mean(valued, "cost"),
        "misses.green.shot_after": mean(valued, "after"),
        "misses.green.cost_with_shot_after": mean(
            valued.assign(both=valued["cost"] + valued["after"]), "both"
        ),
        "misses.fairway.rate": 1 - mean(drives.assign(kept=kept), "kept"),
    }
    for low, high in BANDS:
        from_there = at[(at["distance"] >= low) & (at["distance"] < high)]
        far = from_there[["distance", "left"]].max(axis=1)
        from_there = from_there.assign(
            one=1.0, feet=3 * from_there["left"].mask(from_there["penalised"], far)
        )
        band = f"approach.{low}-{high}" if high < 1000 else f"approach.{low}+"
        found |= {
            f"{band}.shots": a_round(from_there, "one"),
            f"{band}.green_hit": mean(from_there, "hit"),
            f"{band}.gained": mean(from_there, "strokes_gained"),
            f"{band}.proximity": from_there.groupby("round")["feet"].median(),
            f"{band}.mean_proximity": mean(from_there, "feet"),
        }
    return found


def _of_holes(shots: pd.DataFrame) -> dict[str, pd.Series[float]]:
    putts = shots[shots["lie"] == "green"]
    first_putts = putts.groupby(["round", "hole"]).first()
    holes = shots.groupby(["round", "hole"]).agg(
        par=("par", "first"), score=("hole_score", "first"), penalties=("penalty_strokes", "sum")
    )
    holes["putts"] = putts.groupby(["round", "hole"]).size().reindex(holes.index).fillna(0)
    to_green = first_putts["taken_before"].reindex(holes.index).fillna(holes["score"])  # or holed from off it
    holes["regulation"] = holes["par"] - to_green >= 2
    holes["three"] = holes["putts"] >= 3
    holes["saved"] = holes["score"] <= holes["par"]
    holes["over"] = holes["score"] - holes["par"]
    before = holes.groupby("round")["over"].shift(1)
    follows = holes[before > 0]

    def mean(some: pd.DataFrame, column: str) -> pd.Series[float]:
        return some.groupby("round")[column].mean()

    lags = first_putts[first_putts["distance"] >= 10]
    lags = lags.assign(feet=3 * lags["left"], outside=lags["left"] > 1)
    return {
        **{f"score.par{par}": mean(holes[holes["par"] == par], "score") for par in (3, 4, 5)},
        "score.to_par": 18 * mean(holes, "over"),
        "score.total": holes.groupby("round")["score"].sum().astype(float),
        "score.bounce_back": mean(follows.assign(under=follows["over"] < 0), "under"),
        "greens.in_regulation": mean(holes, "regulation"),
        "saves.par_or_better": mean(holes[~holes["regulation"]], "saved"),
        "putts.round": 18 * mean(holes, "putts"),
        "putts.three": mean(holes, "three"),
        "putts.green_in_regulation": mean(holes[holes["regulation"]], "putts"),
        "penalties.round": 18 * mean(holes, "penalties"),
        "putting.first_distance": 3 * first_putts.groupby("round")["distance"].median(),
        "putting.lag.leave": lags.groupby("round")["feet"].median(),
        "putting.lag.outside": mean(lags, "outside"),
    }


def test_figures_come_out_of_the_shots_taken_along(
    figures_and_shots: tuple[pd.DataFrame, pd.DataFrame],
) -> None:
    figures, shots = figures_and_shots
    for key, mine in {**_of_shots(shots), **_of_holes(shots)}.items():
        told = figures[(figures["key"] == key) & figures["value"].notna()].set_index("round")["value"]
        assert set(told.index) == set(mine.dropna().index), key
        assert not len(told) or (told - mine).abs().max() < WITHIN, key
    assert {"professional"} == set(figures["benchmark"].dropna())
