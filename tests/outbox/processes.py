"""Real Redis servers and real Celery workers for the tests."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote, urlencode

import redis
from django.db import connections
from kombu import pools

from golfstats.celery import app
from tests.waiting import wait_until

ROOT = Path(__file__).parent.parent.parent


def database_url(alias: str) -> str:
    """Address of the test database, for the environment of another process."""
    settings = connections[alias].settings_dict
    login = quote(settings["USER"], safe="")
    if settings["PASSWORD"]:
        login += ":" + quote(settings["PASSWORD"], safe="")
    if str(settings["HOST"]).startswith("/"):
        place = urlencode({"host": settings["HOST"], "port": settings["PORT"]})
        return f"postgresql://{login}@/{settings['NAME']}?{place}"
    return f"postgresql://{login}@{settings['HOST']}:{settings['PORT']}/{settings['NAME']}"


class Worker:
    """A Celery worker process with one child, working on the test database."""

    def __init__(self, redis_url: str, log: Path) -> None:
        self._log = log
        environment = {
            **os.environ,
            "REDIS_URL": redis_url,
            "DATABASE_URL": database_url("default"),
            "OWNER_DATABASE_URL": database_url("owner"),
            "LOG_LEVEL": "INFO",
            "SECRET_KEY": "only for a test: 0123456789 abcdefghijk",
        }
        program = [sys.executable, "-m", "celery", "-A", "golfstats.celery", "worker"]
        options = ["--concurrency=1", "--without-gossip", "--without-mingle", "--loglevel=INFO"]
        with log.open("ab") as output:
            self._process = subprocess.Popen(
                [*program, *options, "--include=tests.outbox.sample_work"],
                cwd=ROOT,
                env=environment,
                stdout=output,
                stderr=output,
                start_new_session=True,
            )
        wait_until(self._is_ready, what="a ready worker")

    def kill(self) -> None:
        """SIGKILL the worker and its children: nothing of it gets to clean up."""
        if self._process.poll() is None:
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait(10)

    def _is_ready(self) -> bool:
        log = self._log.read_text(encoding="utf-8", errors="replace")
        assert self._process.poll() is None, f"the worker ended:\n{log}"
        return " ready." in log


@contextmanager
def worker_process(redis_url: str, log: Path) -> Iterator[Worker]:
    worker = Worker(redis_url, log)
    try:
        yield worker
    finally:
        worker.kill()


class OwnRedis:
    """A Redis server of the test's own, which it may stop and start again."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self._port = probe.getsockname()[1]
        self.url = f"redis://127.0.0.1:{self._port}/0"
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        program = shutil.which("redis-server")
        assert program, "this test needs redis-server on the PATH"
        self._process = subprocess.Popen(
            [
                program,
                "--port",
                str(self._port),
                "--bind",
                "127.0.0.1",
                "--dir",
                str(self.folder),
                "--save",
                "",
            ],
            stdout=subprocess.DEVNULL,
        )
        wait_until(self._answers, what="Redis")

    def stop(self) -> None:
        if self._process is not None:
            self._process.terminate()
            self._process.wait(10)
            self._process = None

    def _answers(self) -> bool:
        try:
            return bool(redis.Redis.from_url(self.url).ping())
        except redis.ConnectionError:
            return False


def send_messages_to(redis_url: str) -> None:
    """Let this process's Celery application publish to that Redis: what ``REDIS_URL`` does at the start."""
    pools.reset()
    app.conf.broker_url = redis_url
    app.amqp._producer_pool = None
    app._pool = None
