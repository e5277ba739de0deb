"""A club's own system: a server on this machine that notes what it is sent."""

from __future__ import annotations

import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

CERTIFICATE = Path(__file__).parent / "localhost.pem"


@dataclass(frozen=True)
class Received:
    path: str
    headers: dict[str, str]
    body: bytes


class Receiver:
    """Answers with the statuses given, one a request, then with 204."""

    def __init__(self, *statuses: int, secure: bool = False, headers: dict[str, str] | None = None) -> None:
        self.received: list[Received] = []
        self._statuses = list(statuses)
        self._headers = headers or {}
        receiver = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = self.rfile.read(int(self.headers["Content-Length"]))
                lower = {name.lower(): value for name, value in self.headers.items()}
                receiver.received.append(Received(self.path, lower, body))
                self.send_response(receiver._statuses.pop(0) if receiver._statuses else 204)
                for name, value in receiver._headers.items():
                    self.send_header(name, value)
                self.end_headers()

            def log_message(self, *_ignored: object) -> None:
                """Tests look at what was received."""

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        if secure:
            context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
            context.load_cert_chain(CERTIFICATE)
            self._server.socket = context.wrap_socket(self._server.socket, server_side=True)
        self.port = self._server.server_address[1]
        self.url = f"{'https' if secure else 'http'}://localhost:{self.port}/golf?from=club"

    @contextmanager
    def running(self) -> Iterator[Receiver]:
        thread = threading.Thread(target=self._server.serve_forever, kwargs={"poll_interval": 0.01})
        thread.start()
        try:
            yield self
        finally:
            self._server.shutdown()
            thread.join()
            self._server.server_close()
