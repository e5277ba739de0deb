"""docker-compose.yml cannot be run everywhere; what it names has to exist all the same."""

from __future__ import annotations

import ast
import re
import shlex
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml
from django.conf import settings as django_settings

from golfstats.ground.outbox.work import Queue
from golfstats.ground.postgres import embedded

ROOT = Path(__file__).parent.parent
SETTINGS_FILE = ROOT / "golfstats" / "settings.py"
OURS = ("web", "worker", "fitter", "messenger", "beat", "migrate")


def compose() -> dict[str, Any]:
    return yaml.safe_load((ROOT / "docker-compose.yml").read_text(encoding="utf-8"))


def variables_of_settings() -> set[str]:
    """Names that settings.py reads from the environment: the texts in calls of ``env.…`` and ``_database``."""
    tree = ast.parse(SETTINGS_FILE.read_text(encoding="utf-8"))
    return {
        call.args[0].value
        for call in ast.walk(tree)
        if isinstance(call, ast.Call)
        and re.match(r"env\.|_database$", ast.unparse(call.func))
        and call.args
        and isinstance(call.args[0], ast.Constant)
    }


def test_it_has_its_services():
    assert set(compose()["services"]) == {*OURS, "postgres", "proxy", "redis"}


def test_every_service_that_goes_on_running_has_a_health_check():
    without = {name for name, service in compose()["services"].items() if "healthcheck" not in service}
    assert without == {"migrate"}


def test_the_proxy_takes_in_whole_requests_and_gives_slow_clients_up():
    """Directives of Caddy's documentation (Caddyfile: global options, reverse_proxy, request_body)."""
    words = compose()["configs"]["proxy"]["content"]
    for directive in (
        "read_header 10s",
        "read_body {$$SLOWEST_BODY:30s}",
        "request_buffers 6MB",
        "response_buffers 6MB",
    ):
        assert directive in words
    limit = re.search(r"max_size (\d+)MB", words)
    assert limit
    assert int(limit[1]) * 1024**2 > django_settings.DATA_UPLOAD_MAX_MEMORY_SIZE


def test_the_proxy_writes_down_each_request_and_tells_nobody_outside_the_figures():
    words = compose()["configs"]["proxy"]["content"]
    assert re.search(r"log \{[^}]+format filter \{\s+wrap json", words)
    assert re.search(r"@inside path /metrics\s+respond @inside 404", words)


def test_the_processes_of_the_web_count_together():
    web = compose()["services"]["web"]
    assert web["tmpfs"].partition(":")[0] == web["environment"]["PROMETHEUS_MULTIPROC_DIR"]


def test_every_queue_has_a_worker():
    commands = [shlex.split(service.get("command", "")) for service in compose()["services"].values()]
    served = [words[words.index("--queues") + 1] for words in commands if "--queues" in words]
    assert sorted(served) == sorted(queue.value for queue in Queue)


@pytest.mark.parametrize("name", OURS)
def test_every_variable_is_one_that_settings_read(name):
    given = set(compose()["services"][name]["environment"])
    assert given - variables_of_settings() == set()
    assert {"SECRET_KEY", "DATABASE_URL", "OWNER_DATABASE_URL", "REDIS_URL", "ALLOWED_HOSTS"} <= given


def test_canary_a_misspelt_variable_would_be_noticed():
    assert "DATABASE_URL" in variables_of_settings()
    assert "DATABSE_URL" not in variables_of_settings()


@pytest.mark.parametrize("name", OURS)
def test_every_command_is_a_real_one(name):
    """Each program parses the command's options, and gunicorn loads the application as well."""
    program, *options = shlex.split(compose()["services"][name]["command"])
    dry = "--check-config" if program == "gunicorn" else "--help"
    module = [] if program == "python" else ["-m", program]
    done = subprocess.run(
        [sys.executable, *module, *options, dry], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


def test_settings_take_the_environment_it_gives():
    """The values with their defaults filled in, in a process of their own."""
    given = {
        name: re.sub(
            r"\$\{\w+(?::-([^}]*)|:\?[^}]*)?\}",
            lambda found: found[1] or "x1 0123456789 abcdefghijklmnopqrstuvw",
            str(value),
        )
        for name, value in compose()["services"]["web"]["environment"].items()
    }
    read = "from golfstats import settings as s; d = s.DATABASES['default']; print(d['USER'], d['HOST'], d['NAME'], s.DATABASES['owner']['USER'], s.CELERY_BROKER_URL, s.EMBEDDED)"
    done = subprocess.run(
        [sys.executable, "-c", read], cwd=ROOT, env=given, capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == [
        "golfstats_app",
        "postgres",
        embedded.DATABASE,
        embedded.OWNER_ROLE,
        "redis://redis:6379/0",
        "False",
    ]


def test_the_database_gets_its_roles_from_the_same_file_as_everywhere_else():
    postgres = compose()["services"]["postgres"]
    source = postgres["volumes"][0].split(":")[0]
    assert (ROOT / source).read_text(encoding="utf-8").count("CREATE ROLE") == 2
    script = compose()["configs"]["database"]["content"]
    for role in (embedded.OWNER_ROLE, "golfstats_app"):
        assert f"ALTER ROLE {role} PASSWORD" in script
    assert f"CREATE DATABASE {embedded.DATABASE} OWNER {embedded.OWNER_ROLE}" in script
    # What the script reads from the environment is given to it.
    assert set(re.findall(r"\$\$(\w+)", script)) - {"POSTGRES_USER"} <= set(postgres["environment"])


def test_only_what_may_be_made_public_has_a_port():
    open_services = {name for name, service in compose()["services"].items() if "ports" in service}
    assert open_services == {"proxy"}
