"""What a coach (and a player) does on the pages: compare, put aside, set and close goals, note practice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Any
from uuid import UUID

from django import forms as django_forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.doors.pages.base import ClubPage
from golfstats.doors.pages.form_page import Crumb, FormPage
from golfstats.doors.pages.forms import Choice, Day, Given, Number, Words
from golfstats.doors.pages.languages import translated
from golfstats.doors.pages.pictures import intervals
from golfstats.doors.pages.screens.chapters.base import benchmark_options
from golfstats.doors.pages.shown import told
from golfstats.ground import inputs
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.faults import Fault, ProblemError, invalid
from golfstats.ground.operations import Asker
from players.coaching import goals, notes
from players.coaching.comparison import compare
from players.coaching.history import history_of
from players.coaching.operations import COACHES, GOAL, NOTE
from players.coaching.questions import MOST_PLAYERS, CompareQuery, GoalBody, NoteBody
from players.coaching.reports.attention import dismiss, take_up_again
from players.figures.answers.figures import FIGURE_OPTIONS
from players.figures.meanings import family_of, specs_by_key
from players.golf.answers import Unit
from players.people import permissions
from players.people.models import Player
from players.pictures import subjects


class PutAside(ClubPage):
    """Dismiss an item of the attention list until its cause begins anew; ``undo`` takes it up again."""

    def post(self, request: HttpRequest) -> HttpResponse:
        self.asker.needs(*COACHES)
        item = request.POST.get("item", "")
        try:
            player = self.visible_player(UUID(request.POST.get("player", "")))
        except ValueError:
            raise Http404 from None
        if not 0 < len(item) <= 120 or not item.isprintable():
            raise Http404
        if "undo" in request.POST:
            take_up_again(self.member, player, item)
            messages.success(request, gettext("Back on the list: {name}").format(name=player.name))
            return redirect(self.address("club-page"))
        dismiss(self.member, player, item)
        request.session["put_aside"] = {"player": str(player.id), "name": player.name, "item": item}
        return redirect(self.address("club-page"))


class Compare(ClubPage):
    """Players side by side on one figure."""

    def get(self, request: HttpRequest) -> HttpResponse:
        players = self._players(request.GET.getlist("player"))
        asked = {
            "players": [player.id for player in players],
            "keys": request.GET.get("figure", "gained.total"),
        }
        if request.GET.get("benchmark"):
            asked["benchmark"] = request.GET["benchmark"]
        comparison = compare(Asker(self.member), inputs.checked(CompareQuery, asked))
        (figure,) = comparison.figures
        signed = figure.key.startswith("gained.")
        values = [told(one, signed=signed) for one in figure.values]
        golfer = dict(benchmark_options(comparison.benchmark))[comparison.benchmark]
        drawn = subjects.compared(comparison)
        context = {
            "figure": figure,
            "explained": (family_of(figure.key),),
            "lines": list(zip(players, values, strict=True)),
            "pairs": [(pair, told(pair.difference, signed=True)) for pair in figure.pairs],
            "benchmark": golfer,
            "picture": intervals.drawn(replace(drawn, zero=golfer) if signed else drawn),
        }
        return self.page("compare", context)

    def _players(self, given: Sequence[str]) -> list[Player]:
        try:
            ids = list(dict.fromkeys(UUID(one) for one in given))
        except ValueError:
            raise Http404 from None
        if not 2 <= len(ids) <= MOST_PLAYERS:
            raise invalid(
                [
                    Fault(
                        "/player",
                        "players",
                        gettext("choose 2 to {MOST_PLAYERS} players").format(MOST_PLAYERS=MOST_PLAYERS),
                    )
                ],
                gettext("Nobody to compare yet"),
            )
        players = list(permissions.visible_players(self.member).filter(id__in=ids).order_by("name", "id"))
        if len(players) < len(ids):
            raise Http404
        self.asker.looks_at("analysis", ids)
        return players


class _ForPlayer(FormPage):
    player: Player

    def prepare(self, **places: Any) -> None:
        self.player = self.visible_player(places["player_id"])

    def back(self) -> str:
        return self.address("player-goals", self.player.id)

    def crumb(self) -> Crumb:
        return Crumb(self.player.name, self.back())


class NewGoalPage(_ForPlayer):
    title = noop("Set a goal")
    button = noop("Set the goal")
    done = noop("Goal set")

    def fields(self) -> Mapping[str, django_forms.Field]:
        lengths = (
            gettext("metres")
            if self.club.distance_unit == DistanceUnit.METRES
            else gettext("yards (putts: feet)")
        )
        hint = gettext("As the figure is counted: strokes, per cent (60), or {lengths}").format(
            lengths=lengths
        )
        figures = [
            (key, f"{words}, %" if _is_share(key) else words) for key, words in translated(FIGURE_OPTIONS)
        ]
        return {
            "figure": Choice(gettext("Figure"), figures),
            "target": Number(gettext("Target"), hint, required=True),
            "due_on": Day(gettext("To be met by")),
            "rounds": Number(gettext("Taken over the last so many rounds"), required=True, whole=True),
            "note": Words(gettext("Note"), lines=3, required=False),
        }

    def present(self) -> Mapping[str, object]:
        return {"rounds": 10, "due_on": (self.today + timedelta(days=90)).isoformat()}

    def save(self, given: Given) -> None:
        rounds = given.pop("rounds", None)
        if _is_share(given.get("figure", "")) and given.get("target", 0.0) >= 1:
            given["target"] /= 100
        try:
            body = inputs.checked(
                GoalBody, given | ({} if rounds is None else {"window": {"rounds": rounds}})
            )
        except ProblemError as problem:
            raise invalid([_at_rounds(one) for one in problem.faults]) from None
        goals.set_goal(self.member, self.player, history_of([self.player.id], self.club), body, self.today)


def _is_share(key: str) -> bool:
    """Whether a target of the figure is said in per cent; as a share of 1 it is taken too."""
    spec = specs_by_key().get(key)
    return spec is not None and spec.unit == Unit.SHARE


def _at_rounds(fault: Fault) -> Fault:
    """The form asks for the window's rounds as a field of its own."""
    at_window = fault.pointer.startswith("/window")
    return Fault("/rounds" if at_window else fault.pointer, fault.code, fault.detail)


