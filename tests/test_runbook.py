"""What DEVELOPERS.md tells whoever runs the service to look at and to do is there."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from django.core.management import get_commands
from django.test import Client
from django.urls import get_resolver

from golfstats.ground.outbox.work import Queue

PAGE = (Path(__file__).parent.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
RUNBOOK = PAGE.split("## Running it: symptom → look at → do")[1].split("\n## ")[0]
ROWS = [line.strip("| ").split(" | ") for line in RUNBOOK.splitlines() if line.startswith("| ")]


def test_each_symptom_has_what_to_look_at_and_what_to_do() -> None:
    symptoms = [row for row in ROWS if len(row) == 3]
    assert len(symptoms) >= 15
    assert all(part.strip() for row in symptoms for part in row)


@pytest.mark.django_db
def test_every_figure_that_it_names_is_told(settings: Any) -> None:
    settings.METRICS_TOKEN = "read the figures"
    told = Client().get("/metrics", headers={"Authorization": "Bearer read the figures"}).content.decode()
    named = set(re.findall(r"golfstats_[a-z_]+", RUNBOOK))
    assert len(named) >= 4
    families = set(re.findall(r"^# TYPE (\w+)", told, re.MULTILINE))
    assert {name for name in named if not any(one.startswith(name) for one in families)} == set()


def test_every_command_that_it_names_is_one() -> None:
    named = set(re.findall(r"manage\.py (\w+)", RUNBOOK))
    assert {"backup", "restore", "drain", "purge"} <= named
    assert named - set(get_commands()) == set()


def test_every_address_and_queue_that_it_names_is_one() -> None:
    names = {name for name in get_resolver().reverse_dict if isinstance(name, str)}
    for text in re.findall(r"`golfstats_requests` of (.*?) \|", RUNBOOK):
        assert set(re.findall(r"`([a-z-]+)`", text)) <= names
    for queue in re.findall(r"heartbeat `(\w+)`", RUNBOOK):
        assert queue in set(Queue)
    for path in set(re.findall(r"`(/(?:health|metrics)[a-z/]*)`", RUNBOOK)):
        assert get_resolver().resolve(path)
