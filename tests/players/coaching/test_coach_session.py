"""A coach's afternoon from end to end: a file of old rounds, what to work on, a goal, a note, the dashboard."""

from __future__ import annotations

import csv
import datetime as dt
import io
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.clock import today_at
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from players.coaching.models import PlayerReport
from players.coaching.reports.report import coaching_report
from tests.golfers import weaken
from tests.players.coaching.seasons import days_of, season_bodies
from tests.players.conftest import Place, client_of

ROUNDS = 30


def as_shots_file(bodies: list[dict[str, Any]]) -> bytes:
    """Columns named as somebody else names them; feet on the green."""
    names = ["lie", "distance", "club", "penalty_strokes", "penalty_kind"]
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(["Name", "Date", "Hole", "Ball lies", *names[1:], "picked_up"])
    for body in bodies:
        for hole in body["holes"]:
            for shot in hole["shots"]:
                cells = [shot.get(name, "") for name in names]
                picked_up = "yes" if hole.get("picked_up") else ""
                writer.writerow(["Ines Aldana", body["played_on"], hole["number"], *cells, picked_up])
    return text.getvalue().encode()


def test_a_coachs_afternoon(place: Place) -> None:
    client = client_of(place.coach)
    player = f"/api/v1/players/{place.player.id}"
    bodies = season_bodies(place.player, ROUNDS, weaken(golfer_of_handicap(8.0), "putting", 1.3))
    form = {
        "kind": "shots",
        "columns": '{"player": "Name", "played_on": "Date", "hole": "Hole", "lie": "Ball lies"}',
        "constants": '{"course": "Long course", "tee": "White"}',
        "file": SimpleUploadedFile("old.csv", as_shots_file(bodies)),
    }
    started = client.post("/api/v1/imports", form, format="multipart")
    assert started.status_code == 202, started.content
    worker.drain()
    done = client.get(f"/api/v1/imports/{started.json()['id']}").json()
    assert (done["state"], done["added"], done["faults"]) == ("done", ROUNDS, [])

    priorities = client.get(f"{player}/priorities").json()
    assert priorities["parts"][0]["group"] == "putting"
    due = (today_at(place.club) + dt.timedelta(days=40)).isoformat()
    goal = client.post(
        f"{player}/goals", {"figure": "putts.round", "target": 30, "due_on": due}, format="json"
    )
    assert goal.status_code == 201
    note = {"practised_on": days_of(ROUNDS)[15].isoformat(), "text": "Lag putting", "figure": "putts.three"}
    assert client.post(f"{player}/notes", note, format="json").status_code == 201
    worker.drain()

    with club_scope(place.club.id):
        stored = coaching_report(PlayerReport.objects.get().document)
    live = client.get(f"{player}/trends").json()["trends"]
    assert [(one.key, one.compared_with.words) for one in stored.trends] == [
        (one["key"], one["compared_with"]["words"]) for one in live
    ]
    assert stored.priorities is not None
    assert [one.group for one in stored.priorities.parts] == [one["group"] for one in priorities["parts"]]
    assert stored.priorities.parts[0].words == priorities["parts"][0]["words"]
    (kept,) = stored.goals
    assert str(kept.id) == goal.json()["id"]
    assert kept.progress.words == goal.json()["progress"]["words"]
