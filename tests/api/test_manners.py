"""What HTTP promises of every address (RFC 9110 and those named beside each test), held against every operation."""

from __future__ import annotations

import datetime as dt
import gzip
import http.client
import io
import json
import re
import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache
from time import time
from typing import Any

import pytest
import waitress.server
from django.core.handlers.wsgi import WSGIHandler
from django.http import HttpResponse
from django.urls import reverse
from rest_framework.test import APIClient, APIRequestFactory

from golfstats.doors.rest import operations as rest
from golfstats.doors.rest.http.bodies import with_length
from golfstats.ground.deprecation import Deprecation
from golfstats.ground.outbox import worker
from golfstats.ground.walls.scope import club_scope
from tests import factories
from tests.api.calls import CALLS
from tests.api.conftest import Worlds
from tests.api.requests import Sent, send, undone, valid
from tests.api.routes import operations
from tests.players.conftest import Place, client_of

OPERATIONS = operations()
READS = sorted(name for name in OPERATIONS if name.startswith("GET"))
DECLARED = sorted(
    name for name, (route, _) in OPERATIONS.items() if issubclass(route.view, rest.OperationView)
)
Going = Callable[[str], HttpResponse]
FAREWELL = Deprecation(dt.date(2026, 1, 1), dt.date(2027, 1, 31), "club")


def answer_of(worlds: Worlds, name: str, method: str = "", beside: str = "", **headers: str) -> HttpResponse:
    """As it leaves the service: the test client mends answers to HEAD as some servers do."""
    route, own_method = OPERATIONS[name]
    call = CALLS[name]
    sent = valid(worlds.own, route, own_method, call)
    member = worlds.own.members[call.role]
    client = APIClient()
    client.force_authenticate(member.user)
    client.handler._force_user = member.user
    if client.handler._middleware_chain is None:
        client.handler.load_middleware()
    request = APIRequestFactory().generic(
        method or own_method,
        sent.address + (("&" if "?" in sent.address else "?") + beside if beside else ""),
        sent.body,
        content_type=sent.content_type,
        headers={"Club": member.club.slug, "If-Match": "*"} | headers,
    )
    with undone():
        response = client.handler.get_response(request)
        if response.streaming:
            b"".join(response.streaming_content)
    return response


@pytest.fixture(scope="module")
def going(worlds: Worlds) -> Going:
    """Each operation's answer as if it was to go, to somebody who would rather read Japanese."""

    @cache
    def told(name: str) -> HttpResponse:
        view: Any = OPERATIONS[name][0].view
        with pytest.MonkeyPatch.context() as patch:
            if issubclass(view, rest.OperationView):
                going = {
                    method: replace(one, deprecation=FAREWELL) for method, one in view.operations.items()
                }
                patch.setattr(view, "operations", going)
            return answer_of(worlds, name, **{"Accept-Language": "ja, de;q=0.5"})

    return told


@pytest.mark.parametrize("name", READS)
def test_head_is_get_without_the_body(worlds: Worlds, name: str) -> None:
    head, get = answer_of(worlds, name, "HEAD"), answer_of(worlds, name)
    assert head.status_code == get.status_code == 200
    assert b"".join(head) == b""
    assert head.headers["Content-Type"] == get.headers["Content-Type"]
    assert head.headers.get("Vary") == get.headers.get("Vary")
    if "text/html" not in get.headers["Content-Type"]:  # a page holds a token of its own each time
        assert head.headers.get("Content-Length") == get.headers.get("Content-Length")
        assert head.headers.get("ETag") == get.headers.get("ETag")


@pytest.mark.parametrize("name", sorted(OPERATIONS))
def test_options_names_the_methods_without_a_sign_in(name: str) -> None:
    route, method = OPERATIONS[name]
    values = {
        one: "0" if one in ("key", "secret", "slug") else str(factories.new_id()) for one in route.parameters
    }
    answer = APIClient().options(route.address(values))
    assert (answer.status_code, answer.content) == (204, b"")
    allowed = answer.headers["Allow"].split(", ")
    own = {*route.methods, "OPTIONS"} | ({"HEAD"} if "GET" in route.methods else set())
    assert set(allowed) == own
    assert method in allowed
    patches = answer.headers.get("Accept-Patch", "").split(", ")
    assert ("application/merge-patch+json" in patches) == ("PATCH" in route.methods)


@pytest.mark.parametrize("name", sorted(name for name in OPERATIONS if name.startswith("PATCH")))
def test_merge_patch_is_taken_by_its_name(worlds: Worlds, name: str) -> None:
    """RFC 7396."""
    route, method = OPERATIONS[name]
    call = replace(CALLS[name], content_type="application/merge-patch+json")
    with undone():
        answer = send(worlds.own.members[call.role], valid(worlds.own, route, method, call))
    assert answer.status_code == 200, answer.text


