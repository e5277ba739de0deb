"""The base of every page of one club: who looks, in which club, in one transaction."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from django.contrib.auth.views import redirect_to_login
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.views import View

from golfstats.api.problems import ProblemError
from golfstats.clubs.membership import NoSuchClubError, member_of
from golfstats.clubs.models import Club, Member, Role
from golfstats.clubs.scope import club_scope
from players import permissions
from players.coaching.history import today_at
from players.models import Player

UNOFFICIAL = "Unofficial: only an authorised association issues a Handicap Index."


class ClubPage(View):
    """A page of the club that its address names.

    As with the API's endpoints everything from finding the member to the written page runs in that
    club's scope, which is one transaction; any answer from 400 up rolls it back. A club that the
    person does not belong to, and whatever he may not see in his own, is a 404.
    """

    member: Member
    club: Club

    def dispatch(self, request: HttpRequest, *args: Any, slug: str, **kwargs: Any) -> HttpResponseBase:
        if request.user.pk is None:
            return redirect_to_login(request.get_full_path())
        try:
            self.member = member_of(request.user.pk, slug)
        except NoSuchClubError:
            raise Http404 from None
        self.club = self.member.club
        with club_scope(self.club.id):
            response = self._answer(request, *args, **kwargs)
            if response.status_code >= 400:
                transaction.set_rollback(True)
            return response

    def _answer(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        try:
            return super().dispatch(request, *args, **kwargs)
        except ProblemError as problem:
            if problem.status == 404:
                raise Http404 from None
            return self.page("problem", {"problem": problem}, status=problem.status)

    @property
    def today(self) -> date:
        return today_at(self.club)

    def page(self, template: str, context: dict[str, Any], status: int = 200) -> HttpResponse:
        """The template of this name, written while the club is in scope."""
        shared = {
            "club": self.club,
            "member": self.member,
            "ways": self._ways(),
            "unofficial": UNOFFICIAL,
            "today": self.today,
        }
        return render(self.request, f"web/{template}.html", shared | context, status=status)

    def address(self, name: str, *args: object) -> str:
        return reverse(name, args=[self.club.slug, *args])

    def visible_player(self, player_id: UUID) -> Player:
        player = permissions.visible_players(self.member).filter(id=player_id).first()
        if player is None:
            raise Http404
        return player

    def _ways(self) -> list[tuple[str, str]]:
        """Where this member can go from every page: words and address."""
        ways = [("Start", self.address("club-page"))]
        if self.member.role in {Role.COACH, Role.MANAGER}:
            ways.append(("Players", self.address("players-page")))
        if self.member.role != Role.GREENKEEPER:
            ways.append(("Enter a round", self.address("round-entry")))
        ways.append(("Greens", self.address("greens-page")))
        if self.member.role == Role.MANAGER:
            ways.append(("Members", self.address("members-page")))
        return ways
