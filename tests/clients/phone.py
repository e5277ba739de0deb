"""A reference client for a phone: it keeps what it has to send, and sends it until it is answered."""

from __future__ import annotations

import json
import socket
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.client import HTTPResponse
from typing import Any
from urllib.parse import urlsplit


class CutOffError(Exception):
    """The network went away."""


@dataclass
class Network:
    """Cuts each request in turn: ``before`` it leaves, ``during`` its body, ``after`` it arrived, or not at all."""

    service: str
    cuts: Iterator[str]

    def send(self, method: str, path: str, headers: dict[str, str], body: bytes = b"") -> tuple[int, Any]:
        cut = next(self.cuts, "")
        if cut == "before":
            raise CutOffError
        place = urlsplit(self.service)
        lines = {"Host": place.netloc, "Content-Length": str(len(body)), "Connection": "close", **headers}
        head = f"{method} {path} HTTP/1.1\r\n" + "".join(
            f"{name}: {text}\r\n" for name, text in lines.items()
        )
        with socket.create_connection((place.hostname, place.port), timeout=60) as wire:
            wire.sendall(head.encode() + b"\r\n")
            wire.sendall(body[: len(body) // 2] if cut == "during" else body)
            if cut == "during":
                raise CutOffError
            answer = HTTPResponse(wire, method=method)
            answer.begin()
            content = answer.read()  # it was done by then, and the phone shall not know
            if cut == "after":
                raise CutOffError
        return answer.status, json.loads(content) if content else None


@dataclass
class Phone:
    network: Network
    token: str
    waiting: list[tuple[str, str, dict[str, Any] | None]] = field(default_factory=list)
    """What is still to be sent: method, id of the round, and the round."""
    known: dict[str, int] = field(default_factory=dict)
    """Score of each round, as the service told of it last."""
    since: str = ""

    def play(self, round_id: str, body: dict[str, Any]) -> None:
        self.waiting.append(("PUT", round_id, body))

    def forget(self, round_id: str) -> None:
        self.waiting.append(("DELETE", round_id, None))

    def connect(self) -> None:
        """Send what waits, in order, then hear what changed; cut off, it goes on where it was."""
        headers = {"Authorization": f"Bearer {self.token}", "Content-Type": "application/json"}
        while self.waiting:
            method, round_id, body = self.waiting[0]
            match = {"If-Match": "*"} if method == "DELETE" else {}
            content = json.dumps(body).encode() if body else b""
            status, told = self.network.send(method, f"/api/v1/rounds/{round_id}", headers | match, content)
            gone_already = method == "DELETE" and status == 404
            assert status in (200, 201, 204) or gone_already, told
            self.waiting.pop(0)
        more = True
        while more:
            query = f"?since={self.since}" if self.since else ""
            _, told = self.network.send("GET", f"/api/v1/changes{query}", headers)
            for one in told["results"]:
                if one["gone"]:
                    self.known.pop(one["id"], None)
                else:
                    self.known[one["id"]] = one["round"]["score"]
            self.since, more = told["since"], told["more"]
