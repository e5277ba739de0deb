"""What GraphQL changes: through REST's services, as a whole or not at all."""

from __future__ import annotations

from typing import Any

import pytest

from courses.greens.models import GreenWork
from courses.layout.models import Course
from golfstats.ground.outbox.models import OutstandingWork
from golfstats.ground.walls.scope import club_scope
from players import kinds
from players.coaching.models import AttentionDismissal, Goal, PracticeNote
from players.rounds.models import Round
from tests.factories import round_body
from tests.graphql.alike import camel
from tests.graphql.asking import ADDRESS, ask, data, post, refusal
from tests.players.conftest import Place, client_of

POST = "mutation P($round: RoundInput!) { postRound(given: $round) { id score player { name } holes { shots { lie distance } } } }"
POST_TEXT = "mutation P($text: String!) { postRoundText(given: {notation: $text}) { id score holesPlayed } }"
ADD_WORK = "mutation W($course: UUID!, $work: GreenWorkInput!) { addGreenWork(id: $course, given: $work) { id kind words startsOn endsOn sequence } }"
WORK = {"kind": "solid_tine", "startsOn": "2026-06-01"}


def course_id(place: Place) -> str:
    with club_scope(place.club.id):
        return str(Course.objects.get().id)


def count(place: Place, model: Any) -> int:
    with club_scope(place.club.id):
        return model.objects.count()


def test_a_round_is_posted_as_json_and_read_back_by_rest(place: Place) -> None:
    posted = data(place.coach, POST, round=camel(round_body(place.player)))["postRound"]
    assert posted["score"] == 72
    assert posted["player"] == {"name": "Ines Aldana"}
    assert posted["holes"][0]["shots"][0] == {"lie": "tee", "distance": 390.0}
    rest = client_of(place.coach).get(f"/api/v1/rounds/{posted['id']}").json()
    assert [len(hole["shots"]) for hole in rest["round"]["holes"]] == [
        len(hole["shots"]) for hole in posted["holes"]
    ]
    asked = OutstandingWork.objects.values_list("kind", flat=True)
    assert set(asked) >= {kinds.ROUND_ANALYSIS, kinds.HANDICAP}


def test_a_round_is_posted_in_the_compact_notation(place: Place) -> None:
    rest = client_of(place.coach)
    first = rest.post("/api/v1/rounds", round_body(place.player), format="json").json()["id"]
    text = rest.get(f"/api/v1/rounds/{first}", headers={"Accept": "text/plain"}).content.decode()
    posted = data(place.coach, POST_TEXT, text=text)["postRoundText"]
    assert (posted["score"], posted["holesPlayed"]) == (72, 18)
    assert posted["id"] != first


EDIT = """mutation E($id: UUID!, $round: RoundInput!, $seen: Int) {
  editRound(id: $id, given: $round, version: $seen) { id score version analysis holesPlayed } }"""
EDIT_TEXT = """mutation E($id: UUID!, $text: String!, $seen: Int) {
  editRoundText(id: $id, given: {notation: $text}, version: $seen) { version } }"""
CORRECT = """mutation E($id: UUID!, $changes: RoundChangesInput!, $seen: Int) {
  correctRound(id: $id, given: $changes, version: $seen) { version score } }"""
DELETE = "mutation D($id: UUID!, $seen: Int) { deleteRound(id: $id, version: $seen) }"
AGAIN = "mutation A($id: UUID!) { analyseRoundAgain(id: $id) { id analysis analysisReason } }"


@pytest.fixture
def posted(place: Place) -> str:
    return str(data(place.coach, POST, round=camel(round_body(place.player)))["postRound"]["id"])


