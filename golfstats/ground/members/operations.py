"""What may be asked and changed of a club's members, and by a person of their own account."""

from __future__ import annotations

from golfstats.ground.clubs import accounts, invitations, services
from golfstats.ground.clubs.announcing import MEMBER_CHANGED, MEMBER_JOINED, MEMBER_LEFT
from golfstats.ground.clubs.membership import NoSuchClubError, member_of
from golfstats.ground.clubs.models import Invitation, Member, Role
from golfstats.ground.faults import ProblemError, Refusal
from golfstats.ground.mail import services as mail
from golfstats.ground.members import answers
from golfstats.ground.members.questions import (
    Acceptance,
    ClubQuery,
    EmailChange,
    MemberChanges,
    NewInvitation,
    NewToken,
    PasswordChange,
    SignUp,
    TokenQuery,
)
from golfstats.ground.operations import Asker, Change, Gathering, Listing, Operation, Subject
from golfstats.ground.resources import reading_of
from golfstats.ground.standing import Person, Standing
from golfstats.ground.walls.scope import club_scope
from golfstats.sentences import Sentence

MANAGERS = (Role.MANAGER,)

MEMBER = Subject(
    word="member",
    parameter="member_id",
    model=Member,
    visible=lambda _: answers.members(),
    head=answers.ClubMember,
    heads=answers.member_heads,
)
INVITATION = Subject(
    word="invitation",
    parameter="invitation_id",
    model=Invitation,
    visible=lambda _: invitations.open_invitations(),
    head=answers.Invitation,
    heads=answers.invitation_heads,
)


def _change_member(_: Asker, member: Member, changes: MemberChanges) -> Member:
    return services.change_member(member, changes.name, changes.role)


def _remove_member(_: Asker, member: Member) -> None:
    services.remove_member(member)


def invite(asker: Asker, new: NewInvitation) -> answers.IssuedInvitation:
    """The link is mailed if there is an address."""
    if new.email:
        mail.may_invite(new.email)
    issued = invitations.invite(asker.member, new.name, new.role, new.email or "", asker.site)
    if new.email:
        mail.mail_invitation(issued)
    return answers.issued_invitation(issued.row, issued.secret, issued.link)


def _withdraw(_: Asker, row: Invitation) -> None:
    invitations.withdraw(row)


def _prefer(person: Person, query: ClubQuery) -> answers.Membership:
    invitations.prefer(own_membership(person, query.slug))
    return answers.membership(person, query.slug)


def _leave(person: Person, query: ClubQuery) -> None:
    leave(own_membership(person, query.slug))


def leave(member: Member) -> None:
    with club_scope(member.club.id):
        services.remove_member(member)


def own_membership(person: Person, slug: str) -> Member:
    """The person's place in the club of this name; refused if there is none."""
    try:
        return member_of(person.user_id, slug)
    except NoSuchClubError:
        raise ProblemError("no-such-club", Sentence("No such club among yours"), Refusal.NOT_FOUND) from None


def _accept(person: Person, given: Acceptance) -> answers.Membership:
    member = invitations.accept(given.invitation, person.user)
    return answers.membership(person, member.club.slug)


def _sign_up(_: Person, given: SignUp) -> answers.FirstMembership:
    member = invitations.sign_up(given.invitation, given.username, given.password, given.email or "")
    return answers.first_membership(member)


def _make_token(person: Person, new: NewToken) -> answers.IssuedToken:
    return answers.issued_token(*accounts.make_token(person.user, new.name, new.scope, new.days))


def _end_token(person: Person, query: TokenQuery) -> None:
    accounts.end_token(person.user_id, query.token_id)


def _end_present_token(person: Person) -> None:
    if person.token is not None:
        person.token.delete()


def _end_all_tokens(person: Person) -> None:
    accounts.end_all_tokens(person.user)


def _change_password(person: Person, change: PasswordChange) -> None:
    accounts.change_password(person.user, change.present, change.new)


def _change_email(person: Person, change: EmailChange) -> None:
    accounts.change_email(person.user, change.present, change.email or "")


