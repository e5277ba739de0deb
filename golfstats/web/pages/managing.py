"""What a manager does on the pages: members, and a day's playing conditions figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.http import Http404

from courses import permissions as course_permissions
from courses import queries as courses
from courses.inputs import PlayingConditionsBody
from courses.models import Course, PartOfDay, PlayingConditions
from courses.services import days
from golfstats.api import bodies
from golfstats.api.people import NewMember
from golfstats.api.problems import Fault, ProblemError, invalid
from golfstats.clubs import services
from golfstats.clubs.models import Member, Role
from golfstats.web.form_page import FormPage
from golfstats.web.forms import Field
from players import permissions

ROLES = [(role.value, role.value) for role in Role]


class Members(FormPage):
    """Everybody in the club, and a form for one more."""

    title = "Add a member"
    button = "Add"
    done = "Member added"
    template = "members"

    def prepare(self, **places: Any) -> None:
        permissions.require_role(self.member, Role.MANAGER)

    def fields(self) -> Sequence[Field]:
        return (
            Field("username", "Sign-in name", required=True),
            Field("name", "Name", required=True),
            Field("role", "Role", "select", options=ROLES, required=True),
            Field(
                "password", "Password", "password", "At least 10 characters; for a person new to the service"
            ),
        )

    def extra(self) -> dict[str, Any]:
        return {
            "members": Member.objects.select_related("user").order_by("name", "id"),
            "courses": courses.courses().order_by("name", "id"),
        }

    def save(self, given: dict[str, Any]) -> None:
        new = bodies.checked(NewMember, given)
        try:
            services.add_member(self.club, new.username, new.name, new.role, new.password)
        except services.MemberExistsError:
            fault = Fault("/username", "member_exists", "this person is a member already")
            raise invalid([fault]) from None

    def back(self) -> str:
        return self.address("members-page")


class NewPcc(FormPage):
    """Playing conditions of a day: the figure comes from whoever issues it."""

    title = "Enter a playing conditions calculation"
    done = "Saved; the differentials of that day are computed again"
    course: Course

    def prepare(self, **places: Any) -> None:
        found = courses.courses().filter(id=places["course_id"]).first()
        if found is None:
            raise Http404
        course_permissions.require(self.member, course_permissions.COURSE_STAFF)
        self.course = found

    def fields(self) -> Sequence[Field]:
        return (
            Field("played_on", "Day", "date", required=True),
            Field(
                "part_of_day",
                "Part of the day",
                "select",
                options=[(part.value, part.value) for part in PartOfDay],
            ),
            Field("pcc", "Figure", "number", "−1 to 3", required=True, step="1"),
            Field("origin", "Who issued it", required=True),
        )

    def present(self) -> Mapping[str, Any]:
        return {"played_on": self.today.isoformat()}

    def save(self, given: dict[str, Any]) -> None:
        body = bodies.checked(PlayingConditionsBody, given)
        try:
            days.save_playing_conditions(self.member, self.course, PlayingConditions(), body)
        except ProblemError as problem:
            if problem.kind != "entered-already":
                raise
            raise invalid([Fault("/played_on", "entered_already", problem.title)]) from None

    def back(self) -> str:
        return self.address("members-page")
