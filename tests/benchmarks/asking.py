"""Requests through the whole WSGI stack of this process, warmed up as the web's, as a client with a token sends them."""

from __future__ import annotations

import io
import json
from dataclasses import dataclass
from functools import cached_property
from importlib import resources
from typing import Any
from urllib.parse import urlsplit
from uuid import UUID

from django.core.wsgi import get_wsgi_application
from django.db.models import Count

from golfstats.doors.warming import make_what_is_made_once
from golfstats.ground.clubs import accounts
from golfstats.ground.clubs.models import Member, Role, Scope, User
from golfstats.ground.walls.scope import club_scope
from players.people.models import Player, Squad
from players.rounds.models import Round
from tests.benchmarks import databases

DASHBOARD = (
    resources.files("golfstats.doors.graphql.documents")
    .joinpath("coach_dashboard.graphql")
    .read_text(encoding="utf-8")
)


@dataclass(frozen=True)
class Answer:
    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def json(self) -> Any:
        return json.loads(self.body)


class Client:
    """One person with a token."""

    def __init__(self, token: str) -> None:
        self._token = token
        self._application = get_wsgi_application()
        make_what_is_made_once()

    def ask(self, method: str, address: str, body: Any = None, **headers: str) -> Answer:
        sent = b"" if body is None else body if isinstance(body, bytes) else json.dumps(body).encode()
        parts = urlsplit(address)
        environ = {
            "REQUEST_METHOD": method,
            "PATH_INFO": parts.path,
            "QUERY_STRING": parts.query,
            "SERVER_NAME": "localhost",
            "SERVER_PORT": "80",
            "SERVER_PROTOCOL": "HTTP/1.1",
            "REMOTE_ADDR": "127.0.0.1",
            "HTTP_HOST": "localhost",
            "HTTP_AUTHORIZATION": f"Bearer {self._token}",
            "CONTENT_TYPE": "application/json",
            "CONTENT_LENGTH": str(len(sent)),
            "wsgi.input": io.BytesIO(sent),
            "wsgi.errors": io.StringIO(),
            "wsgi.url_scheme": "http",
            "wsgi.multithread": True,
            "wsgi.multiprocess": False,
            "wsgi.run_once": False,
            "wsgi.version": (1, 0),
        } | {f"HTTP_{name.upper()}": value for name, value in headers.items()}
        begun: list[Any] = []
        pieces = self._application(environ, lambda status, found, *_: begun.extend([status, found]))
        answer = Answer(int(begun[0].split()[0]), dict(begun[1]), b"".join(pieces))
        pieces.close()
        return answer

    def get(self, address: str) -> Answer:
        found = self.ask("GET", address)
        assert found.status == 200, (address, found.status, found.body[:500])
        return found

    def post(self, address: str, body: Any) -> Answer:
        found = self.ask("POST", address, body)
        assert found.status < 300, (address, found.status, found.body[:500])
        return found

    def dashboard(self, squad: UUID, players: int) -> Answer:
        """As it was sent: to read it is no work of ours, nor of the floor."""
        found = self.post(
            "/graphql",
            {"query": DASHBOARD, "variables": {"squad": str(squad), "players": players}},
        )
        assert b'"errors":[{' not in found.body, found.body[-500:]
        return found


class World:
    """The club of the database in use, and who asks."""

    def __init__(self) -> None:
        self.club = databases.club()
        with club_scope(self.club.id):
            self.manager = Member.objects.select_related("club").get(role=Role.MANAGER)
            self.player = self._one_with_most_golf()
            self.squad = Squad.objects.filter(name=databases.SQUAD).first() or Squad.objects.first()
        _, token = accounts.make_token(
            User.objects.get(pk=self.manager.user_id), "benchmark", Scope.EVERYTHING, 1
        )
        self.client = Client(token)
        self.posted: list[Answer] = []
        """What answered each round that was posted, to be taken back."""

    def post_round(self, body: Any) -> None:
        self.posted.append(self.client.post("/api/v1/rounds", body))

    def _one_with_most_golf(self) -> Player:
        found = Player.objects.annotate(played=Count("rounds")).order_by("-played", "id").first()
        assert found is not None
        return found

    @cached_property
    def body(self) -> dict[str, Any]:
        """A round of 72 shots that may be posted, of the player with most golf."""
        found: dict[str, Any] = self.client.get(f"/api/v1/rounds/{self.latest_round}").json["round"]
        return found

    @cached_property
    def latest_round(self) -> UUID:
        """The last of 18 holes of the player with most golf."""
        with club_scope(self.club.id):
            return Round.objects.filter(player=self.player, section="18").latest("played_on", "id").id
