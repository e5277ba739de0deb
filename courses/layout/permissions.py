"""Who may see which courses.

The club's courses are everybody's. A provisional one is its maker's, their coaches' and the managers'; to everybody
else it does not exist: 404, never 403.
"""

from __future__ import annotations

from collections.abc import Callable

from django.db.models import Q, QuerySet

from courses.layout.models import Course, PlayingConditions, TeeSet
from golfstats.ground.clubs.models import Member, Role
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.walls.scope import current_club_id
from golfstats.sentences import Sentence

Pupils = Callable[[Member], QuerySet[Member]]
_pupils_of: list[Pupils] = []


def pupils_come_from(pupils_of: Pupils) -> None:
    """Whom a coach looks after is known to a room above this one, which tells it here when the service starts."""
    _pupils_of[:] = [pupils_of]


def visible_courses(member: Member) -> QuerySet[Course]:
    courses = Course.objects.filter(club_id=current_club_id())
    if member.role == Role.MANAGER:
        return courses
    seen = Q(provisional=False) | Q(made_by=member)
    if member.role == Role.COACH:
        for pupils_of in _pupils_of:
            seen |= Q(made_by__in=pupils_of(member))
    return courses.filter(seen)


def needs_own_provisional(member: Member, course: Course) -> None:
    """Refuse a change by anybody but a manager and whoever entered the course while it is provisional."""
    if member.role == Role.MANAGER or (course.provisional and course.made_by_id == member.id):
        return
    title = Sentence("Only a manager may do this, or whoever entered the course while it is provisional")
    raise ProblemError("not-allowed", title, Refusal.NOT_ALLOWED)


def visible_tee_sets(member: Member) -> QuerySet[TeeSet]:
    return TeeSet.objects.filter(course__in=visible_courses(member)).select_related("course")


def visible_playing_conditions(member: Member) -> QuerySet[PlayingConditions]:
    return PlayingConditions.objects.filter(course__in=visible_courses(member))