def test_a_round_is_replaced_and_analysed_again(place: Place, posted: str) -> None:
    OutstandingWork.objects.all().delete()
    nine = round_body(place.player) | {"section": "front"}
    nine["holes"] = nine["holes"][:9]
    edited = data(place.coach, EDIT, id=posted, round=camel(nine), seen=1)["editRound"]
    assert edited == {"id": posted, "score": 36, "version": 2, "analysis": "pending", "holesPlayed": 9}
    rest = client_of(place.coach)
    assert len(rest.get(f"/api/v1/rounds/{posted}").json()["round"]["holes"]) == 9
    assert kinds.ROUND_ANALYSIS in OutstandingWork.objects.values_list("kind", flat=True)
    text = rest.get(f"/api/v1/rounds/{posted}", headers={"Accept": "text/plain"}).content.decode()
    assert data(place.coach, EDIT_TEXT, id=posted, text=text, seen=2)["editRoundText"]["version"] == 3


def test_a_round_that_was_changed_meanwhile_is_neither_replaced_nor_deleted(
    place: Place, posted: str
) -> None:
    body = round_body(place.player)
    data(place.coach, EDIT, id=posted, round=camel(body), seen=1)
    stale = refusal(place.coach, EDIT, id=posted, round=camel(body), seen=1)
    assert stale["extensions"]["status"] == 412
    assert refusal(place.coach, DELETE, id=posted, seen=1)["extensions"]["status"] == 412
    assert data(place.coach, DELETE, id=posted, seen=2) == {"deleteRound": True}
    assert count(place, Round) == 0


def test_a_replacement_with_faults_leaves_the_round_as_it_was(place: Place, posted: str) -> None:
    body = round_body(place.player)
    body["holes"][2]["shots"][1]["lie"] = "lake"
    (fault,) = refusal(place.coach, EDIT, id=posted, round=camel(body), seen=1)["extensions"]["errors"]
    assert (fault["hole"], fault["shot"]) == (3, 2)
    unread = refusal(place.coach, EDIT_TEXT, id=posted, text="1 Q9", seen=1)["extensions"]["errors"]
    assert unread[0]["line"] == 1
    assert client_of(place.coach).get(f"/api/v1/rounds/{posted}").json()["version"] == 1


def test_an_analysis_is_asked_for_once_more(place: Place, posted: str) -> None:
    with club_scope(place.club.id):
        Round.objects.update(analysis="failed", analysis_reason="the worker was stopped")
    OutstandingWork.objects.all().delete()
    again = data(place.coach, AGAIN, id=posted)["analyseRoundAgain"]
    assert again == {"id": posted, "analysis": "pending", "analysisReason": ""}
    assert OutstandingWork.objects.filter(kind=kinds.ROUND_ANALYSIS).exists()


def test_rounds_of_others_are_not_there_to_change(place: Place, posted: str) -> None:
    for member in (place.other_member, place.greenkeeper):
        for query in (DELETE, AGAIN):
            assert refusal(member, query, id=posted)["extensions"]["status"] == 404
        edited = refusal(member, EDIT, id=posted, round=camel(round_body(place.player)))
        assert edited["extensions"]["status"] == 404
    assert count(place, Round) == 1


def test_faults_name_hole_and_shot_as_rest_does(place: Place) -> None:
    body = round_body(place.player)
    body["holes"][2]["shots"][1]["lie"] = "lake"
    error = refusal(place.coach, POST, round=camel(body))
    rest = client_of(place.coach).post("/api/v1/rounds", body, format="json").json()
    assert error["extensions"]["errors"] == rest["errors"]
    assert error["extensions"]["status"] == 422
    assert error["extensions"]["type"] == "/problems/invalid-request"
    (fault,) = error["extensions"]["errors"]
    assert (fault["hole"], fault["shot"]) == (3, 2)
    assert count(place, Round) == 0


def test_a_round_is_corrected_in_part(place: Place, posted: str) -> None:
    corrected = data(place.coach, CORRECT, id=posted, changes={"ball": "soft"}, seen=1)["correctRound"]
    assert corrected == {"version": 2, "score": 72}
    rest = client_of(place.coach).get(f"/api/v1/rounds/{posted}").json()["round"]
    assert (rest["ball"], len(rest["holes"])) == ("soft", 18)
    assert refusal(place.coach, CORRECT, id=posted, changes={}, seen=1)["extensions"]["status"] == 412


