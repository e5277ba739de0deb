"""The base of every page of one club: who looks, in which club, in one transaction."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cached_property
from typing import Any, ClassVar
from uuid import UUID

from django.contrib.auth.views import redirect_to_login
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop
from django.views import View

from golfstats.doors.rest.problems import status_of
from golfstats.ground import logs
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.membership import NoSuchClubError, member_of
from golfstats.ground.clubs.models import Club, Member, Role
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.operations import Asker
from golfstats.ground.postgres.trouble import tried_again
from golfstats.ground.walls.scope import club_scope
from golfstats.ground.words import dates_as
from players.people import permissions
from players.people.models import Player
from players.people.readers import write_down_readers

UNOFFICIAL = noop("Unofficial: only an authorised association issues a Handicap Index.")


class ClubPage(View):
    """A page of the club that its address names.

    As with the API's endpoints everything from finding the member to the written page runs in that
    club's scope, which is one transaction; any answer from 400 up rolls it back. A club that the
    person does not belong to, and whatever they may not see in their own, is a 404.
    """

    member: Member
    club: Club
    tells: ClassVar[str] = "analysis"
    """What a page about a player tells of their golf."""

    def dispatch(self, request: HttpRequest, *args: Any, slug: str, **kwargs: Any) -> HttpResponseBase:
        return tried_again(lambda: self._dispatch_once(request, *args, slug=slug, **kwargs))

    def _dispatch_once(self, request: HttpRequest, *args: Any, slug: str, **kwargs: Any) -> HttpResponseBase:
        if request.user.pk is None:
            return redirect_to_login(request.get_full_path())
        try:
            self.member = member_of(request.user.pk, slug)
        except NoSuchClubError:
            raise Http404 from None
        self.club = self.member.club
        logs.club.set(str(self.club.id))  # until the request has its line, also when it fails
        with (
            dates_as(self.club.date_style),
            club_scope(self.club.id, snapshot=request.method in {"GET", "HEAD"}),
        ):
            response = self._answer(request, *args, **kwargs)
            if response.status_code >= 400:
                transaction.set_rollback(True)
            return response

    def _answer(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        try:
            response = super().dispatch(request, *args, **kwargs)
        except ProblemError as problem:
            if problem.because == Refusal.NOT_FOUND:
                raise Http404 from None
            return self.page("problem", {"problem": problem}, status=status_of(problem))
        if response.status_code < 400:
            write_down_readers(self.asker, "pages")
        return response

    def http_method_not_allowed(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        """Who is signed out when they press a button comes back to its address by a link, which does nothing."""
        refused = super().http_method_not_allowed(request, *args, **kwargs)
        problem = ProblemError(
            "method-not-allowed",
            gettext("Nothing was done yet"),
            detail=gettext(
                "A button does this, and no link. Go back to where it stands, and press it again."
            ),
        )
        page = self.page("problem", {"problem": problem}, status=refused.status_code)
        page["Allow"] = refused["Allow"]
        return page

    @property
    def today(self) -> date:
        return today_at(self.club)

    @cached_property
    def asker(self) -> Asker:
        return Asker(self.member, self.request.build_absolute_uri("/"))

    def page(self, template: str, context: Mapping[str, object], status: int = 200) -> HttpResponse:
        """The template of this name, written while the club is in scope."""
        shared = {
            "club": self.club,
            "member": self.member,
            "ways": self._ways(),
            "unofficial": gettext(UNOFFICIAL),
            "today": self.today,
        }
        return render(self.request, f"web/{template}.html", {**shared, **context}, status=status)

    def address(self, name: str, *args: object) -> str:
        return reverse(name, args=[self.club.slug, *args])

    def visible_player(self, player_id: UUID) -> Player:
        player = permissions.visible_players(self.member).filter(id=player_id).first()
        if player is None:
            raise Http404
        if self.tells:
            self.asker.looks_at(self.tells, [player.id])
        return player

    def _ways(self) -> list[tuple[str, str]]:
        """Where this member can go from every page: words and address."""
        # A greenkeeper's start is the greens.
        greenkeeper = self.member.role == Role.GREENKEEPER
        ways = [] if greenkeeper else [(gettext("Start"), self.address("club-page"))]
        if self.member.role in {Role.COACH, Role.MANAGER}:
            ways.append((gettext("Players"), self.address("players-page")))
        if not greenkeeper:
            ways.append((gettext("Enter a round"), self.address("round-entry")))
            ways.append((gettext("Tomorrow"), self.address("tomorrow-page")))
        ways.append((gettext("Greens"), self.address("greens-page")))
        if self.member.role == Role.MANAGER:
            ways.append((gettext("Club"), self.address("manage")))
        return ways
