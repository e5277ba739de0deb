"""What programs are told of handicap indexes and of the committee's decisions."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from golfstats.ground.events import Event, Happening, Hearers
from players.handicap.models import CommitteeAction
from players.people.announcing import NamedPlayer, hearers_of, player_in_message
from players.people.models import Player


@dataclass(frozen=True)
class IndexChange:
    """An index before and after a record was computed anew."""

    player: Player
    before: Decimal | None
    after: Decimal | None


@dataclass(frozen=True)
class IndexMessage:
    """An index that has moved."""

    player: NamedPlayer
    """Whose it is."""
    before: Decimal | None
    """The index until now; null where there was none."""
    after: Decimal | None
    """The index from now on; null where there is none."""
    official: bool
    """Never: only an authorised association issues a Handicap Index."""


@dataclass(frozen=True)
class CommitteeMessage:
    """A decision of the handicap committee. Its reason only the API tells."""

    decision: UUID
    """Id of the decision."""
    player: NamedPlayer
    """Whose it is."""
    kind: str
    """What the committee decided."""
    effective_on: dt.date
    """From this day on."""


def _index(change: IndexChange) -> IndexMessage:
    return IndexMessage(player_in_message(change.player), change.before, change.after, official=False)


def _decision(row: CommitteeAction) -> CommitteeMessage:
    return CommitteeMessage(row.id, player_in_message(row.player), row.kind, row.effective_on)


def _of_change(change: IndexChange) -> Hearers:
    return hearers_of(change.player)


def _of_decision(row: CommitteeAction) -> Hearers:
    return hearers_of(row.player)


INDEX_CHANGED = Event(
    Happening.INDEX_CHANGED,
    of=IndexChange,
    message=IndexMessage,
    says=_index,
    hearers=_of_change,
    own=True,
)
COMMITTEE_DECIDED = Event(
    Happening.COMMITTEE_DECIDED,
    of=CommitteeAction,
    message=CommitteeMessage,
    says=_decision,
    hearers=_of_decision,
    own=True,
)
COMMITTEE_WITHDREW = Event(
    Happening.COMMITTEE_WITHDREW,
    of=CommitteeAction,
    message=CommitteeMessage,
    says=_decision,
    hearers=_of_decision,
    own=True,
)
