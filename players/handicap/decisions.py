"""What is told of the decisions of a handicap committee."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from django.utils.translation import gettext

from golfstats.ground.operations import Asker
from players.handicap import models
from players.handicap.actions import KINDS, ActionKind


@dataclass(frozen=True)
class CommitteeAction:
    """A decision of the handicap committee, with who, when and why."""

    id: UUID
    kind: ActionKind
    """What was decided."""
    words: str
    rule: str
    """The rule that allows it."""
    effective_on: dt.date
    """First day of its effect."""
    expires_on: dt.date | None
    """Last day of its effect; null without one."""
    value: Decimal | None
    """The index or the amount decided; null where the decision has none."""
    round: UUID | None
    """Id of the round that it is about; null for none."""
    exceptional: bool
    """Exceptional circumstances: the limit of 5.0 above the low index is set aside (Rule 7.1a)."""
    reason: str
    """Why."""
    player_notified: bool
    """Whether the player was told."""
    decided_by: str | None
    decided_at: dt.datetime
    index_before: Decimal | None
    withdrawn_by: str | None
    withdrawn_at: dt.datetime | None


def committee_actions(_: Asker, actions: Sequence[models.CommitteeAction]) -> list[CommitteeAction]:
    """Decisions with their log; the rows have both members with them."""
    return [
        CommitteeAction(
            id=action.id,
            kind=ActionKind(action.kind),
            words=gettext(KINDS[ActionKind(action.kind)].words),
            rule=KINDS[ActionKind(action.kind)].rule,
            effective_on=action.effective_on,
            expires_on=action.expires_on,
            value=action.value,
            round=action.round_id,
            exceptional=action.exceptional,
            reason=action.reason,
            player_notified=action.player_notified,
            decided_by=action.decided_by.name if action.decided_by else None,
            decided_at=action.decided_at,
            index_before=action.index_before,
            withdrawn_by=action.withdrawn_by.name if action.withdrawn_by else None,
            withdrawn_at=action.withdrawn_at,
        )
        for action in actions
    ]
