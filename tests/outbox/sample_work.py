"""Kinds of work for the worker processes of the tests: each leaves its mark in the club's name."""

from __future__ import annotations

import os
import signal
from uuid import UUID

from django.db.models import F, Value
from django.db.models.functions import Concat

from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox.work import Queue, handler, one_at_a_time
from golfstats.ground.walls.scope import club_scope, current_club_id
from tests.outbox.attempts import AT_ONCE

GATE = "gate of the tests"


def append(text: str) -> None:
    Club.objects.filter(id=current_club_id()).update(name=Concat(F("name"), Value(text)))


def append_failure(key: str, reason: str) -> None:
    append(f" {key} failed: {reason}")


@handler("sample_append")
def append_key(key: str) -> None:
    append(f" {key}")


@handler("sample_outside", queue=Queue.MESSAGES, outside=True)
def append_outside(club_id: UUID, key: str) -> None:
    with club_scope(club_id):
        append(f" {key}")


@handler("sample_gated", retry_after=AT_ONCE)
def append_then_wait_at_the_gate(key: str) -> None:
    append(f" {key}")
    one_at_a_time(GATE)


@handler("sample_poison", on_failure=append_failure, retry_after=AT_ONCE)
def always_fail(key: str) -> None:
    append(f" half of {key}")
    raise RuntimeError("no such tee")


@handler("sample_killer", on_failure=append_failure, retry_after=AT_ONCE)
def kill_the_worker(key: str) -> None:
    append(f" half of {key}")
    os.kill(os.getpid(), signal.SIGKILL)
