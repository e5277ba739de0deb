"""The only code that writes a club's settings, and that merges courses with the golf played on them."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction
from django.db.models import F

from courses.layout.announcing import COURSE_CHANGED, COURSE_DELETED
from courses.layout.models import Course, TeeSet
from golfstats.ground.clubs.models import Club
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid
from golfstats.ground.outbox import work
from golfstats.sentences import Sentence
from players import kinds
from players.club.announcing import CLUB_CHANGED, SettingsChange
from players.club.settings import faults_of_settings
from players.figures.audit import next_night
from players.people.models import Player
from players.people.services import measure_anew
from players.plans.models import RoundPlan
from players.rounds.models import Round, RoundInPlay
from players.rounds.services import analyse_everything

TOLD_IN_REPORTS = {"distance_unit", "date_style", "approach_band_edges"}
"""Reports are kept as they are read: in the club's units, with its way of days and its bands."""


@transaction.atomic
def change_settings(club: Club, changes: dict[str, object]) -> Club:
    """Change a club's settings, and compute again what depends on those that changed.

    Raises a problem with every setting that something could not read.
    """
    faults = faults_of_settings(changes)
    if faults:
        raise invalid(faults)
    before = {name: getattr(club, name) for name in changes}
    for name, value in changes.items():
        setattr(club, name, value)
    club.save(update_fields=list(changes))
    changed = {name for name, value in changes.items() if before[name] != value}
    if changed & {"benchmark", "short_game_yards"}:
        Round.objects.update(analysis="pending", analysis_reason="")
        measure_anew(Round.objects.order_by().values_list("player_id", flat=True).distinct())
    if "handicap_rules" in changed:  # an index may be the committee's alone, without a round
        work.ask_all(kinds.HANDICAP, _every_player())
    if "rounds_kept_years" in changed:  # not before the night: whoever mistyped it can put it right
        work.ask(kinds.OLD_ROUNDS, str(club.id), due_at=next_night(club))
    if changed & TOLD_IN_REPORTS:
        work.ask_all(kinds.PLAYER_REPORT, _every_player())
    if changed:
        CLUB_CHANGED.send([SettingsChange(club, sorted(changed))])
    return club


@tells(COURSE_CHANGED)
@tells(COURSE_DELETED)
def merge_course(course: Course, into: UUID, tee: UUID | None) -> Course:
    """Move the golf of a provisional course to one of the club's, and remove the provisional one.

    Rounds and plans go to the tees of the same name, or to ``tee``; tees that the other does not have move there.
    """
    other = Course.objects.filter(id=into, provisional=False).first()
    if other is None:
        raise invalid(
            [Fault("/into", "no_such_course", Sentence("the club has no course of its own with this id"))]
        )
    theirs = list(TeeSet.objects.filter(course=other))
    chosen = next((one for one in theirs if one.id == tee), None)
    if tee is not None and chosen is None:
        raise invalid(
            [Fault("/tee", "no_such_tee", Sentence("{name} has no tees with this id", name=other.name))]
        )
    if not course.provisional:
        raise ProblemError(
            "not-provisional", Sentence("Only a provisional course is merged"), Refusal.CONFLICT
        )
    if other.hole_count != course.hole_count:
        raise invalid(
            [
                Fault(
                    "/into",
                    "other_holes",
                    Sentence("{name} has {hole_count} holes", name=other.name, hole_count=other.hole_count),
                )
            ]
        )
    rounds = list(Round.objects.filter(tee_set__course=course))
    by_name = {one.name.lower(): one for one in theirs}
    for own in TeeSet.objects.filter(course=course):
        same = chosen or by_name.get(own.name.lower())
        if same is not None and not same.holes.exists():  # what was played there could never be read again
            pointer = "/into" if chosen is None else "/tee"
            raise invalid([Fault(pointer, "no_such_holes", Sentence("this tee has no holes yet"))])
        if same is None:
            own.course = other
            own.save(update_fields=["course"])
            continue
        Round.objects.filter(tee_set=own).update(tee_set=same, version=F("version") + 1)
        RoundPlan.objects.filter(tee_set=own).update(tee_set=same)
        RoundInPlay.objects.filter(tee_set=own).update(tee_set=same)
    course.delete()
    analyse_everything(rounds)
    return other


def _every_player() -> list[str]:
    return [str(one) for one in Player.objects.values_list("id", flat=True)]