def test_a_mutation_that_fails_after_writing_leaves_nothing(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The trap: the answer is a 200, so nobody rolls back what was written before the error."""

    def write_and_fail(member: object, course: Course, given: object) -> None:
        GreenWork.objects.create(
            course=course, kind="rolling", starts_on="2026-06-01", ends_on="2026-06-01", uid="half"
        )
        raise RuntimeError("the disk is on fire")

    monkeypatch.setattr("courses.greens.services.add_work", write_and_fail)
    answer = ask(place.greenkeeper, ADD_WORK, course=course_id(place), work=WORK)
    assert answer["data"] is None
    assert count(place, GreenWork) == 0


def test_a_mutation_beside_one_that_fails_is_taken_back_and_not_told_as_done(place: Place) -> None:
    query = """mutation Two($course: UUID!, $good: GreenWorkInput!, $bad: GreenWorkInput!) {
      good: addGreenWork(id: $course, given: $good) { id }
      bad: addGreenWork(id: $course, given: $bad) { id }
    }"""
    bad = WORK | {"kind": "no such kind"}
    answer = ask(place.greenkeeper, query, course=course_id(place), good=WORK, bad=bad)
    assert answer["data"] is None
    assert [error["path"] for error in answer["errors"]] == [["bad"]]
    assert count(place, GreenWork) == 0
    assert not OutstandingWork.objects.exists()


def test_a_mutation_whose_answer_fails_is_taken_back(place: Place) -> None:
    query = """mutation P($round: RoundInput!) {
      postRound(given: $round) { id player { name } }
      dismissAttention(given: {player: "00000000-0000-7000-8000-000000000000", item: "x"}) { item }
    }"""
    answer = ask(place.coach, query, round=camel(round_body(place.player)))
    assert answer["data"] is None
    assert count(place, Round) == 0


def test_a_repeated_mutation_with_a_key_is_done_once(place: Place) -> None:
    client = client_of(place.coach)
    body = {"query": POST, "variables": {"round": camel(round_body(place.player))}}
    headers = {"Idempotency-Key": "once"}
    first, second = (client.post(ADDRESS, body, format="json", headers=headers).json() for _ in range(2))
    assert first == second
    assert count(place, Round) == 1


def test_a_failed_mutation_with_a_key_may_be_put_right_under_the_same_key(place: Place) -> None:
    client, headers = client_of(place.coach), {"Idempotency-Key": "again"}
    wrong = {"query": POST, "variables": {"round": camel(round_body(place.player, tee="Blue"))}}
    right = {"query": POST, "variables": {"round": camel(round_body(place.player))}}
    assert "errors" in client.post(ADDRESS, wrong, format="json", headers=headers).json()
    assert "errors" not in client.post(ADDRESS, right, format="json", headers=headers).json()


def test_green_work_is_entered_and_corrected_by_greenkeepers(place: Place) -> None:
    added = data(place.greenkeeper, ADD_WORK, course=course_id(place), work=WORK)["addGreenWork"]
    assert (added["startsOn"], added["endsOn"], added["sequence"]) == ("2026-06-01", "2026-06-01", 0)
    change = """mutation C($id: UUID!, $changes: GreenWorkChangesInput!, $seen: Int) {
      changeGreenWork(id: $id, given: $changes, version: $seen) { kind holes note sequence }
    }"""
    changed = data(
        place.greenkeeper, change, id=added["id"], changes={"holes": [9, 3], "note": "wet"}, seen=0
    )["changeGreenWork"]
    assert changed == {"kind": "solid_tine", "holes": [3, 9], "note": "wet", "sequence": 1}
    stale = refusal(place.greenkeeper, change, id=added["id"], changes={"note": "dry"}, seen=0)
    assert stale["extensions"]["status"] == 412


@pytest.mark.parametrize("who", ["coach", "player_member"])
def test_others_enter_no_green_work(place: Place, who: str) -> None:
    error = refusal(getattr(place, who), ADD_WORK, course=course_id(place), work=WORK)
    assert error["extensions"]["status"] == 403
    assert count(place, GreenWork) == 0


def test_goals_are_set_and_closed(place: Place) -> None:
    setting = """mutation S($player: UUID!, $goal: GoalInput!) {
      setGoal(id: $player, given: $goal) { id target window { rounds days } state setBy figure { name } progress { words } }
    }"""
    wanted = {"figure": "gained.putting", "target": 0.5, "dueOn": "2099-01-01", "window": {"days": 60}}
    goal = data(place.coach, setting, player=str(place.player.id), goal=wanted)["setGoal"]
    assert (goal["window"], goal["state"], goal["setBy"]) == ({"rounds": None, "days": 60}, "open", "coach")
    closed = data(place.coach, "mutation C($id: UUID!) { closeGoal(id: $id) { state } }", id=goal["id"])
    assert closed["closeGoal"]["state"] == "closed"
    error = refusal(place.coach, setting, player=str(place.player.id), goal=wanted | {"figure": "luck"})
    assert error["extensions"]["errors"][0]["pointer"] == "/figure"
    hidden = refusal(place.coach, setting, player=str(place.other_player.id), goal=wanted)
    assert hidden["extensions"]["status"] == 404
    assert count(place, Goal) == 1


def test_notes_are_written_and_taken_back_by_their_writer(place: Place) -> None:
    writing = """mutation N($player: UUID!, $note: NoteInput!) {
      writeNote(id: $player, given: $note) { id text writtenBy figure { key } }
    }"""
    note = {"practisedOn": "2026-06-01", "text": "Long putts", "figure": "gained.putting"}
    written = data(place.coach, writing, player=str(place.player.id), note=note)["writeNote"]
    assert (written["text"], written["writtenBy"]) == ("Long putts", "coach")
    assert written["figure"] == {"key": "gained.putting"}
    taking = "mutation D($id: UUID!) { deleteNote(id: $id) }"
    assert refusal(place.player_member, taking, id=written["id"])["extensions"]["status"] == 403
    assert data(place.coach, taking, id=written["id"]) == {"deleteNote": True}
    assert count(place, PracticeNote) == 0


def test_an_attention_item_is_put_aside(place: Place) -> None:
    with club_scope(place.club.id):
        place.player.created_at = place.player.created_at.replace(year=2020)
        place.player.save()
    listing = "{ attention { edges { node { item player { id } } } } }"
    (found,) = data(place.coach, listing)["attention"]["edges"]
    aside = "mutation A($player: UUID!, $item: String!) { dismissAttention(given: {player: $player, item: $item}) { dismissedAt } }"
    data(place.coach, aside, player=found["node"]["player"]["id"], item=found["node"]["item"])
    assert data(place.coach, listing)["attention"]["edges"] == []
    assert count(place, AttentionDismissal) == 1


@pytest.mark.parametrize("nul", [r"\u0000", r"\u{0}"])
def test_text_that_the_database_cannot_hold_is_refused_also_inside_the_document(
    place: Place, nul: str
) -> None:
    """A NUL written as an escape of GraphQL passes the checks of the request's body."""
    note = f'{{ practisedOn: "2026-06-01", text: "a{nul}b" }}'
    query = f'mutation {{ writeNote(id: "{place.player.id}", given: {note}) {{ id }} }}'
    assert refusal(place.coach, query)["message"] == "Text has no NUL character"
    in_a_variable = "mutation D($item: String!, $player: UUID!) { dismissAttention(given: {player: $player, item: $item}) { item } }"
    body = {"query": in_a_variable, "variables": {"item": "a\0b", "player": str(place.player.id)}}
    assert post(place.coach, body).status_code == 422
