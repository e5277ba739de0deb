"""Who may change what of courses. Every member of the club reads all of it."""

from __future__ import annotations

from rest_framework import status

from golfstats.api.problems import ProblemError
from golfstats.clubs.models import Member, Role

COURSE_STAFF = (Role.MANAGER,)
"""Change courses, tees, holes, ratings and playing conditions."""
GREEN_STAFF = (Role.GREENKEEPER, Role.MANAGER)
"""Write green work, green readings and events, and hand out calendar addresses."""


def require(member: Member, roles: tuple[Role, ...]) -> None:
    """Raise a 403 problem unless the member has one of the roles."""
    if member.role not in roles:
        words = " or ".join(role.value for role in roles)
        raise ProblemError("not-allowed", f"Only a {words} may do this", status.HTTP_403_FORBIDDEN)
