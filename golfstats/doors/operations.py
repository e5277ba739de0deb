"""Every operation of the service: the rooms, one by one."""

from __future__ import annotations

from courses.calendars import operations as calendars
from courses.greens import operations as greens
from courses.layout import operations as layout
from courses.plans import operations as hole_shapes
from golfstats.ground.members import operations as members
from golfstats.ground.operations import Operation
from golfstats.ground.webhooks import operations as webhooks
from players.club import operations as club
from players.coaching import operations as coaching
from players.conditions import operations as conditions
from players.figures import operations as figures
from players.files import operations as files
from players.handicap import operations as handicap
from players.people import operations as people
from players.plans import operations as plans
from players.record import operations as record
from players.rounds import operations as rounds

OPERATIONS: list[Operation] = [
    *members.OPERATIONS,
    *webhooks.OPERATIONS,
    *people.OPERATIONS,
    *rounds.OPERATIONS,
    *figures.OPERATIONS,
    *conditions.OPERATIONS,
    *coaching.OPERATIONS,
    *club.OPERATIONS,
    *handicap.OPERATIONS,
    *hole_shapes.OPERATIONS,
    *plans.OPERATIONS,
    *layout.OPERATIONS,
    *greens.OPERATIONS,
    *calendars.OPERATIONS,
    *files.OPERATIONS,
    *record.OPERATIONS,
]