@pytest.mark.parametrize("name", READS)
def test_a_read_has_a_tag_and_304_where_it_is_known(
    worlds: Worlds, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A minute later as well: a cursor that says when it was signed would change with each second."""
    first = answer_of(worlds, name)
    if first.streaming or "text/html" in first.headers["Content-Type"]:
        return
    tag = first.headers["ETag"]
    with monkeypatch.context() as later:
        later.setattr("django.core.signing.time.time", lambda: time() + 60)
        again = answer_of(worlds, name, **{"If-None-Match": tag})
    assert (again.status_code, again.content, again.headers["ETag"]) == (304, b"", tag)
    assert answer_of(worlds, name, **{"If-None-Match": '"another"'}).status_code == 200
    assert "no-store" not in first.headers["Cache-Control"]


@pytest.mark.parametrize("name", READS)
def test_a_read_is_compressed_for_who_takes_it(worlds: Worlds, name: str) -> None:
    plain, packed = answer_of(worlds, name), answer_of(worlds, name, **{"Accept-Encoding": "gzip"})
    if packed.streaming or len(plain.content) < 1000:
        return
    assert packed.headers["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in packed.headers["Vary"]
    if "text/html" not in plain.headers["Content-Type"]:
        assert gzip.decompress(packed.content) == plain.content


@pytest.mark.parametrize("name", sorted(set(OPERATIONS) - {"GET calendar", "POST graphql"}))
def test_every_answer_says_how_often_one_may_ask_and_which_request_it_was(going: Going, name: str) -> None:
    """draft-ietf-httpapi-ratelimit-headers-10."""
    headers = going(name).headers
    assert headers["RateLimit-Policy"] == '"requests";q=600;w=60'
    left = re.fullmatch(r'"requests";r=(\d+);t=(\d+)', headers["RateLimit"])
    assert left
    assert int(left[1]) < 600
    assert 1 <= int(left[2]) <= 61
    assert re.fullmatch(r"[0-9a-f-]{36}", headers["X-Request-Id"])


@pytest.mark.parametrize("name", sorted(set(OPERATIONS) - {"POST graphql"}))
def test_every_answer_names_its_language_whatever_is_asked_for(going: Going, name: str) -> None:
    """RFC 9110, 8.5 and 12.5.4: who would rather have another language gets the one there is, and is told so."""
    answer = going(name)
    is_picture = name in {"GET player-picture", "GET course-picture"}  # people read those
    assert answer.headers["Content-Language"] == ("de" if is_picture else "en")
    assert ("Accept-Language" in answer.headers.get("Vary", "")) == is_picture


def test_a_problem_has_the_same_codes_in_every_language(place: Place) -> None:
    client = client_of(place.manager)
    told = [
        client.get("/api/v1/players?sort=x", headers={"Accept-Language": language})
        for language in ("ja", "en", "*;q=0")
    ]
    assert {one.headers["Content-Language"] for one in told} == {"en"}
    codes = {(one.json()["type"], *(fault["code"] for fault in one.json()["errors"])) for one in told}
    assert codes == {("/problems/invalid-request", "enum")}


@pytest.mark.parametrize("name", DECLARED)
def test_an_operation_that_is_to_go_says_until_when_and_what_instead(going: Going, name: str) -> None:
    """RFC 9745: a structured date, in seconds. RFC 8594: an HTTP date. A list links its pages all the same."""
    answer = going(name)
    assert answer.headers["Deprecation"] == "@1767225600"
    assert answer.headers["Sunset"] == "Sun, 31 Jan 2027 00:00:00 GMT"
    links = links_in(answer.headers["Link"])
    assert links.pop("deprecation") == "http://testserver/api/v1/reference#club"
    if answer.headers.get("Content-Type") == "application/json" and not answer.streaming:
        told = json.loads(answer.content)
        assert links == ({"next": told["next"]} if isinstance(told, dict) and told.get("next") else {})


@pytest.mark.parametrize("name", DECLARED)
def test_every_operation_refuses_alike(worlds: Worlds, name: str) -> None:
    """RFC 9457, with the request's own id; here a parameter that there is not."""
    refused = answer_of(worlds, name, beside="colour=blue")
    problem = json.loads(refused.content)
    assert (refused.status_code, refused.headers["Content-Type"]) == (422, "application/problem+json")
    assert (problem["type"], problem["status"]) == ("/problems/invalid-request", 422)
    assert problem["request_id"] == refused.headers["X-Request-Id"]
    assert [(fault["pointer"], fault["code"]) for fault in problem["errors"]] == [
        ("/colour", "unknown_parameter")
    ]
    assert refused.headers["Content-Language"] == "en"


def test_what_is_left_grows_less(place: Place, settings: Any) -> None:
    settings.THROTTLE = "3/min"
    answers = [client_of(place.coach).get("/api/v1/club") for _ in range(4)]
    assert [re.findall(r"r=(\d)", one.headers["RateLimit"]) for one in answers] == [
        ["2"],
        ["1"],
        ["0"],
        ["0"],
    ]
    assert answers[-1].status_code == 429


def test_a_problem_names_its_request(place: Place) -> None:
    for address in ("/api/v1/players?colour=blue", "/api/v1/nothing", "/api/v1/rounds/x"):
        answer = client_of(place.manager).get(address)
        assert answer.json()["request_id"] == answer.headers["X-Request-Id"], address


@pytest.mark.parametrize("name", READS)
def test_pages_of_a_list_are_linked_in_the_header_too(worlds: Worlds, name: str) -> None:
    """RFC 8288."""
    route, method = OPERATIONS[name]
    call = CALLS[name]
    sent = valid(worlds.own, route, method, call)
    body = send(worlds.own.members[call.role], sent)
    if not body.headers["Content-Type"].startswith("application/json") or "next" not in body.json:
        return
    joint = "&" if "?" in sent.address else "?"
    first = send(worlds.own.members[call.role], replace(sent, address=f"{sent.address}{joint}page_size=1"))
    expected = first.json["next"]
    assert links_in(first.headers.get("Link", "")) == ({"next": expected} if expected else {})
    if expected and "previous" in first.json:
        second = send(worlds.own.members[call.role], Sent("GET", expected.removeprefix("http://testserver")))
        assert links_in(second.headers["Link"])["prev"] == second.json["previous"]


def links_in(header: str) -> dict[str, str]:
    return {name: address for address, name in re.findall(r'<([^>]*)>; rel="(\w+)"', header)}


class TestTagOfARound:
    @pytest.fixture
    def address(self, place: Place) -> str:
        with club_scope(place.club.id):
            return reverse("round", args=[factories.make_round(place.player_member, place.player).id])

    def test_it_changes_with_what_is_told(self, place: Place, address: str) -> None:
        client = client_of(place.player_member)
        pending = client.get(address)
        text = client.get(address, headers={"Accept": "text/plain"})
        with club_scope(place.club.id):
            worker.drain()
        done = client.get(address)
        assert (pending.json()["analysis"], done.json()["analysis"]) == ("pending", "done")
        assert len({one.headers["ETag"] for one in (pending, text, done)}) == 3

    def test_each_of_them_is_good_for_a_change(self, place: Place, address: str) -> None:
        client = client_of(place.player_member)
        for encoding in ("identity", "gzip"):
            tag = client.get(address, headers={"Accept-Encoding": encoding}).headers["ETag"]
            changed = client.patch(address, {"ball": encoding}, format="json", headers={"If-Match": tag})
            assert changed.status_code == 200, tag


def test_the_way_in_lists_the_links(db: None) -> None:
    """RFC 9727 and RFC 9264."""
    at_root, well_known = (APIClient().get(address) for address in ("/api/v1", "/.well-known/api-catalog"))
    assert at_root.json() == well_known.json()
    assert at_root.headers["Content-Type"].startswith("application/linkset+json")
    (links,) = at_root.json()["linkset"]
    for relation in ("service-desc", "service-doc", "help", "status"):
        (link,) = links[relation]
        assert APIClient().get(link["href"]).status_code == 200, link
    assert {"http://testserver/api/v1/rounds", "http://testserver/graphql"} <= {
        one["href"] for one in links["item"]
    }


def test_what_stays_says_nothing_of_an_end(place: Place) -> None:
    assert "Deprecation" not in client_of(place.coach).get("/api/v1/clubs").headers


class TestByARealServer:
    @pytest.fixture
    def port(self, db: None) -> Iterator[int]:
        server = waitress.server.create_server(WSGIHandler(), host="127.0.0.1", port=0, threads=1)
        thread = threading.Thread(target=server.run, daemon=True)
        thread.start()
        yield server.effective_port
        server.close()

    def test_head_leaves_the_connection_usable(self, port: int) -> None:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        connection.request("HEAD", "/api/v1/openapi")
        head = connection.getresponse()
        assert head.read() == b""
        connection.request("GET", "/api/v1/openapi")
        get = connection.getresponse()
        assert len(get.read()) == int(head.headers["Content-Length"])
        connection.close()


@pytest.mark.parametrize("content_type", ["application/json", "text/plain"])
def test_a_body_in_chunks_is_read_whole(place: Place, content_type: str) -> None:
    """As gunicorn gives it to an application: without a length, but with an end."""
    told: list[str] = []
    environ = APIRequestFactory().post("/api/v1/tokens").environ
    environ.pop("CONTENT_LENGTH", None)
    environ |= {
        "wsgi.input_terminated": True,
        "wsgi.input": io.BytesIO(b"name"),
        "CONTENT_TYPE": content_type,
    }

    def echo(environ: dict[str, Any], _: Any) -> list[bytes]:
        told.append(environ["CONTENT_LENGTH"])
        return [environ["wsgi.input"].read()]

    assert list(with_length(echo)(environ, None)) == [b"name"]
    assert told == ["4"]
