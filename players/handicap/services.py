"""The committee's decisions: made, kept with who and why, withdrawn, never edited."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from pydantic import BaseModel, ConfigDict, Field

from golfstats.ground.clubs.models import Member
from golfstats.ground.events import tells
from golfstats.ground.faults import Fault, invalid
from golfstats.ground.inputs import Day
from golfstats.ground.outbox import work
from golfstats.sentences import Sentence
from players import kinds
from players.handicap.actions import KINDS, ActionKind
from players.handicap.announcing import COMMITTEE_DECIDED, COMMITTEE_WITHDREW
from players.handicap.models import CommitteeAction, PlayerHandicap
from players.people.models import Player
from players.rounds.models import Round


class NewAction(BaseModel):
    """A decision of the handicap committee."""

    model_config = ConfigDict(use_attribute_docstrings=True, extra="forbid", str_strip_whitespace=True)

    kind: ActionKind
    """What the committee decided."""
    effective_on: Day
    """From this day on."""
    expires_on: Day | None = None
    """Until this day; open if left out."""
    value: Annotated[Decimal, Field(ge=-54, le=54, max_digits=4, decimal_places=1)] | None = None
    """Where the decision has one: an index, or an adjustment."""
    round: UUID | None = None
    """Where it is about a round: its id."""
    exceptional: bool = False
    """It goes beyond the usual limit, as after a long illness."""
    reason: Annotated[str, Field(min_length=3, max_length=2000)]
    """Kept with the decision."""
    player_notified: bool = False
    """The player was told, as the rules ask."""


@tells(COMMITTEE_DECIDED)
def decide(player: Player, member: Member, new: NewAction) -> CommitteeAction:
    """Record a decision and have the player's record computed again."""
    faults = _faults(player, new)
    if faults:
        raise invalid(faults, Sentence("The decision cannot be recorded"))
    present = PlayerHandicap.objects.filter(player=player).first()
    action = CommitteeAction.objects.create(
        player=player,
        decided_by=member,
        index_before=present.index if present else None,
        round_id=new.round,
        **new.model_dump(exclude={"round"}),
    )
    work.ask(kinds.HANDICAP, str(player.id))
    return action


@transaction.atomic
def withdraw(action: CommitteeAction, member: Member) -> CommitteeAction:
    """Take a decision back: it no longer has effect, and stays in the log."""
    if action.withdrawn_at is None:
        action.withdrawn_by, action.withdrawn_at = member, timezone.now()
        action.save(update_fields=["withdrawn_by", "withdrawn_at"])
        work.ask(kinds.HANDICAP, str(action.player_id))
        COMMITTEE_WITHDREW.send([action])
    return action


def _faults(player: Player, new: NewAction) -> list[Fault]:
    kind = KINDS[new.kind]
    faults = [
        Fault(f"/{name}", "missing", Sentence("needed to {words}", words=Sentence(kind.words)))
        for name in sorted(kind.needs)
        if getattr(new, name) is None
    ]
    if new.kind == ActionKind.ADJUST_SCORES and new.value is not None and abs(new.value) < 1:
        faults.append(
            Fault(
                "/value", "too_small", Sentence("an adjustment is at least 1 stroke either way (Rule 7.1a)")
            )
        )
    if new.expires_on is not None and new.expires_on < new.effective_on:
        faults.append(Fault("/expires_on", "before_start", Sentence("expires before it takes effect")))
    if new.round is not None and not Round.objects.filter(id=new.round, player=player).exists():
        faults.append(Fault("/round", "no_such_round", Sentence("the player has no such round")))
    return faults
