"""What the worker does about analyses and conditions, and when it is asked to."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import UUID

import numpy as np
from celery.signals import worker_init
from django.utils import timezone

from courses.greens.services import GREENS_CHANGED
from courses.layout.services import CONDITIONS_CHANGED, LAYOUT_CHANGED
from golfstats.calc.greens.effect.posterior import relative_cost
from golfstats.calc.putting.likelihood import log_cell_table
from golfstats.calc.strokes.handicap_golfer import handicap_golfer
from golfstats.calc.strokes.reference_course import GENDERS
from golfstats.calc.strokes.table import off_green_memory, professional_edition
from golfstats.ground.clock import today_at
from golfstats.ground.clubs.models import Club
from golfstats.ground.outbox import work
from golfstats.ground.walls.scope import current_club_id
from players import kinds
from players.conditions import healing
from players.conditions.analysis import CONDITION_EFFECT, analyse_rounds
from players.conditions.effect import outdated, refit_contexts, refit_greens
from players.conditions.refresh import refresh_all, refresh_course
from players.figures import audit
from players.figures.services import mark_failed
from players.golf import club_fits
from players.people import remembered
from players.rounds.models import Round

SETTLING = timedelta(minutes=2)
"""Staff who enter a season of work ask for one fit and not for fifty."""


@worker_init.connect
def warm_up(**_: object) -> None:
    """Make what a process makes once (a second or two), before anybody waits for it: the tables of putting and
    of golfers of a handicap, and what remembered answers are told by.

    A worker does so before it forks, so that its processes share them.
    """
    log_cell_table()
    relative_cost(np.array([10.0]))
    professional_edition()
    off_green_memory()
    for gender in GENDERS:
        handicap_golfer(0.0, gender)
    remembered.warm_up()


def _failed(key: str, reason: str) -> None:
    mark_failed(UUID(key), reason)


@work.handler(kinds.ROUND_MEASURED_ANEW, on_failure=_failed, queue=work.Queue.LONG)
@work.handler(kinds.ROUND_ANALYSIS, on_failure=_failed)
def analyse_round(key: str) -> None:
    """Strokes gained of one round. A round deleted meanwhile is simply not found."""
    analyse_rounds([UUID(key)])


def _analyse_one_by_one(player: str, _: str) -> None:
    """So that one round which cannot be analysed keeps none of the others, and says itself that it failed."""
    rounds = Round.objects.filter(player_id=player).values_list("id", flat=True)
    work.ask_all(kinds.ROUND_MEASURED_ANEW, map(str, rounds))


@work.handler(kinds.ROUNDS_OF_PLAYER, on_failure=_analyse_one_by_one, queue=work.Queue.LONG)
def analyse_rounds_of_player(key: str) -> None:
    """The rounds of a player who is measured by another golfer now: one by one they would take ten times as long.

    They have figures, so nobody's new round waits for them. Who analysed a round of the player meanwhile may have
    compared it with golf as it was measured before: it is analysed once more.
    """
    rounds = Round.objects.filter(player_id=key).values_list("id", flat=True)
    measured = set(rounds)
    analyse_rounds(measured)
    asked = work.outstanding(kinds.ROUND_ANALYSIS)
    meanwhile = [one for one in rounds.all() if one not in measured or str(one) in asked]
    work.ask_all(kinds.ROUND_ANALYSIS, map(str, meanwhile))


@work.handler(club_fits.CLUB_BENCHMARK, queue=work.Queue.LONG)
def club_benchmark(_: str) -> None:
    """The club's own golfers and its putting, and what was measured against them."""
    club_fits.refit_club(timezone.localdate())
    # The fit has just seen these rounds: measured by it they teach it nothing new.
    analyse_rounds(club_fits.measured_by_own_golfers(), refit=False)


@work.handler(GREENS_CHANGED, queue=work.Queue.LONG)
def greens_changed(key: str) -> None:
    """Notes and adjusted figures of the rounds in question at once, by what is known; the fit follows."""
    course, first, last = key.split(":")
    refresh_course(UUID(course), date.fromisoformat(first), date.fromisoformat(last))
    work.ask(CONDITION_EFFECT, str(current_club_id()), due_at=timezone.now() + SETTLING)


@work.handler(CONDITION_EFFECT, queue=work.Queue.LONG)
def condition_effect(key: str) -> None:
    """Fit what disturbed greens cost here, and say it again wherever it was said."""
    work.one_at_a_time(f"{CONDITION_EFFECT}:{key}")
    refit_greens()
    refresh_all()
    refit_contexts()
    healing.keep_what_is_said(today_at(Club.objects.get()))


def fit_what_another_release_fitted() -> None:
    """Without this a club that posts no rounds would be told the old answer for ever."""
    if outdated():
        work.ask(CONDITION_EFFECT, str(current_club_id()))


audit.further.append(fit_what_another_release_fitted)


@work.handler(LAYOUT_CHANGED, queue=work.Queue.LONG)
def course_changed(course: str) -> None:
    """Analyse every round of the course again, and the records of those who played it."""
    played = Round.objects.filter(tee_set__course_id=UUID(course)).values_list("id", "player_id")
    analyse_rounds(round_id for round_id, _ in played)
    for player_id in sorted({player_id for _, player_id in played}):
        work.ask(kinds.HANDICAP, str(player_id))
        work.ask(kinds.PLAYER_REPORT, str(player_id))


@work.handler(CONDITIONS_CHANGED)
def conditions_changed(key: str) -> None:
    """Compute the records again of those who played the course that day: later differentials rest on it."""
    course, day = key.split(":")
    rounds = Round.objects.filter(tee_set__course_id=UUID(course), played_on=date.fromisoformat(day))
    for player_id in sorted(set(rounds.values_list("player_id", flat=True))):
        work.ask(kinds.HANDICAP, str(player_id))
