"""What a phone needs that is often without a network: ids of its own, what changed, answers worth waiting for."""

from __future__ import annotations

import json
import threading
from collections import Counter
from contextlib import ExitStack
from typing import Any
from uuid import UUID

import psycopg
import pytest
from django.conf import settings
from django.db import connection
from rest_framework.test import APIClient

from golfstats.doors.rest.http import waiting
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.ids import new_id
from golfstats.ground.outbox import thread, worker
from golfstats.ground.walls.scope import club_scope
from players.rounds.models import Round
from tests import factories
from tests.api.test_api_behaviour import is_problem
from tests.api.test_same_key_at_once import together
from tests.databases import committed
from tests.outbox.test_outstanding_work import in_a_thread
from tests.players.conftest import Place, client_of
from tests.waiting import wait_until

ROUNDS = "/api/v1/rounds"


def put(client: APIClient, round_id: object, body: Any, **headers: str) -> Any:
    return client.put(f"{ROUNDS}/{round_id}", body, format="json", headers=headers)


def ids(place: Place) -> set[str]:
    with club_scope(place.club.id):
        return {str(one) for one in Round.objects.values_list("id", flat=True)}


class TestRoundsUnderAnIdOfOnesOwn:
    def test_it_is_made_once_however_often_it_is_sent(self, place: Place) -> None:
        client, own = client_of(place.player_member), str(new_id())
        first, again = (put(client, own, factories.round_body()) for _ in range(2))
        assert (first.status_code, again.status_code) == (201, 200)
        assert first.headers["Location"].endswith(f"{ROUNDS}/{own}")
        assert again.json() == first.json()
        assert first.json()["version"] == 1
        assert ids(place) == {own}

    def test_a_correction_sent_again_is_not_refused_as_stale(self, place: Place) -> None:
        client, own = client_of(place.player_member), new_id()
        tag = put(client, own, factories.round_body()).headers["ETag"]
        first, again = (
            put(client, own, factories.round_body(ball="soft"), **{"If-Match": tag}) for _ in range(2)
        )
        assert (first.status_code, again.status_code) == (200, 200)
        assert again.json()["version"] == first.json()["version"] == 2

    def test_another_round_does_not_take_its_place_unseen(self, place: Place) -> None:
        client, own = client_of(place.player_member), new_id()
        put(client, own, factories.round_body())
        is_problem(put(client, own, factories.round_body(ball="soft")), 428, "version-needed")

    def test_what_was_deleted_stays_so(self, place: Place) -> None:
        client, own = client_of(place.player_member), new_id()
        put(client, own, factories.round_body())
        assert client.delete(f"{ROUNDS}/{own}", headers={"If-Match": "*"}).status_code == 204
        is_problem(put(client, own, factories.round_body()), 410, "gone")
        assert ids(place) == set()

    def test_a_correction_of_what_is_not_there_makes_nothing(self, place: Place) -> None:
        is_problem(
            put(client_of(place.coach), new_id(), factories.round_body(), **{"If-Match": "*"}),
            404,
            "not-found",
        )

    def test_a_refused_round_may_be_put_right_under_its_id(self, place: Place) -> None:
        client, own = client_of(place.player_member), new_id()
        is_problem(put(client, own, factories.round_body(tee="Purple")), 422, "invalid-request")
        assert put(client, own, factories.round_body()).status_code == 201

    def test_text_may_be_put_as_well(self, place: Place) -> None:
        client, own = client_of(place.player_member), new_id()
        text = "course: Long course\ntee: White\ndate: 2026-06-14\nsection: front\n"
        text += "".join(f"{hole} =4\n" for hole in range(1, 10))
        for status in (201, 200):
            answer = client.generic("PUT", f"{ROUNDS}/{own}", text, content_type="text/plain")
            assert answer.status_code == status, answer.content

    @pytest.fixture
    def uta(self) -> Member:
        """A player of another club."""
        with club_scope(factories.make_club("stonebarrow").id):
            factories.make_tee_set(factories.make_course())
            member = factories.make_member(Role.PLAYER, "uta")
            factories.make_player("Uta Brandt", member)
            return member

    @pytest.mark.parametrize("how", ["put", "many"])
    @pytest.mark.parametrize("deleted", [False, True], ids=["there", "deleted"])
    def test_an_id_of_another_club_s_round_is_answered_as_any_other(
        self, place: Place, uta: Member, how: str, deleted: bool
    ) -> None:
        client, taken, unused = client_of(place.player_member), str(new_id()), str(new_id())
        put(client, taken, factories.round_body())
        before = client.get(f"{ROUNDS}/{taken}").json()
        if deleted:
            client.delete(f"{ROUNDS}/{taken}", headers={"If-Match": "*"})
        theirs = client_of(uta)
        told = {}
        for own in (taken, unused):
            if how == "put":
                answers = [put(theirs, own, factories.round_body()) for _ in range(2)]
            else:
                line = json.dumps(factories.round_body() | {"id": own})
                answers = [
                    theirs.post(f"{ROUNDS}/many", line, content_type="application/x-ndjson") for _ in range(2)
                ]
            told[own] = [one.status_code for one in answers]
            assert theirs.get(f"{ROUNDS}/{own}").json()["player"]["name"] == "Uta Brandt"
        assert told[taken] == told[unused]
        # Each club's stays what it was, whatever the other does with its own.
        assert ids(place) == (set() if deleted else {taken})
        assert theirs.delete(f"{ROUNDS}/{taken}", headers={"If-Match": "*"}).status_code == 204
        assert ids(place) == (set() if deleted else {taken})
        if not deleted:
            assert client.get(f"{ROUNDS}/{taken}").json() == before


