"""From a signed-in person to the one club that a request is about."""

from __future__ import annotations

from django.db.models import QuerySet

from golfstats.ground.clubs.models import Club, Member
from golfstats.ground.statements import Statement
from golfstats.ground.walls.scope import found_by_user


class NoSuchClubError(LookupError):
    """No club of that name among the person's own: whether it exists elsewhere is not told."""


class ClubNotChosenError(LookupError):
    """The person belongs to several clubs and did not say which."""

    def __init__(self, slugs: list[str]) -> None:
        super().__init__("choose a club: " + ", ".join(slugs))
        self.slugs = slugs


OWN = Statement(
    # Not Member.objects: that manager wants a club scope. The policy shows this person's rows alone.
    lambda: QuerySet(Member).filter(user_id=0).select_related("club").order_by("club__name"),
    Member,
    Club,
)


def memberships(user_id: int) -> list[Member]:
    """The person's memberships in every club, with the clubs, by the club's name."""
    own = []
    for line in found_by_user(user_id, OWN.text, [user_id]):
        member, club = OWN.objects(line)
        member.club = club
        own.append(member)
    return own


def member_of(user_id: int, slug: str | None) -> Member:
    """The person's membership in the named club; without a name, in the only club there is or the one preferred.

    Raises :class:`NoSuchClubError` or :class:`ClubNotChosenError`.
    """
    own = memberships(user_id)
    if slug:
        own = [member for member in own if member.club.slug == slug]
    if not own:
        raise NoSuchClubError(slug or "no club")
    if len(own) > 1:
        chosen = {member.preferred_at: member for member in own if member.preferred_at is not None}
        if chosen:
            return chosen[max(chosen)]
        raise ClubNotChosenError([member.club.slug for member in own])
    return own[0]
