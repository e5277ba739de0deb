"""What programs are told of the club itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from golfstats.ground.clubs.models import Club
from golfstats.ground.events import Event, Happening, Hearers


@dataclass(frozen=True)
class SettingsChange:
    """Which of a club's settings have another value now."""

    club: Club
    names: Sequence[str]


@dataclass(frozen=True)
class ClubMessage:
    """Settings that have changed."""

    club: str
    """The club, as in its address."""
    settings: list[str]
    """Their names, in alphabetical order."""


def _settings(change: SettingsChange) -> ClubMessage:
    return ClubMessage(change.club.slug, sorted(change.names))


def _club_alone(_: SettingsChange) -> Hearers:
    return Hearers()


CLUB_CHANGED = Event(
    Happening.CLUB_CHANGED,
    of=SettingsChange,
    message=ClubMessage,
    says=_settings,
    hearers=_club_alone,
)