@committed
def test_the_same_round_put_twice_at_once_is_one() -> None:
    club = factories.make_club("larkmoor")
    with club_scope(club.id):
        factories.make_tee_set(factories.make_course())
        member = factories.make_member("player", "ines")
        factories.make_player("Ines Aldana", member)
    own = new_id()
    answers = together(*[lambda: put(client_of(member), own, factories.round_body())] * 3)
    assert {one.status_code for one in answers} <= {200, 201}
    assert len({one.json()["id"] for one in answers}) == 1
    with club_scope(club.id):
        assert Round.objects.count() == 1


class TestManyAtOnce:
    def send(self, place: Place, *rounds: Any) -> Any:
        lines = "\n".join(one if isinstance(one, str) else json.dumps(one) for one in rounds)
        return client_of(place.player_member).generic(
            "POST", f"{ROUNDS}/many", lines, content_type="application/x-ndjson"
        )

    def test_each_has_its_answer_and_the_whole_may_be_sent_again(self, place: Place) -> None:
        own = [str(new_id()) for _ in range(3)]
        rounds = [
            factories.round_body(id=own[0]),
            factories.round_body(id=own[1], tee="Purple"),
            "{broken",
            factories.round_body(id=own[2], played_on="2026-06-13"),
            factories.round_body(),
        ]
        for _ in range(2):
            answer = self.send(place, *rounds)
            assert answer.status_code == 200, answer.content
            results = answer.json()["results"]
            assert [one["line"] for one in results] == [1, 2, 3, 4, 5]
            assert [one["round"] and one["round"]["id"] for one in results] == [
                own[0],
                None,
                None,
                own[2],
                None,
            ]
            assert [fault["pointer"] for fault in results[1]["problem"]["errors"]] == ["/tee"]
            assert results[2]["problem"]["type"] == "/problems/not-json"
            assert results[4]["problem"]["errors"][0]["pointer"] == "/id"
            assert ids(place) == {own[0], own[2]}


