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

from golfstats.postgres import embedded

ROOT = Path(__file__).parent.parent
SETTINGS_FILE = ROOT / "golfstats" / "settings.py"
OURS = ("web", "worker", "beat", "migrate")


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


def test_it_has_the_five_services_and_the_migration():
    assert set(compose()["services"]) == {"web", "worker", "beat", "postgres", "redis", "migrate"}


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
        name: re.sub(r"\$\{\w+(?::-([^}]*)|:\?[^}]*)?\}", lambda found: found[1] or "x1", str(value))
        for name, value in compose()["services"]["web"]["environment"].items()
    }
    read = "from golfstats import settings as s; d = s.DATABASES['default']; print(d['USER'], d['HOST'], d['NAME'], s.DATABASES['owner']['USER'], s.CELERY_BROKER_URL, s.EMBEDDED)"
    done = subprocess.run(
        [sys.executable, "-c", read], cwd=ROOT, env=given, capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == [
        embedded.APP_ROLE,
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
    for role in (embedded.OWNER_ROLE, embedded.APP_ROLE):
        assert f"ALTER ROLE {role} PASSWORD" in script
    assert f"CREATE DATABASE {embedded.DATABASE} OWNER {embedded.OWNER_ROLE}" in script
    # What the script reads from the environment is given to it.
    assert set(re.findall(r"\$\$(\w+)", script)) - {"POSTGRES_USER"} <= set(postgres["environment"])


def test_only_what_may_be_made_public_has_a_port():
    open_services = {name for name, service in compose()["services"].items() if "ports" in service}
    assert open_services == {"web"}