OPERATIONS: list[Operation] = [
    Listing(
        name="members",
        id="list_members",
        path="members",
        field="members",
        summary="Members of the club, by name (managers)",
        roles=MANAGERS,
        rows=MEMBER.visible,
        of=MEMBER,
        order=("name", "id"),
    ),
    reading_of(
        MEMBER,
        name="member",
        id="read_member",
        path="members/<uuid:member_id>",
        summary="A member (managers)",
        roles=MANAGERS,
    ),
    Change(
        name="member",
        id="change_member",
        path="members/<uuid:member_id>",
        verb="PATCH",
        summary="Change a member's name or role (managers)",
        about=MEMBER,
        roles=MANAGERS,
        body=MemberChanges,
        sends=(MEMBER_CHANGED,),
        do=_change_member,
        of=MEMBER,
    ),
    Change(
        name="member",
        id="remove_member",
        path="members/<uuid:member_id>",
        verb="DELETE",
        summary="End a membership; the player's rounds stay (managers)",
        about=MEMBER,
        roles=MANAGERS,
        sends=(MEMBER_LEFT,),
        do=_remove_member,
    ),
    Listing(
        name="invitations",
        id="list_invitations",
        path="invitations",
        summary="Invitations that may still be accepted, newest first (managers)",
        roles=MANAGERS,
        rows=INVITATION.visible,
        of=INVITATION,
        order=("-id",),
    ),
    Change(
        name="invitations",
        id="invite",
        path="invitations",
        verb="POST",
        summary="Invite a person to the club (managers)",
        description=(
            "The link is shown this once, and mailed if there is an address. Whoever opens it accepts signed in as "
            "themselves or makes a sign-in of their own; it works once, for 14 days, as long as you are a manager."
        ),
        roles=MANAGERS,
        body=NewInvitation,
        do=invite,
        gives=answers.IssuedInvitation,
    ),
    Change(
        name="invitation",
        id="withdraw_invitation",
        path="invitations/<uuid:invitation_id>",
        verb="DELETE",
        summary="Withdraw an invitation (managers)",
        about=INVITATION,
        roles=MANAGERS,
        do=_withdraw,
    ),
    Change(
        name="accept-invitation",
        id="accept_invitation",
        path="invitations/accept",
        verb="POST",
        summary="Join the club that invites you, as who you are signed in",
        standing=Standing.PERSON,
        body=Acceptance,
        sends=(MEMBER_JOINED,),
        do=_accept,
        gives=answers.Membership,
    ),
    Change(
        name="sign-up",
        id="sign_up",
        path="invitations/sign-up",
        verb="POST",
        summary="Make a sign-in of your own and join the club that invites you",
        description="Your name to sign in with is the one you wish for with four digits behind it.",
        standing=Standing.ANYBODY,
        guessable=True,
        body=SignUp,
        sends=(MEMBER_JOINED,),
        do=_sign_up,
        gives=answers.FirstMembership,
    ),
    Gathering(
        name="clubs",
        id="list_clubs",
        path="clubs",
        field="clubs",
        summary="The clubs you belong to, and as what",
        standing=Standing.PERSON,
        line=answers.Membership,
        gather=answers.clubs,
        longest=5,
    ),
    Change(
        name="membership",
        id="prefer_club",
        path="clubs/<slug:slug>/membership",
        verb="PUT",
        summary="Let this club be meant where a request names none",
        standing=Standing.PERSON,
        query=ClubQuery,
        do=_prefer,
        gives=answers.Membership,
    ),
    Change(
        name="membership",
        id="leave_club",
        path="clubs/<slug:slug>/membership",
        verb="DELETE",
        summary="Leave a club; the rounds you played there stay with it",
        standing=Standing.PERSON,
        query=ClubQuery,
        sends=(MEMBER_LEFT,),
        do=_leave,
    ),
    Gathering(
        name="tokens",
        id="list_tokens",
        path="tokens",
        summary="Your access tokens that are still valid",
        standing=Standing.PERSON,
        line=answers.Token,
        gather=answers.tokens,
    ),
    Change(
        name="tokens",
        id="make_token",
        path="tokens",
        verb="POST",
        summary="A new access token, by name and password (Basic authentication)",
        description=(
            "`scope` is `read` (look at things), `rounds` (that, and post and correct rounds) or `everything`; "
            "`days` until it expires, 90 unless given. The token itself is shown this once."
        ),
        standing=Standing.SIGNING_IN,
        guessable=True,
        body=NewToken,
        do=_make_token,
        gives=answers.IssuedToken,
    ),
    Change(
        name="tokens",
        id="end_all_tokens",
        path="tokens",
        verb="DELETE",
        summary="End every token of yours, this one too",
        standing=Standing.PERSON,
        do=_end_all_tokens,
    ),
    Change(
        name="present-token",
        id="end_token",
        path="tokens/present",
        verb="DELETE",
        summary="End the token that this request carries",
        standing=Standing.PERSON,
        any_token=True,
        do=_end_present_token,
    ),
    Change(
        name="token",
        id="end_one_token",
        path="tokens/<uuid:token_id>",
        verb="DELETE",
        summary="End a token of yours",
        standing=Standing.PERSON,
        query=TokenQuery,
        do=_end_token,
    ),
    Change(
        name="account-password",
        id="change_password",
        path="account/password",
        verb="POST",
        summary="Change your password; every token of yours ends",
        standing=Standing.PERSON,
        guessable=True,
        body=PasswordChange,
        do=_change_password,
    ),
    Change(
        name="account-email",
        id="change_email",
        path="account/email",
        verb="POST",
        summary="Change where a link is sent if you forget your password",
        standing=Standing.PERSON,
        guessable=True,
        body=EmailChange,
        do=_change_email,
    ),
    Gathering(
        name="sign-ins",
        id="list_sign_ins",
        path="account/sign-ins",
        summary="When and from where your name and password were used lately",
        standing=Standing.PERSON,
        line=answers.SignIn,
        gather=answers.sign_ins,
    ),
]
