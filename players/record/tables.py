"""Every table that holds something about a person, and how its rows lead to them.

A test walks the database's catalogue: a new table with a key to a player has to be named here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.db.models import ForeignKey, Model, Q, QuerySet

from golfstats.ground.clubs.models import Invitation, Member
from golfstats.ground.walls.owned import ClubOwned
from golfstats.ground.webhooks.models import Delivery, Destination
from players.coaching.models import AttentionDismissal, Forecast, Goal, PlayerReport, PracticeNote
from players.conditions.models import RoundNote
from players.figures.models import RoundFigures, ShotFigures
from players.files.models import Import
from players.handicap.models import CommitteeAction, HandicapLine, PlayerHandicap
from players.people.models import Consent, GolfRead, Player, RememberedAnswer, SquadPlayer
from players.plans.models import PlanAfterwards, PlanHole, RoundPlan
from players.rounds.models import BagWord, PlayedHole, Round, RoundInPlay, Shot


@dataclass(frozen=True)
class Kept:
    """The rows of one table that are about a person."""

    name: str
    """Of the files that hold them."""
    about: str
    model: type[ClubOwned]
    path: str
    """Leads from a row to the player, or to the member."""

    def of(self, who: Model) -> QuerySet[Any]:
        return self.model.objects.filter(**{self.path: who.pk}).order_by("pk")


OF_PLAYER = (
    Kept("player", "You as a player of the club", Player, "pk"),
    Kept("squads", "Squads that you are in", SquadPlayer, "player"),
    Kept("rounds", "Rounds, with the warnings about them", Round, "player"),
    Kept("holes", "Holes that you started", PlayedHole, "round__player"),
    Kept("shots", "Shots; distances in yards", Shot, "played_hole__round__player"),
    Kept(
        "shot_figures",
        "Strokes gained of each shot",
        ShotFigures,
        "shot__played_hole__round__player",
    ),
    Kept("round_figures", "Strokes gained of each round by part of the game", RoundFigures, "round__player"),
    Kept("condition_notes", "What the greens were like on your rounds", RoundNote, "round__player"),
    Kept("handicap_record", "Scores on the (unofficial) handicap record", HandicapLine, "player"),
    Kept("handicap", "The present (unofficial) index", PlayerHandicap, "player"),
    Kept("committee_decisions", "Decisions of the handicap committee", CommitteeAction, "player"),
    Kept("goals", "Goals", Goal, "player"),
    Kept("practice_notes", "Practice notes about you", PracticeNote, "player"),
    Kept("attention_put_aside", "Items that a coach has seen and put aside", AttentionDismissal, "player"),
    Kept("report", "The report that dashboards read", PlayerReport, "player"),
    Kept("answers", "Answers about your golf, until it changes", RememberedAnswer, "player"),
    Kept("forecasts", "Chances that were stated, and what came of them", Forecast, "player"),
    Kept("plans", "Plans of rounds", RoundPlan, "player"),
    Kept("plan_holes", "Holes of the plans", PlanHole, "plan__player"),
    Kept("plans_as_played", "Rounds that were played by a plan, taken apart", PlanAfterwards, "plan__player"),
    Kept("rounds_in_play", "Rounds as they were sent hole by hole", RoundInPlay, "player"),
    Kept("bag", "Your own words for clubs", BagWord, "player"),
    Kept("consents", "What your guardians consented to, and when they took it back", Consent, "player"),
    Kept("readers", "Who read your golf", GolfRead, "player"),
)
OF_MEMBER = (
    Kept("membership", "You as a member of the club", Member, "pk"),
    Kept("imports", "Files of rounds that you brought", Import, "started_by"),
    Kept("webhooks", "Addresses of your own programs", Destination, "owner"),
    Kept("own_messages", "What your own programs were told", Delivery, "destination__owner"),
)
NOT_OF_PLAYER = {
    "players_golfmark": "that golf has changed, and nothing of it",
    "players_roundchange": "ids of rounds and when they changed, for programs that ask what is new",
    "players_monthreport": "months on paper, made of what stands elsewhere and kept for a week",
    "players_recordexport": "this file itself",
    "api_answeredrequest": "answers kept for repeated requests, for two days: copies of what stands elsewhere",
}
"""Tables with a key to a person that are left out, and why."""
LEFT_OUT_COLUMNS = frozenset({"club", "secret", "old_secret"})


def messages_about_member(member: Member) -> QuerySet[Delivery]:
    """Messages to machines of the club's that told of the membership."""
    return Delivery.objects.filter(body__member=str(member.id)).order_by("pk")


def invitations_of(member: Member) -> QuerySet[Invitation]:
    """Invitations that the person accepted: no key leads there, only the name and the address."""
    to_them = Q(name=member.name)
    if member.user.email:
        to_them |= Q(email__iexact=member.user.email)
    return Invitation.objects.filter(to_them, accepted_at__isnull=False).order_by("pk")


@dataclass(frozen=True)
class Done:
    """A column that says which member did something."""

    model: type[ClubOwned]
    column: str

    def by(self, member: Member) -> QuerySet[Any]:
        return self.model.objects.filter(**{self.column: member.pk}).order_by("pk")


def done_by_members() -> Iterator[Done]:
    """Every key to a member, in whatever table."""
    for model in apps.get_models():
        if not issubclass(model, ClubOwned) or model._meta.db_table in NOT_OF_PLAYER:
            continue
        for field in model._meta.local_concrete_fields:
            if isinstance(field, ForeignKey) and field.related_model is Member and model is not Player:
                yield Done(model, field.name)
