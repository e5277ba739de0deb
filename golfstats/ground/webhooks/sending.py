"""One POST to a checked address: no redirects, verified certificates, a deadline, and nothing read but the status."""

from __future__ import annotations

import contextlib
import http.client
import socket
import ssl
import threading

from golfstats.ground.webhooks.addresses import Target

DEADLINE_SECONDS = 10.0


class SendingError(Exception):
    """No answer came; the text says why."""


def post(target: Target, body: bytes, headers: dict[str, str], deadline: float = DEADLINE_SECONDS) -> int:
    """Send and give the status of the answer. Raises :class:`SendingError` when none comes within ``deadline``.

    The body of the answer is not read: nobody needs it, and it might be endless or somebody's secret.
    """
    try:
        with socket.create_connection((target.address, target.port), timeout=deadline) as plain:
            return _within(deadline, plain, target, body, headers)
    except (OSError, http.client.HTTPException) as error:
        raise SendingError(str(error) or type(error).__name__) from error


def _within(
    deadline: float, plain: socket.socket, target: Target, body: bytes, headers: dict[str, str]
) -> int:
    """Cut the connection after the deadline: a socket's own timeout starts anew with every byte."""
    with plain.dup() as same_connection:
        timer = threading.Timer(deadline, _cut, [same_connection])
        timer.start()
        try:
            return _exchange(plain, target, body, headers)
        finally:
            timer.cancel()
            timer.join()


def _exchange(plain: socket.socket, target: Target, body: bytes, headers: dict[str, str]) -> int:
    connection = http.client.HTTPConnection(target.host, target.port)
    connection.sock = plain
    if target.secure:
        context = ssl.create_default_context()
        connection.sock = context.wrap_socket(plain, server_hostname=target.host)
    try:
        connection.request("POST", target.path, body, {**headers, "Host": _host_header(target)})
        return connection.getresponse().status
    finally:
        connection.close()


def _host_header(target: Target) -> str:
    host = f"[{target.host}]" if ":" in target.host else target.host
    usual = 443 if target.secure else 80
    return host if target.port == usual else f"{host}:{target.port}"


def _cut(connection: socket.socket) -> None:
    # An error means that it has ended by itself at the same moment.
    with contextlib.suppress(OSError):
        connection.shutdown(socket.SHUT_RDWR)
