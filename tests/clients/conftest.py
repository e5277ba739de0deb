"""Clients that well-kept generators make of the API document, made once for all tests of a process."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.db import transaction
from pytest_django import DjangoDbBlocker

from golfstats.doors.rest.reference.openapi import document
from tests.api.requests import check_keys_now
from tests.api.world import World, make_world
from tests.clients.every import Credentials, credentials

GUIDE = Path(__file__).parents[2] / "golfstats/doors/pages/templates/web/guide.html"
PACKAGES = ("openapi-typescript@7.13.0", "openapi-fetch@0.17.0", "typescript@5.9.3")
GENERATED_WITH = ("--default-non-nullable", "false", "--output", "golf.d.ts")
"""As the developers' guide says: else what has a default in a body would have to be sent."""
SETTINGS = """\
content_type_overrides:
  application/vnd.apache.parquet: application/octet-stream
  application/x-ndjson: application/octet-stream
  application/zip: application/octet-stream
  text/calendar: application/octet-stream
  text/plain: application/octet-stream
"""
"""As the guide says: what is no JSON is sent and given as bytes; by itself this generator leaves it out."""


def run(*arguments: str, folder: Path, **environment: str) -> str:
    """What a program prints; fails with that if it fails."""
    done = subprocess.run(
        arguments,
        cwd=folder,
        env=os.environ | environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout + done.stderr


def run_python(module: str, *arguments: str, folder: Path) -> str:
    return run(sys.executable, "-m", module, *arguments, folder=folder, PYTHONPATH=str(folder))


@pytest.fixture(scope="session")
def python_client(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the generated package ``golf_client`` is. Of the document nothing was left out."""
    found = tmp_path_factory.mktemp("client")
    (found / "openapi.json").write_text(json.dumps(document()))
    (found / "settings.yaml").write_text(f"post_hooks: []\n{SETTINGS}")
    arguments = ["--path", "openapi.json", "--meta", "none", "--config", "settings.yaml"]
    told = run_python(
        "openapi_python_client", "generate", *arguments, "--output-path", "golf_client", folder=found
    )
    assert "warning" not in told.lower(), told
    return found


@pytest.fixture(scope="session")
def typescript(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the generator, the compiler and the generated types are."""
    assert shutil.which("npm"), "this test needs Node.js with npm"
    found = tmp_path_factory.mktemp("typescript")
    (found / "package.json").write_text('{"type": "module", "private": true}')
    (found / "openapi.json").write_text(json.dumps(document()))
    run("npm", "install", "--no-audit", "--no-fund", "--ignore-scripts", *PACKAGES, folder=found)
    run("npx", "openapi-typescript", "openapi.json", *GENERATED_WITH, folder=found)
    return found


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[World]:
    """A club with one of everything, never committed."""
    with django_db_blocker.unblock(), transaction.atomic():
        made = make_world("clients", "Clients")
        check_keys_now()
        yield made
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def signed_in(world: World) -> Credentials:
    return credentials(world)
