"""Rule 4.3 while a round counts: what the service keeps to itself until it is over, and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from courses.layout.models import TeeSet
from golfstats.calc.plan.rules import Shown, may_show
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.operations import Asker
from players.people.models import Player
from players.plans.models import RoundPlan
from players.rounds.in_play import counting_rounds
from players.rounds.models import RoundInPlay


def refuse_while_it_counts(asker: Asker, plans: Iterable[RoundPlan], what: Shown) -> None:
    """Refuse what concerns a course on which the plan's player has a counting round in play. One query.

    Whoever asks: nobody may pass on to the player what the player may not see.
    """
    plans = list(plans)
    counting = counting_rounds([plan.player for plan in plans], asker.today)
    for plan in plans:
        play = counting.get(plan.player_id)
        if play is not None and play.tee_set.course_id == plan.tee_set.course_id:
            refuse(play, what)


def refuse_new_plan_while_it_counts(asker: Asker, player: Player, tee_set: TeeSet) -> None:
    refuse_while_it_counts(asker, [RoundPlan(player=player, tee_set=tee_set)], Shown.NEW_PLAN)


def refuse_beside_a_counting_round(asker: Asker, plays: Sequence[RoundInPlay], what: Shown) -> None:
    """Refuse what concerns these rounds, also where another of the player's is in play and counts. One query.

    Else a practice round begun beside it, or one of yesterday, would answer for it.
    """
    counting = counting_rounds([play.player for play in plays], asker.today)
    for play in plays:
        refuse(counting.get(play.player_id, play), what)


def refuse_pictures_while_one_plays(asker: Asker, tee_sets: Iterable[TeeSet]) -> None:
    """Refuse pictures of these holes to who plays a round that counts on their course. One query."""
    courses = {tee_set.course_id for tee_set in tee_sets}
    for play in counting_rounds(Player.objects.filter(member=asker.member), asker.today).values():
        if play.tee_set.course_id in courses:
            refuse(play, Shown.WHOLE_PLAN)


def refuse(play: RoundInPlay, what: Shown) -> None:
    """Refuse what may not be shown of this round now."""
    answer = may_show(what, round_counts=play.counts, round_over=play.finished_at is not None)
    if not answer.allowed:
        title = "Not while a round that counts is played"
        raise ProblemError("during-a-round", title, Refusal.CONFLICT, detail=answer.reason)
