"""What a coach (and a player) does on the pages: compare, put aside, set goals, note practice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect

from golfstats.api import bodies
from golfstats.api.problems import Fault, invalid
from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.clubs.models import DistanceUnit, Role
from golfstats.web.base import ClubPage
from golfstats.web.form_page import FormPage
from golfstats.web.forms import Field
from golfstats.web.pages.dashboard import FIGURE_OPTIONS
from golfstats.web.shown import shown, shown_spec
from players import permissions
from players.api.comparison import MOST_PLAYERS
from players.api.figures import TO_METRES
from players.api.goals import GoalBody
from players.api.notes import NoteBody
from players.coaching import goals, notes
from players.coaching.attention import dismiss
from players.coaching.comparison import side_by_side
from players.coaching.goals import NewGoal
from players.coaching.history import history_of
from players.coaching.notes import NewNote
from players.models import Player
from players.queries.analysed import golf_of


class PutAside(ClubPage):
    """Dismiss an item of the attention list, until its cause begins anew."""

    def post(self, request: HttpRequest) -> HttpResponse:
        permissions.require_role(self.member, Role.COACH, Role.MANAGER)
        item = request.POST.get("item", "")
        try:
            player = self.visible_player(UUID(request.POST.get("player", "")))
        except ValueError:
            raise Http404 from None
        if not 0 < len(item) <= 120 or not item.isprintable():
            raise Http404
        dismiss(self.member, player, item)
        messages.success(request, f"Put aside for {player.name}")
        return redirect(self.address("club-page"))


class Compare(ClubPage):
    """Players side by side on one figure."""

    def get(self, request: HttpRequest) -> HttpResponse:
        players = self._players(request.GET.getlist("player"))
        golf = golf_of([player.id for player in players], self.club)
        try:
            (found,) = side_by_side(golf, players, [request.GET.get("figure", "gained.total")])
        except UnknownFigureError as error:
            raise invalid([Fault("/figure", "unknown_figure", str(error))]) from None
        unit = self.club.distance_unit
        figures = [shown_spec(found.spec, figure, unit) for figure in found.figures]
        context = {
            "spec": found.spec,
            "lines": list(zip(players, figures, strict=True)),
            "pairs": [(pair, shown(pair.difference, unit=unit, signed=True)) for pair in found.pairs],
            "benchmark": golf.benchmark.name,
        }
        return self.page("compare", context)

    def _players(self, given: Sequence[str]) -> list[Player]:
        try:
            ids = list(dict.fromkeys(UUID(one) for one in given))
        except ValueError:
            raise Http404 from None
        if not 2 <= len(ids) <= MOST_PLAYERS:
            raise invalid([Fault("/player", "players", f"choose 2 to {MOST_PLAYERS} players")])
        found = list(permissions.visible_players(self.member).filter(id__in=ids).order_by("name", "id"))
        if len(found) < len(ids):
            raise Http404
        return found


class _ForPlayer(FormPage):
    player: Player

    def prepare(self, **places: Any) -> None:
        self.player = self.visible_player(places["player_id"])

    def back(self) -> str:
        return self.address("player-page", self.player.id)


class NewGoalPage(_ForPlayer):
    title = "Set a goal"
    button = "Set the goal"
    done = "Goal set"

    def fields(self) -> Sequence[Field]:
        lengths = "metres" if self.club.distance_unit == DistanceUnit.METRES else "yards (putts: feet)"
        hint = f"Strokes; shares from 0 to 1 (0.6 is 60%); lengths in {lengths}"
        return (
            Field("figure", "Figure", "select", options=FIGURE_OPTIONS, required=True),
            Field("target", "Target", "number", hint, required=True, step="any"),
            Field("due_on", "To be met by", "date", required=True),
            Field("rounds", "Taken over the last so many rounds", "number", required=True, step="1"),
            Field("note", "Note", "textarea"),
        )

    def present(self) -> Mapping[str, Any]:
        return {"rounds": 10, "due_on": (self.today + timedelta(days=90)).isoformat()}

    def save(self, given: dict[str, Any]) -> None:
        rounds = given.pop("rounds", None)
        body = bodies.checked(GoalBody, given | ({"window": {"rounds": rounds}} if rounds else {}))
        golf = history_of([self.player.id], self.club)
        in_metres = TO_METRES if self.club.distance_unit == DistanceUnit.METRES else {}
        wanted = NewGoal(
            figure=body.figure,
            target=goals.in_stored_unit(golf, body.figure, body.target, in_metres),
            due_on=body.due_on,
            window_rounds=body.window.rounds,
            window_days=body.window.days,
            note=body.note,
        )
        goals.set_goal(self.member, self.player, golf, wanted, self.today)


class NewNotePage(_ForPlayer):
    title = "Note what was practised"
    button = "Save the note"
    done = "Note saved"

    def fields(self) -> Sequence[Field]:
        options = [("", "no figure in particular"), *FIGURE_OPTIONS]
        return (
            Field("practised_on", "Day", "date", required=True),
            Field("text", "What you worked on", "textarea", "Player and coach both see it", required=True),
            Field("figure", "What it was about", "select", options=options),
        )

    def present(self) -> Mapping[str, Any]:
        return {"practised_on": self.today.isoformat()}

    def save(self, given: dict[str, Any]) -> None:
        body = bodies.checked(NoteBody, given)
        if body.practised_on > self.today:
            raise invalid([Fault("/practised_on", "in_the_future", f"today is {self.today}")])
        golf = history_of([self.player.id], self.club)
        new = NewNote(body.practised_on, body.text, body.figure)
        notes.write_note(self.member, self.player, golf, new)
