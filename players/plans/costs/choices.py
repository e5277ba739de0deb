"""The dearest choices of the month, of each squad: what a coach talks about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from django.utils.translation import gettext

from golfstats.ground.answers import up_to
from golfstats.ground.club_names import club_words
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import counted, dated, with_marks
from players.people.answers import Named
from players.people.models import Squad, SquadPlayer
from players.plans.answers import DEAR_CHOICE
from players.plans.models import PlanAfterwards, PlanState

MONTH = timedelta(days=31)
MOST = 10


@dataclass(frozen=True)
class DearChoice:
    """One club that cost strokes before it was swung: it was aimed as well as it can be, and another was better."""

    player: Named
    plan: UUID
    """Id of the plan that it is read by."""
    course: str
    played_on: date
    hole: int
    shot: int
    cost: float
    """Strokes that the best choice would have saved."""
    words: str


@dataclass(frozen=True)
class SquadChoices:
    """What a squad chose worst since a month ago, the dearest first."""

    since: date
    """Day a month ago."""
    words: str
    results: list[DearChoice] = up_to(MOST)
    """The dearest first."""


def squad_choices(asker: Asker, squads: Sequence[Squad], _: Query) -> list[SquadChoices]:
    """Of each squad, from the rounds that were read beside their plans. Two queries, however many squads."""
    since = asker.today - MONTH
    places = list(SquadPlayer.objects.filter(squad__in=squads).values_list("squad_id", "player_id"))
    read = list(
        PlanAfterwards.objects.filter(
            plan__player__in={player for _, player in places},
            state=PlanState.DONE,
            round__played_on__gt=since,
            round__played_on__lte=asker.today,
        ).select_related("plan__player", "plan__tee_set__course", "round")
    )
    return [_of_squad({player for one, player in places if one == squad.id}, read, since) for squad in squads]


def _of_squad(players: set[UUID], read: Sequence[PlanAfterwards], since: date) -> SquadChoices:
    rounds = [row for row in read if row.plan.player_id in players]
    dear = sorted((one for row in rounds for one in _dear(row)), key=lambda one: -one.cost)
    words = gettext(
        "{choices} of {strokes} strokes or more in {rounds} read beside their plans since {day}."
    ).format(
        choices=counted(len(dear), "choice"),
        strokes=with_marks(f"{-DEAR_CHOICE:g}"),
        rounds=counted(len(rounds), "round"),
        day=dated(since, "j F"),
    )
    return SquadChoices(since, words, dear[:MOST])


def _dear(row: PlanAfterwards) -> list[DearChoice]:
    return [
        DearChoice(
            player=Named(row.plan.player_id, row.plan.player.name),
            plan=row.plan_id,
            course=row.plan.tee_set.course.name,
            played_on=row.round.played_on,
            hole=shot["hole"],
            shot=shot["shot"],
            cost=-shot["choice"],
            words=_words(shot),
        )
        for shots in row.holes.values()
        for shot in shots
        if shot["choice"] <= DEAR_CHOICE
    ]


def _words(shot: dict[str, object]) -> str:
    place = gettext("hole {hole}, shot {shot}, {lie}, {yards} yards left").format(
        hole=shot["hole"],
        shot=shot["shot"],
        lie=gettext(str(shot["lie"]).replace("_", " ")),
        yards=f"{shot['yards']:.0f}",
    )
    taken, better = shot.get("club"), shot.get("better")
    if not taken or not better:
        return place
    return gettext("{place}: {club}, where {better} was best").format(
        place=place, club=club_words(str(taken)), better=club_words(str(better))
    )
