"""Who read whose golf: kept for the players once a day for each reader, part and door."""

from __future__ import annotations

import datetime as dt
from collections import OrderedDict
from functools import partial
from typing import NamedTuple
from uuid import UUID

from django.db import transaction

from golfstats.ground.operations import Asker
from golfstats.ground.statements import prepared_cursor

Looked = tuple[str, UUID]
"""What was read, and of which player or squad."""

KEEP = """
    WITH looked (what, key) AS (SELECT * FROM unnest(%(what)s::text[], %(keys)s::uuid[])),
    read (what, player_id) AS (
        SELECT what, key FROM looked
        UNION
        SELECT looked.what, place.player_id
        FROM looked JOIN players_squadplayer place ON place.squad_id = looked.key
    ),
    readable (what, player_id) AS (
        SELECT read.what, player.id FROM read JOIN players_player player ON player.id = read.player_id
        WHERE player.club_id = %(club)s AND player.member_id IS DISTINCT FROM %(reader)s::uuid
        AND (NOT player.under_age OR player.consent_at IS NOT NULL OR player.approved_coach_id = %(reader)s::uuid)
    ),
    written AS (
        INSERT INTO players_golfread
            (id, club_id, player_id, reader_id, reader_name, reader_role, what, door, read_on, first_at)
        SELECT gen_random_uuid(), %(club)s::uuid, player_id, %(reader)s::uuid, %(name)s::text, %(role)s::text,
            what, %(door)s::text, %(day)s::date, now()
        FROM readable WHERE NOT EXISTS (
            SELECT FROM players_golfread kept
            WHERE kept.club_id = %(club)s AND kept.player_id = readable.player_id
            AND kept.reader_id = %(reader)s::uuid AND kept.read_on = %(day)s::date
            AND kept.what = readable.what AND kept.door = %(door)s::text
        )
        ON CONFLICT DO NOTHING
    )
    SELECT what, player_id FROM readable
"""


class _Reader(NamedTuple):
    club: UUID | None
    member: UUID
    door: str
    day: dt.date


class _WrittenDown:
    """What this process knows to be kept, so that whoever reads on costs no statement."""

    def __init__(self, readers: int) -> None:
        self._most = readers
        self._kept: OrderedDict[_Reader, set[Looked]] = OrderedDict()

    def of(self, reader: _Reader) -> set[Looked]:
        return self._kept.get(reader, set())

    def add(self, reader: _Reader, rows: list[Looked]) -> None:
        self._kept.setdefault(reader, set()).update(rows)
        while len(self._kept) > self._most:
            self._kept.popitem(last=False)


_written_down = _WrittenDown(readers=2000)


def write_down_readers(asker: Asker, door: str) -> None:
    """Keep for the players whose golf was read who did so: one statement, or none where all of it is kept.

    What one reads of oneself is not kept. A squad is looked up each time: somebody may have come into it.
    """
    member = asker.member
    reader = _Reader(member.club_id, member.id, door, asker.today)
    looked_at = sorted(asker.looked_at - _written_down.of(reader))
    asker.looked_at.clear()
    if not looked_at:
        return
    with prepared_cursor() as cursor:
        cursor.execute(
            KEEP,
            {
                "what": [what for what, _ in looked_at],
                "keys": [key for _, key in looked_at],
                "reader": member.id,
                "name": member.name,
                "role": member.role,
                "door": door,
                "day": asker.today,
                "club": member.club_id,
            },
        )
        rows = cursor.fetchall()
    transaction.on_commit(partial(_written_down.add, reader, rows))
