"""Rule 4.3 while a round counts: what the service keeps to itself until it is over, and why.

Plans and pictures wait whatever course they name: the holes of the day can be entered once more under another name, and
no likeness of par and length tells such a copy from an honest neighbour for sure. The wait is one round long, and the
refusal says which round it is, for who forgot to finish it. Another club's rounds are not seen: clubs are walled off.
"""

from __future__ import annotations

from collections.abc import Sequence

from golfstats.calc.plan.rules import Shown, may_show
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.operations import Asker
from golfstats.sentences import Sentence
from players.people.models import Player
from players.rounds.checking.counting import counting_rounds, described
from players.rounds.models import RoundInPlay


def refuse_while_one_plays(asker: Asker, players: Sequence[Player], what: Shown) -> None:
    """Refuse what belongs to these players where one has a counting round in play. One query.

    Whoever asks: nobody may pass on to the player what the player may not see.
    """
    for play in counting_rounds(players, asker.today).values():
        refuse(play, what)


def refuse_beside_a_counting_round(asker: Asker, plays: Sequence[RoundInPlay], what: Shown) -> None:
    """Refuse what concerns these rounds, also where another of the player's is in play and counts. One query.

    Else a practice round begun beside it, or one of yesterday, would answer for it.
    """
    counting = counting_rounds([play.player for play in plays], asker.today)
    for play in plays:
        refuse(counting.get(play.player_id, play), what)


def refuse_pictures_while_asker_plays(asker: Asker) -> None:
    """Refuse pictures of holes, and files that hold some, to who plays a round that counts. One query."""
    own = Player.objects.filter(member=asker.member)
    for play in counting_rounds(own, asker.today).values():
        refuse(play, Shown.WHOLE_PLAN)


def refuse(play: RoundInPlay, what: Shown) -> None:
    """Refuse what may not be shown of this round now."""
    answer = may_show(what, round_counts=play.counts, round_over=play.finished_at is not None)
    if not answer.allowed:
        title = Sentence("Not while a round that counts is played")
        which = Sentence("It is {round}: finish it, or throw it away, if it is over.", round=described(play))
        raise ProblemError(
            "during-a-round",
            title,
            Refusal.CONFLICT,
            detail=Sentence("{reason} {which}", reason=answer.reason, which=which),
        )
