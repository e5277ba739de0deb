"""What is sent about members and one's own account."""

from __future__ import annotations

from typing import Annotated
from uuid import UUID

from pydantic import ConfigDict, Field

from golfstats.ground.clubs import accounts
from golfstats.ground.clubs.models import Role, Scope
from golfstats.ground.input_words import EMAIL_PATTERN
from golfstats.ground.inputs import Body
from golfstats.ground.names import Name
from golfstats.ground.operations import Query

Password = Annotated[str, Field(min_length=1, max_length=200)]
Email = Annotated[str, Field(max_length=254, pattern=EMAIL_PATTERN)]


class NewInvitation(Body):
    name: Name
    """As the person is called in the club."""
    role: Role
    """What they will be there."""
    email: Email | None = None
    """Where the link is sent; without it, only told to you."""


class MemberChanges(Body):
    name: Name | None = None
    """As the person is called in the club."""
    role: Role | None = None
    """What they are there."""


class AccountBody(Body):
    """Not stripped of spaces: they belong to a password."""

    model_config = ConfigDict(str_strip_whitespace=False)


class NewToken(AccountBody):
    name: Annotated[str, Field(min_length=1, max_length=80)] = "a program"
    """What it is for, so that you know it in the list."""
    scope: Scope = Scope.EVERYTHING
    """What may be done with it."""
    days: Annotated[int, Field(ge=1, le=accounts.LONGEST_DAYS, description="Until it expires.")] = 90


class PasswordChange(AccountBody):
    present: Password
    """The password until now."""
    new: Password
    """The password from now on."""


class EmailChange(AccountBody):
    present: Password
    """Your password, to be sure that it is you."""
    email: Email | None
    """Where a link is sent if you forget the password; null for nowhere."""


class Acceptance(AccountBody):
    invitation: str = Field(max_length=200, description="The last part of the link.")


class SignUp(Acceptance):
    username: Annotated[str, Field(min_length=1, max_length=140)]
    """The name to sign in with."""
    password: Password
    """At least ten characters, and none that everybody guesses."""
    email: Email | None = None
    """Where a link is sent if you forget the password. Your own: whoever reads its mail can sign in as you."""


class ClubQuery(Query):
    slug: str
    """The club, as in its address."""


class TokenQuery(Query):
    token_id: UUID
