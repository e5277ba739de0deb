"""Entering and correcting a round. The guided entry (JavaScript) builds the same notation as the plain form."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from dataclasses import asdict
from uuid import UUID, uuid4

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext

from courses.layout.answers import CourseInFull, courses_in_full
from courses.layout.models import TeeSet
from courses.layout.operations import COURSE
from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.screens.golf.rounds import round_to_change
from golfstats.doors.pages.screens.greens.today import greens_today
from golfstats.doors.rest.problems import status_of
from golfstats.ground.answered.services import earlier_answer, keep_answer
from golfstats.ground.club_names import club_words, usual_club_words
from golfstats.ground.clubs.models import DistanceUnit, Member, Role
from golfstats.ground.faults import Fault, ProblemError, invalid
from golfstats.ground.operations import Query
from players.people import permissions
from players.rounds import notation
from players.rounds import services as posting
from players.rounds.answers import as_posted, last_tees, load_shots, visible_rounds
from players.rounds.input import RoundInput
from players.rounds.used import balls_used, clubs_used

EXAMPLE = "1 T412 F155(7i) G18 G2\n2 T165 S12 G6\n3 =5/2"


def round_from(text: str) -> RoundInput:
    """The round of a text in the notation; a 422 problem that lists every fault with its hole and line."""
    if len(text.encode()) > settings.ROUND_BODY_LIMIT:
        raise invalid([Fault("/text", "too_large", gettext("the text is too long for a round"))])
    return posting.round_of_text(text)


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
                keep_answer(self.member, _form_key(key), _fingerprint(text), 302, {"Location": address})
        except ProblemError as problem:
            return self._form(text, "", problem)
        messages.success(request, gettext("Round saved"))
        return redirect(address)

    def _form(self, text: str, player: str, problem: ProblemError | None = None) -> HttpResponse:
        context = {
            "text": text,
            "example": EXAMPLE,
            "problem": problem,
            "key": uuid4().hex,
            "places": _places(self, player),
            "greens": greens_today(list(COURSE.visible(self.asker).order_by("name", "id")), self.today),
        }
        return self.page("round_entry", context, status=status_of(problem) if problem else 200)


def _sent_before(member: Member, key: str, text: str) -> str | None:
    """Where the round is that this very form has saved; a 422 problem if it was another text then."""
    answered = earlier_answer(member, _form_key(key))
    if answered is None:
        return None
    if answered.fingerprint != _fingerprint(text):
        detail = gettext("this form has saved another text already: correct that round on its own page")
        raise invalid([Fault("/text", "saved_already", detail)])
    address: str = answered.headers["Location"]
    return address


def _form_key(key: str) -> str:
    return f"form:{_fingerprint(key)}"


def _fingerprint(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


class EditRound(ClubPage):
    def get(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        round_to_change(self, round_id)
        round_ = visible_rounds(self.member).get(id=round_id)
        load_shots([round_])
        self.asker.looks_at("shots", [round_.player_id])
        text = notation.write(as_posted(round_, self.club.distance_unit))
        return self._form(round_id, text, str(round_.version))

    def post(self, request: HttpRequest, round_id: UUID) -> HttpResponse:
        round_, text = round_to_change(self, round_id), request.POST.get("text", "")
        seen = request.POST.get("version", "")
        if seen != str(round_.version):
            problem = invalid(
                [Fault("/version", "changed_meanwhile", gettext("the round was changed since you read it"))]
            )
            return self._form(round_id, text, str(round_.version), problem)
        try:
            posting.replace_round(self.member, round_, round_from(text))
        except ProblemError as problem:
            return self._form(round_id, text, seen, problem)
        messages.success(request, gettext("Round corrected"))
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
            "places": _places(self, "")
            | {"round": {"id": str(round_id), "version": int(version or 0), "text": text}},
        }
        return self.page("round_edit", context, status=status_of(problem) if problem else 200)


def _template(page: ClubPage) -> str:
    """The first lines of a round, for typing on from there."""
    courses = COURSE.visible(page.asker).order_by("provisional", "name")
    course = courses.prefetch_related("tee_sets").first()
    tee = course.tee_sets.first() if course else None
    lines = [
        f"course: {course.name if course else ''}",
        f"tee: {tee.name if tee else ''}",
        f"date: {page.today.isoformat()}",
    ]
    if permissions.own_player(page.member) is None:
        lines.insert(0, "player: ")
    return "\n".join(lines) + "\n"


def _places(page: ClubPage, player: str) -> dict[str, object]:
    """What the guided entry offers: players, courses, tees, and the length and par of their holes."""
    visible = list(COURSE.visible(page.asker).order_by("name", "id"))
    courses = courses_in_full(page.asker, visible, Query())
    players = list(permissions.postable_players(page.member).order_by("name"))
    clubs = clubs_used([one.id for one in players])
    balls = balls_used([one.id for one in players])
    tees = last_tees([one.id for one in players])
    own = permissions.own_player(page.member)
    return {
        "club": page.club.slug,
        "member": str(page.member.id),
        "metres": page.club.distance_unit == DistanceUnit.METRES,
        "date_style": page.club.date_style,
        "today": page.today.isoformat(),
        "players": [
            {
                "id": str(one.id),
                "name": one.name,
                "gender": one.rating_gender,
                "clubs": in_the_bag(clubs.get(one.id, [])),
                "balls": balls.get(one.id, []),
                "last": _named(tees.get(one.id)),
            }
            for one in players
        ],
        "club_words": words_by_club(club for used in clubs.values() for club in used),
        "player": player or (str(own.id) if own else ""),
        "courses": [_course(course) for course in courses],
        "rounds": page.address("round-page", UUID(int=0)).replace(str(UUID(int=0)), ""),
    }


def _named(tees: TeeSet | None) -> dict[str, str]:
    """What the pad begins with: nobody should score a round from tees that they did not play."""
    return {"course": tees.course.name, "tee": tees.name} if tees else {}


def words_by_club(clubs: Iterable[str]) -> dict[str, str]:
    """How the pad calls each club, the usual ones too, since they can be said; what is posted is the name."""
    return usual_club_words() | {club: club_words(club) for club in clubs}


BAG = ("driver", "w", "h", "i", "wedge", "putter")
"""The order in which clubs stand; a club of no known kind comes before the putter."""


def in_the_bag(clubs: list[str]) -> list[str]:
    """Longest first."""

    def place(club: str) -> tuple[int, str]:
        name = club.lower()
        number = re.fullmatch(r"(\d+)[ -]?([whi])\w*", name)
        if number:
            return BAG.index(number[2]), number[1].zfill(2)
        return (BAG.index(name) if name in BAG else BAG.index("wedge"), name)

    return sorted(clubs, key=place)


def _course(course: CourseInFull) -> dict[str, object]:
    tees = [
        {"name": tee.name, "holes": [asdict(hole) for hole in tee.holes]} for tee in course.tees if tee.holes
    ]
    return {"name": course.name, "holes": course.hole_count, "tees": tees}
