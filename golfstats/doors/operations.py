"""Every operation of the service: the rooms, one by one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

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
from players.months import operations as months
from players.people import operations as people
from players.pictures import operations as pictures
from players.plans import operations as plans
from players.record import operations as record
from players.rounds import operations as rounds


@dataclass(frozen=True)
class Room:
    """The operations of one subject; a tag in the API document."""

    name: str
    what: str
    operations: Sequence[Operation]


ROOMS = (
    Room(
        "account",
        "Members of the club, and a person's own account: tokens, sign-ins, invitations.",
        members.OPERATIONS,
    ),
    Room("webhooks", "Messages to programs of one's own, when something changes.", webhooks.OPERATIONS),
    Room("players", "Players and squads, who may read their golf, and who did.", people.OPERATIONS),
    Room(
        "rounds", "Rounds: posted, corrected, played hole by hole, and what changed since.", rounds.OPERATIONS
    ),
    Room("figures", "What the golf of a player or a squad says.", figures.OPERATIONS),
    Room(
        "conditions",
        "What greens, weather and tees cost, and when to work on the greens.",
        conditions.OPERATIONS,
    ),
    Room(
        "coaching", "Trends, comparisons, priorities, trials, goals, notes, attention.", coaching.OPERATIONS
    ),
    Room("club", "The club: settings, what its holes cost, how far figures may be trusted.", club.OPERATIONS),
    Room("handicap", "Handicap records and the decisions of the committee. Unofficial.", handicap.OPERATIONS),
    Room("pictures", "Pictures of a player's golf, for programs that draw them.", pictures.OPERATIONS),
    Room("month-reports", "A month of a player or a squad on paper.", months.OPERATIONS),
    Room("hole-shapes", "The shapes of holes.", hole_shapes.OPERATIONS),
    Room("plans", "Plans of rounds to come.", plans.OPERATIONS),
    Room("courses", "Courses, their tees and playing conditions.", layout.OPERATIONS),
    Room("greens", "Green work, readings, and the state of the greens.", greens.OPERATIONS),
    Room("calendars", "Events, and calendars to subscribe to.", calendars.OPERATIONS),
    Room("files", "Exports and imports.", files.OPERATIONS),
    Room("record", "What is kept of a person: to take along, or to erase.", record.OPERATIONS),
)

OPERATIONS: list[Operation] = [operation for room in ROOMS for operation in room.operations]
