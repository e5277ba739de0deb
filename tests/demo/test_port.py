"""The demo's address is tried before the minutes of making the club."""

from __future__ import annotations

import socket

import pytest
from django.core.management import CommandError, call_command


def test_a_taken_port_is_told_before_anything_is_made() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(CommandError, match=rf"127\.0\.0\.1:{port} .*--port"):
            call_command("demo", "--port", str(port))
