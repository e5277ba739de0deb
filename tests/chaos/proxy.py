"""The proxy that compose starts, from the words that compose gives it, before the web of an installation."""

from __future__ import annotations

import os
import shutil
import ssl
import subprocess
from pathlib import Path

import yaml

from tests.chaos.parts import Program, free_port
from tests.outbox.processes import ROOT

SPELT_BEFORE_2_6_4 = {
    "request_buffers 6MB": "buffer_requests",
    "response_buffers 6MB": "buffer_responses\nmax_buffer_size 6MB",
}
"""Debian's Caddy is 2.6.2, which takes in whole requests and answers by other words (release notes of Caddy 2.6.4)."""


def caddy() -> str:
    found = shutil.which("caddy")
    assert found, "this test needs Debian's caddy package"
    return found


def _version() -> tuple[int, ...]:
    said = subprocess.run([caddy(), "version"], capture_output=True, text=True, check=True).stdout
    return tuple(int(part) for part in said.split()[0].lstrip("v").split(".")[:3])


def words_of_compose() -> str:
    """The file that the proxy of compose reads, as this machine's Caddy spells it."""
    compose = yaml.safe_load((ROOT / "docker-compose.yml").read_text(encoding="utf-8"))
    words = str(compose["configs"]["proxy"]["content"]).replace("$$", "$")
    if _version() < (2, 6, 4):
        for today, before in SPELT_BEFORE_2_6_4.items():
            assert today in words
            words = words.replace(today, before)
    return words


class Proxy:
    """A process of Caddy's with a certificate of its own making."""

    def __init__(self, upstream: str, folder: Path) -> None:
        self.port = free_port()
        self.plain_port = free_port()
        """Without TLS: it leads to the other and takes nothing."""
        file = folder / "Caddyfile"
        file.write_text(words_of_compose(), encoding="utf-8")
        environment = {
            **os.environ,
            "SITE": f"https://localhost:{self.port}",
            "UPSTREAM": upstream,
            "HTTP_PORT": str(self.plain_port),
            # However slow the machine: what is tried is who waits for a slow client, not for how long.
            "SLOWEST_BODY": "1h",
            "CADDY_ADMIN": f"127.0.0.1:{free_port()}",
            "HOME": str(folder),
            "XDG_DATA_HOME": str(folder),
            "XDG_CONFIG_HOME": str(folder),
        }
        command = [caddy(), "run", "--adapter", "caddyfile", "--config", str(file)]
        self.program = Program("proxy", command, environment, folder)
        self._authority = folder / "caddy" / "pki" / "authorities" / "local" / "root.crt"

    def trust(self) -> ssl.SSLContext:
        """Trusts the authority that this proxy has made for itself, and no other."""
        return ssl.create_default_context(cafile=str(self._authority))
