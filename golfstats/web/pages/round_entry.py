"""Entering and correcting a round. The guided entry (JavaScript) builds the same notation as the plain form."""

from __future__ import annotations

import hashlib
from typing import Any
from uuid import UUID, uuid4

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from courses.models import Course
from courses.output import course_in_full
from golfstats.api import bodies
from golfstats.api.models import AnsweredRequest
from golfstats.api.problems import Fault, ProblemError, invalid
from golfstats.clubs.models import DistanceUnit, Member, Role
from golfstats.web.base import ClubPage
from golfstats.web.pages.rounds import round_to_change
from players import notation, permissions, posting, queries, round_output
from players.models import Player
from players.round_input import RoundInput

EXAMPLE = "1 T412 F155(7i) G18 G2\n2 T165 S12 G6\n3 =5/2"


def round_from(text: str) -> RoundInput:
    """The round of a text in the notation; a 422 problem that lists every fault with its hole and line."""
    if len(text.encode()) > settings.ROUND_BODY_LIMIT:
        raise invalid([Fault("/text", "too_large", "the text is too long for a round")])
    try:
        fields = notation.read(text)
    except notation.NotationError as error:
        raise invalid(error.faults, "The text is not in the notation") from None
    return bodies.checked(RoundInput, fields)


class NewRound(ClubPage):
    def get(self, request: HttpRequest) -> HttpResponse:
        permissions.require_role(self.member, Role.PLAYER, Role.COACH, Role.MANAGER)
        return self._form(_template(self), request.GET.get("player", ""))

    def post(self, request: HttpRequest) -> HttpResponse:
        """The form without JavaScript. Its hidden key makes sending it twice harmless."""
        text, key = request.POST.get("text", ""), request.POST.get("key", "")
        try:
            address = _sent_before(self.member, key, text)
            if address is None:
                address = self.address("round-page", posting.post_round(self.member, round_from(text)).id)
                _remember(self.member, key, text, address)
        except ProblemError as problem:
            return self._form(text, "", problem)
        messages.success(request, "Round saved")
        return redirect(address)

    def _form(self, text: str, player: str, problem: ProblemError | None = None) -> HttpResponse:
        context = {
            "text": text,
            "example": EXAMPLE,
            "problem": problem,
            "key": uuid4().hex,
            "places": _places(self, player),
        }
        return self.page("round_entry", context, status=problem.status if problem else 200)


def _sent_before(member: Member, key: str, text: str) -> str | None:
    """Where the round is that this very form has saved; a 422 problem if it was another text then."""
    # One at a time for each member: the second of two taps waits here, and finds the first one's answer.
    Member.objects.select_for_update().get(id=member.id)
    answered = AnsweredRequest.objects.filter(member=member, key=_form_key(key)).first()
    if answered is None:
        return None
    if answered.fingerprint != _fingerprint(text):
        detail = "this form has saved another text already: correct that round on its own page"
        raise invalid([Fault("/text", "saved_already", detail)])
    address: str = answered.headers["Location"]
    return address


def _remember(member: Member, key: str, text: str, address: str) -> None:
    AnsweredRequest.objects.create(
        member=member,
        key=_form_key(key),
        fingerprint=_fingerprint(text),
        status=302,
        body=b"",
        headers={"Location": address},
    )


def _form_key(key: str) -> str:
    return f"form:{_fingerprint(key)}"


def _fingerprint(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


class EditRound(ClubPage):
    def get(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        round_to_change(self, round_id)
        found = queries.rounds(self.member).get(id=round_id)
        text = notation.write(round_output.as_input(found, self.club.distance_unit))
        return self._form(round_id, text, str(found.version))

    def post(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        found, text = round_to_change(self, round_id), request.POST.get("text", "")
        seen = request.POST.get("version", "")
        if seen != str(found.version):
            problem = invalid(
                [Fault("/version", "changed_meanwhile", "the round was changed since you read it")]
            )
            return self._form(round_id, text, str(found.version), problem)
        try:
            posting.replace_round(self.member, found, round_from(text))
        except ProblemError as problem:
            return self._form(round_id, text, seen, problem)
        messages.success(request, "Round corrected")
        return redirect(self.address("round-page", round_id))

    def _form(
        self, round_id: UUID, text: str, version: str, problem: ProblemError | None = None
    ) -> HttpResponse:
        context = {
            "text": text,
            "version": version,
            "example": EXAMPLE,
            "problem": problem,
            "round_id": round_id,
        }
        return self.page("round_edit", context, status=problem.status if problem else 200)


def _template(page: ClubPage) -> str:
    """The first lines of a round, for typing on from there."""
    course = Course.objects.order_by("name").prefetch_related("tee_sets").first()
    tee = course.tee_sets.first() if course else None
    lines = [
        f"course: {course.name if course else ''}",
        f"tee: {tee.name if tee else ''}",
        f"date: {page.today.isoformat()}",
    ]
    if not Player.objects.filter(member=page.member).exists():
        lines.insert(0, "player: ")
    return "\n".join(lines) + "\n"


def _places(page: ClubPage, player: str) -> dict[str, Any]:
    """What the guided entry offers: players, courses, tees, and the length and par of their holes."""
    courses = Course.objects.order_by("name").prefetch_related("tee_sets__holes", "tee_sets__ratings")
    players = permissions.postable_players(page.member).order_by("name")
    own = Player.objects.filter(member=page.member).values_list("id", flat=True).first()
    return {
        "club": page.club.slug,
        "member": str(page.member.id),
        "metres": page.club.distance_unit == DistanceUnit.METRES,
        "today": page.today.isoformat(),
        "players": [{"id": str(one.id), "name": one.name, "gender": one.rating_gender} for one in players],
        "player": player or (str(own) if own else ""),
        "courses": [_course(course, page) for course in courses],
        "rounds": page.address("round-page", UUID(int=0)).replace(str(UUID(int=0)), ""),
    }


def _course(course: Course, page: ClubPage) -> dict[str, Any]:
    full = course_in_full(course, page.club)
    tees = [{"name": tee["name"], "holes": tee["holes"]} for tee in full["tees"] if tee["holes"]]
    return {"name": course.name, "holes": course.hole_count, "tees": tees}
