"""Importing 1,000 rounds takes at most twice the time of posting them in bulk through the service layer."""

from __future__ import annotations

import csv
import datetime as dt
import gc
import io
from collections.abc import Callable
from statistics import median
from time import process_time
from typing import Any

import pytest
from django.db import transaction

from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.walls.scope import club_scope
from players.files import services as imports
from players.files.incoming.parsing import Layout
from players.files.models import Import, ImportKind, ImportState
from players.rounds import services as posting
from players.rounds.input import RoundInput
from tests import factories

ROUNDS = 1000
FIRST_DAY = dt.date(2018, 1, 1)


def days() -> list[str]:
    return [(FIRST_DAY + dt.timedelta(days=number)).isoformat() for number in range(ROUNDS)]


def as_file() -> str:
    text = io.StringIO()
    writer = csv.writer(text)
    numbers = range(1, 19)
    writer.writerow(
        [
            "player",
            "course",
            "tee",
            "played_on",
            *(f"score_{n}" for n in numbers),
            *(f"putts_{n}" for n in numbers),
        ]
    )
    for place, day in enumerate(days()):
        writer.writerow(["Ines Aldana", "Long course", "White", day, *[4 + place % 3] * 18, *[2] * 18])
    return text.getvalue()


def as_bodies() -> list[dict[str, Any]]:
    return [
        {
            "player": "Ines Aldana",
            "course": "Long course",
            "tee": "White",
            "played_on": day,
            "holes": [{"number": n, "score": 4 + place % 3, "putts": 2} for n in range(1, 19)],
        }
        for place, day in enumerate(days())
    ]


def seconds(run: Callable[[], None]) -> float:
    """Processor time of one run, whose writing is taken back."""
    gc.collect()
    begun = process_time()
    with transaction.atomic():
        run()
        transaction.set_rollback(True)
    return process_time() - begun


def post_in_bulk(member: Member) -> None:
    posting.post_rounds(member, [RoundInput.model_validate(body) for body in as_bodies()])


def import_file(member: Member, text: str) -> None:
    started = imports.start(member, text, Layout(ImportKind.SCORES), "yards")
    steps = []
    while True:
        imports.go_on(started.id)
        now = Import.objects.get(id=started.id)
        steps.append(now.checked)
        if now.finished_at is not None:
            break
    assert now.state == ImportState.DONE
    assert now.added == ROUNDS
    assert steps[:3] == [250, 500, 1000]  # progress


@pytest.mark.slow
@pytest.mark.django_db
def test_importing_takes_at_most_twice_as_long_as_posting() -> None:
    """Medians of runs that alternate, so that a busy machine slows both."""
    club = factories.make_club()
    text = as_file()
    with club_scope(club.id):
        factories.make_tee_set(factories.make_course())
        factories.make_player("Ines Aldana")
        member = factories.make_member(Role.MANAGER, "manager")
        times = [
            (seconds(lambda: post_in_bulk(member)), seconds(lambda: import_file(member, text)))
            for _ in range(3)
        ]
    posted, imported = (median(column) for column in zip(*times, strict=True))
    print(f"posting {posted:.2f} s, importing {imported:.2f} s")  # noqa: T201 - the figures of this run, shown by -s and when it fails
    assert imported <= 2 * posted, f"posting {posted:.2f} s, importing {imported:.2f} s"
