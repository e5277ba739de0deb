"""A cable between browser and server that can be cut: a real loss of the network, service workers included."""

from __future__ import annotations

import socket
import threading
from contextlib import suppress
from urllib.parse import urlsplit

PIECE = 65536


class Cable:
    """Listens on a port of its own and passes everything on, until it is cut."""

    def __init__(self, server: str) -> None:
        place = urlsplit(server)
        self.server = (place.hostname or "localhost", place.port or 80)
        self.port = 0
        self._listening: socket.socket | None = None
        self._open: list[socket.socket] = []
        self.mend()

    @property
    def url(self) -> str:
        return f"http://localhost:{self.port}"

    def mend(self) -> None:
        """Listen (again, on the same port)."""
        listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind(("127.0.0.1", self.port))
        listening.listen()
        self.port = listening.getsockname()[1]
        self._listening = listening
        threading.Thread(target=self._accept, args=(listening,), daemon=True).start()

    def cut(self) -> None:
        """Nothing goes through any more, and what was going through ends."""
        ends, self._open = self._open, []
        for one in [self._listening, *ends]:
            if one is not None:
                with suppress(OSError):
                    one.shutdown(socket.SHUT_RDWR)
                one.close()
        self._listening = None

    def _accept(self, listening: socket.socket) -> None:
        with suppress(OSError):
            while True:
                near, _ = listening.accept()
                far = socket.create_connection(self.server)
                self._open += [near, far]
                for ends in ((near, far), (far, near)):
                    threading.Thread(target=_pass_on, args=ends, daemon=True).start()


def _pass_on(source: socket.socket, sink: socket.socket) -> None:
    with suppress(OSError):
        while piece := source.recv(PIECE):
            sink.sendall(piece)
    for one in (source, sink):
        with suppress(OSError):
            one.shutdown(socket.SHUT_RDWR)
        one.close()