class CloseGoal(ClubPage):
    def post(self, request: HttpRequest, player_id: UUID, goal_id: UUID) -> HttpResponse:
        goal = GOAL.one(self.asker, {"goal_id": goal_id}, to_change=True)
        if goal.player_id != player_id:
            raise Http404
        goals.close_goal(goal, history_of([goal.player_id], self.club), self.today)
        messages.success(request, gettext("Goal closed; what it had come to is kept"))
        return redirect(self.address("player-goals", goal.player_id))


class NewNotePage(_ForPlayer):
    title = noop("Note what was practised")
    button = noop("Save the note")
    done = noop("Note saved")

    def fields(self) -> Mapping[str, django_forms.Field]:
        return {
            "practised_on": Day(gettext("Day")),
            "text": Words(gettext("What you worked on"), gettext("Player and coach both see it"), lines=4),
            "figure": Choice(
                gettext("What it was about"),
                [("", gettext("no figure in particular")), *translated(FIGURE_OPTIONS)],
                required=False,
            ),
        }

    def present(self) -> Mapping[str, object]:
        return {"practised_on": self.today.isoformat()}

    def save(self, given: Given) -> None:
        body = inputs.checked(NoteBody, given)
        notes.write_note(self.member, self.player, history_of([self.player.id], self.club), body, self.today)


class DeleteNote(ClubPage):
    def post(self, request: HttpRequest, player_id: UUID, note_id: UUID) -> HttpResponse:
        note = NOTE.one(self.asker, {"note_id": note_id}, to_change=True)
        if note.player_id != player_id:
            raise Http404
        notes.delete_note(self.member, note)
        messages.success(request, gettext("Note removed"))
        return redirect(self.address("player-goals", player_id))