class TestChanges:
    def ask(self, client: APIClient, since: str = "", **query: Any) -> Any:
        answer = client.get("/api/v1/changes", query | ({"since": since} if since else {}))
        assert answer.status_code == 200, answer.content
        return answer.json()

    def hear(self, client: APIClient, since: str) -> Any:
        """Changes are told once every older transaction of the database has ended."""
        answers: list[Any] = []
        wait_until(lambda: answers.append(self.ask(client, since)) or answers[-1]["results"])
        return answers[-1]

    @committed
    def test_posted_corrected_analysed_deleted(self, place: Place) -> None:
        client, own = client_of(place.player_member), str(new_id())
        since = self.ask(client)["since"]
        anything = {"If-Match": "*"}

        def correct() -> Any:
            return client.patch(f"{ROUNDS}/{own}", {"ball": "soft"}, format="json", headers=anything)

        for act, told in (
            (lambda: put(client, own, factories.round_body()), ("pending", 1)),
            (correct, ("pending", 2)),
            (lambda: self.analyse(place), ("done", 2)),
        ):
            act()
            found = self.hear(client, since)
            since = found["since"]
            (change,) = found["results"]
            assert (change["id"], change["gone"]) == (own, False)
            assert (change["round"]["analysis"], change["round"]["version"]) == told
            assert self.ask(client, since)["results"] == []
        client.delete(f"{ROUNDS}/{own}", headers=anything)
        assert self.hear(client, since)["results"] == [{"id": own, "gone": True, "round": None}]
        assert self.ask(client_of(place.other_member))["results"] == []

    @committed
    def test_a_round_that_moves_is_gone_for_who_may_no_longer_see_it(self, place: Place) -> None:
        mine, theirs, manager = map(client_of, (place.player_member, place.other_member, place.manager))
        own = str(new_id())
        put(mine, own, factories.round_body())
        before = self.hear(mine, "")["since"]
        assert self.ask(theirs)["results"] == []
        for whose in (place.other_player, place.player):
            body, since = factories.round_body(whose), self.ask(manager)["since"]
            answer = manager.put(f"{ROUNDS}/{own}", body, format="json", headers={"If-Match": "*"})
            assert answer.status_code == 200, answer.content
            (moved,) = self.hear(manager, since)["results"]
            assert (moved["gone"], moved["round"]["player"]["id"]) == (False, str(whose.id))
            for client, is_theirs in ((mine, whose == place.player), (theirs, whose == place.other_player)):
                told = self.hear(client, before)["results"]
                assert [one["id"] for one in told] == [own]
                assert (told[0]["gone"], told[0]["round"] is None) == (not is_theirs, not is_theirs)

    def analyse(self, place: Place) -> None:
        with club_scope(place.club.id):
            worker.drain()

    def test_in_pages_each_round_once(self, place: Place) -> None:
        client = client_of(place.player_member)
        posted = [
            put(client, new_id(), factories.round_body(played_on=f"2026-06-{day:02}")).json()["id"]
            for day in range(1, 8)
        ]
        found, since, more = [], "", True
        while more:
            page = self.ask(client, since, page_size=3)
            found += [one["id"] for one in page["results"]]
            since, more = page["since"], page["more"]
        assert sorted(found) == sorted(posted)

    def test_a_made_up_place_is_refused(self, place: Place) -> None:
        is_problem(client_of(place.coach).get("/api/v1/changes?since=x"), 422, "invalid-request")


@committed
def test_a_transaction_of_another_database_holds_nothing_up(place: Place) -> None:
    own, client = str(new_id()), client_of(place.player_member)
    wanted = ("host", "port", "user", "password")
    parameters = {name: value for name, value in connection.get_connection_params().items() if name in wanted}
    with psycopg.connect(**parameters, dbname="postgres") as neighbour:
        neighbour.execute("SELECT pg_current_xact_id()")
        put(client, own, factories.round_body())
        answer = TestChanges().hear(client, "")
    assert [one["id"] for one in answer["results"]] == [own]


@committed
def test_a_change_that_ends_late_is_told_to_who_asked_before(place: Place) -> None:
    """The transaction that began first ends last: whoever asks in between has to hear of it later."""
    client = client_of(place.manager)

    def told(since: str) -> Any:
        return client.get("/api/v1/changes", {"since": since} if since else {}).json()

    in_between: list[Any] = []
    early = factories.round_body(played_on="2026-06-01")
    with club_scope(place.club.id):
        late = factories.make_round(place.player_member, place.player)
        for step in (
            lambda: put(client_of(place.other_member), new_id(), early),
            lambda: in_between.append(told("")),
        ):
            in_a_thread(step).join()
    pages, found = list(in_between), list[str]()

    def is_told_everything() -> bool:
        pages.append(told(pages[-1]["since"]))
        found[:] = [one["id"] for page in pages for one in page["results"]]
        return len(set(found)) == 2

    wait_until(is_told_everything)
    assert sorted(found) == sorted(ids(place))
    assert found.count(str(late.id)) == 1


