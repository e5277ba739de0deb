"""What a record says of the committee: told anew at each reading, and kept by no process."""

from __future__ import annotations

import datetime as dt
import gc
import sys
from collections.abc import Iterator
from functools import _lru_cache_wrapper
from types import FunctionType, ModuleType

import pytest
from django.utils import translation

from golfstats.ground.operations import Asker, Query
from golfstats.ground.outbox.worker import drain
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.words import dates_as
from players.club.services import change_settings
from players.handicap.answers import handicaps
from players.people.models import Player
from tests import factories
from tests.graphql.asking import data
from tests.players.conftest import Place, client_of

REASON = "A shoulder that heals slowly"
COMMITTEE = "query Q($id: UUID!) { player(id: $id) { handicap { committee { text } } } }"


@pytest.fixture
def frozen(place: Place) -> Player:
    """A player whose index the committee has frozen from 4 May 2026."""
    with club_scope(place.club.id):
        for day in (1, 2, 3):
            factories.make_round(place.player_member, place.player, dt.date(2026, 4, day))
    drain()
    decision = {"kind": "freeze_index", "effective_on": "2026-05-04", "value": "20.0", "reason": REASON}
    address = f"/api/v1/players/{place.player.id}/committee-actions"
    assert client_of(place.manager).post(address, decision, format="json").status_code == 201
    drain()
    return place.player


def test_a_club_writes_days_in_another_way_and_the_next_reading_follows(place: Place, frozen: Player) -> None:
    client = client_of(place.player_member)
    for style, written in (("day_month", "4 May 2026"), ("month_day", "May 4, 2026"), ("iso", "2026-05-04")):
        with club_scope(place.club.id):
            change_settings(place.club, {"date_style": style})
        (decision,) = client.get(f"/api/v1/players/{frozen.id}/handicap").json()["committee"]
        assert decision["text"].endswith(f"from {written} until further notice")
        found = data(place.player_member, COMMITTEE, id=str(frozen.id))
        assert found["player"]["handicap"]["committee"] == [{"text": decision["text"]}]


@pytest.mark.parametrize(
    ("language", "style", "written"),
    [
        ("en", "day_month", "from 4 May 2026 until"),
        ("de", "day_month", "ab 4. Mai 2026 bis"),
        ("en", "iso", "from 2026-05-04 until"),
        ("de", "iso", "ab 2026-05-04 bis"),
        ("en", "month_day", "from May 4, 2026 until"),
    ],
)
def test_the_present_index_is_told_with_the_reader_s_words_and_days(
    place: Place, frozen: Player, language: str, style: str, written: str
) -> None:
    with club_scope(place.club.id), translation.override(language):
        for other in ("iso", "day_month"):  # what was read before is no reason to say it again
            with dates_as(other):
                handicaps(Asker(place.manager), [frozen], Query())
        with dates_as(style):
            (present,) = handicaps(Asker(place.manager), [frozen], Query())
    assert written in present.committee[0].text
    assert present.committee[0].reason == REASON


def test_no_process_keeps_what_the_committee_wrote(place: Place, frozen: Player) -> None:
    with club_scope(place.club.id):
        (present,) = handicaps(Asker(place.manager), [frozen], Query())
    assert (present.committee[0].reason, len(present.trend) > 0) == (REASON, True)
    kept = list(texts_in_caches())
    assert any("2026-04-03" in text for text in kept)  # the points themselves are kept
    assert [text for text in kept if REASON in text or "further notice" in text] == []


def texts_in_caches() -> Iterator[str]:
    """All text that caches of functions about handicaps hold on to."""
    rooms = [module for name, module in sys.modules.items() if name.startswith("players.handicap")]
    named = [one for room in rooms for one in vars(room).values()]
    waiting: list[object] = [one for one in named if isinstance(one, _lru_cache_wrapper)]
    met: set[int] = set()
    while waiting:
        one = waiting.pop()
        if id(one) in met or isinstance(one, FunctionType | ModuleType | type):
            continue
        met.add(id(one))
        if isinstance(one, str):
            yield one
        waiting += gc.get_referents(one)
