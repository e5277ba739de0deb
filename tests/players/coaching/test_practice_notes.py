"""Practice notes: player and coach see the same, with the figure before and after."""

from __future__ import annotations

import datetime as dt

from golfstats.calc.simulate.golfer import golfer_of_handicap
from golfstats.ground.walls.scope import club_scope
from players.rounds import services as posting
from players.rounds.input import RoundInput
from tests.golfers import weaken
from tests.players.coaching.seasons import days_of, play_season, season_bodies
from tests.players.conftest import Place, client_of

ROUNDS = 24


def address(place: Place) -> str:
    return f"/api/v1/players/{place.player.id}/notes"


def test_practice_that_helped_shows_before_and_after(place: Place) -> None:
    weak = season_bodies(place.player, ROUNDS, weaken(golfer_of_handicap(8.0), "putting", 1.5), seed=1)
    better = season_bodies(place.player, ROUNDS, golfer_of_handicap(8.0), seed=2)
    with club_scope(place.club.id):
        bodies = weak[:12] + better[12:]
        posting.post_rounds(place.manager, [RoundInput.model_validate(body) for body in bodies])
    practised = days_of(ROUNDS)[12]
    new = {
        "practised_on": practised.isoformat(),
        "text": "Gate drill from six feet",
        "figure": "gained.putting",
    }
    written = client_of(place.coach).post(address(place), new, format="json")
    assert written.status_code == 201, written.content
    for member in (place.player_member, place.coach, place.manager):
        (note,) = client_of(member).get(address(place)).json()["results"]
        assert note["text"] == "Gate drill from six feet"
        assert note["written_by"] == "coach"
        figure = note["figure"]
        assert figure["before"]["n"] == figure["after"]["n"] == 180  # ten rounds on each side
        assert figure["after"]["value"] > figure["before"]["value"]
        assert figure["comparison"]["chance_first_better"]["value"] > 0.95
        assert "likely better than before" in figure["comparison"]["words"]


def test_a_note_about_no_figure_and_one_with_nothing_after(place: Place) -> None:
    with club_scope(place.club.id):
        play_season(place.manager, place.player, 6)
    today = dt.datetime.now(dt.UTC).date().isoformat()
    client = client_of(place.player_member)
    for figure in ("", "putts.round"):
        new = {"practised_on": today, "text": "x", "figure": figure}
        assert client.post(address(place), new, format="json").status_code == 201
    about, plain = client.get(address(place)).json()["results"]
    assert plain["figure"] is None
    assert about["figure"]["after"]["words"] == "too few: 0 of at least 18 holes"
    assert about["figure"]["comparison"]["words"] == "too few"


def test_only_its_writer_takes_a_note_back(place: Place) -> None:
    new = {"practised_on": "2026-01-02", "text": "Half swings"}
    note = client_of(place.coach).post(address(place), new, format="json").json()
    one = f"/api/v1/notes/{note['id']}"
    assert client_of(place.player_member).delete(one).status_code == 403
    assert client_of(place.other_member).delete(one).status_code == 404
    assert client_of(place.coach).delete(one).status_code == 204
    assert client_of(place.coach).get(address(place)).json()["results"] == []


def test_notes_of_tomorrow_and_of_unknown_figures_are_refused(place: Place) -> None:
    client = client_of(place.coach)
    for new in (
        {"practised_on": "2190-01-01", "text": "x"},
        {"practised_on": "2026-01-02", "text": "x", "figure": "putts.nothing"},
        {"practised_on": "2026-01-02", "text": " "},
    ):
        assert client.post(address(place), new, format="json").status_code == 422