class TestWaiting:
    @pytest.fixture(autouse=True)
    def a_worker(self) -> Any:
        settings.REDIS_URL = ""
        thread.start()
        yield
        thread.stop()

    @committed
    def test_the_answer_comes_when_the_analysis_is_done(self, place: Place) -> None:
        client, own = client_of(place.player_member), new_id()
        answer = put(client, own, factories.round_body(), Prefer="wait=10")
        assert answer.headers["Preference-Applied"] == "wait=10"
        assert answer.json()["analysis"] == "done"
        read = client.get(f"{ROUNDS}/{own}", headers={"Prefer": "respond-async, wait=10"})
        assert read.json()["analysis"] == "done"
        assert read.json()["round"]["holes"]

    @committed
    def test_a_club_whose_requests_hold_every_place_gives_one_up_to_another(self, place: Place) -> None:
        """Real requests that wait: theirs for a round that nobody analyses, Ines's for one that is analysed."""
        neighbour = factories.make_club("stonebarrow")
        held = threading.Event()
        given_up: list[bool] = []

        def wait() -> None:
            given_up.append(not waiting.wait_while(neighbour.id, lambda: not held.is_set(), 60))

        theirs = [threading.Thread(target=wait) for _ in range(waiting.AT_ONCE)]
        for one in theirs:
            one.start()
        try:
            wait_until(lambda: len(waiting._places._taken) == waiting.AT_ONCE, what="every place to be taken")
            assert not waiting.wait_while(neighbour.id, lambda: True, 60), (
                "one more of theirs is answered at once"
            )
            answer = post_and_wait(place)
        finally:
            held.set()
            for one in theirs:
                one.join()
        assert answer.headers["Preference-Applied"] == "wait=10"
        assert answer.json()["analysis"] == "done"
        assert sorted(given_up) == [False] * (waiting.AT_ONCE - 1) + [True], (
            "one was answered early, for hers"
        )

    @committed
    def test_nobody_waits_where_as_many_of_the_club_do(self, place: Place) -> None:
        with ExitStack() as held:
            for _ in range(waiting.AT_ONCE):
                assert held.enter_context(waiting._places.place(place.club.id))
            answer = post_and_wait(place)
        assert answer.status_code == 201
        assert answer.json()["id"]
        assert "Preference-Applied" not in answer.headers


def post_and_wait(place: Place) -> Any:
    client = client_of(place.player_member)
    return client.post(ROUNDS, factories.round_body(), format="json", headers={"Prefer": "wait=10"})


def test_places_to_wait_are_shared_among_as_many_clubs_as_there_are() -> None:
    places, clubs = waiting.Places(), [new_id() for _ in range(waiting.AT_ONCE + 1)]
    with ExitStack() as held:

        def asks(club: UUID) -> bool:
            return held.enter_context(places.place(club)) is not None

        assert all(asks(clubs[0]) for _ in range(waiting.AT_ONCE))
        assert [asks(club) for club in clubs[1:]] == [True, True, True, False], "then each has one"
        assert Counter(one.club for one in places._taken) == dict.fromkeys(clubs[:-1], 1)
        assert not any(asks(club) for club in clubs[:-1])


@pytest.mark.django_db
def test_waiting_ends_in_time(place: Place) -> None:
    """Nobody works here: the answer comes after the second, and says that the round is pending."""
    answer = client_of(place.player_member).post(
        ROUNDS, factories.round_body(), format="json", headers={"Prefer": "wait=1"}
    )
    assert (answer.status_code, answer.json()["analysis"]) == (201, "pending")
    assert answer.headers["Preference-Applied"] == "wait=1"
