"""A person's own account: the sign-in, the password, the tokens. Nobody else changes any of it."""

from __future__ import annotations

import secrets
import unicodedata
from datetime import timedelta
from typing import cast
from uuid import UUID

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from knox.crypto import hash_token
from knox.models import AuthToken

from golfstats.ground.clubs.models import AccessToken, Scope, SignIn, User
from golfstats.ground.clubs.sign_in import is_own_password
from golfstats.ground.faults import Fault, ProblemError, Refusal, invalid, not_found
from golfstats.ground.names import name_faults
from golfstats.ground.seats import seat
from golfstats.ground.statements import Statement, prepared_cursor
from golfstats.sentences import Sentence

LONGEST_DAYS = 365
USED_TO_THE = timedelta(hours=1)
DIGITS = 4


@transaction.atomic
def make_account(wish: str, password: str, email: str = "") -> User:
    """A new sign-in. Its name is the one wished for and some digits, always: so nothing tells which names are taken."""
    base = unicodedata.normalize("NFKC", wish).strip()
    user = User(email=email)
    faults = [*_name_faults(base), *_password_faults(password, User(username=base, email=email))]
    if faults:
        raise invalid(faults)
    while not user.username or User.objects.filter(username__iexact=user.username).exists():
        user.username = f"{base}.{secrets.randbelow(10**DIGITS):0{DIGITS}d}"
    with seat():
        user.set_password(password)
    user.save()
    return user


def account(user_id: int | None) -> User | None:
    """That of an active person; nobody's without an id."""
    return User.objects.filter(pk=user_id, is_active=True).first() if user_id else None


def choose_language(user: User, language: str) -> None:
    """Let pages speak this language to them wherever they sign in; empty: as each browser asks."""
    user.language = language
    user.save(update_fields=["language"])


def change_email(user: User, present: str, email: str) -> None:
    """Let another address, or none, get the link for who has forgotten the password."""
    if not is_own_password(user, present):
        raise _wrong_password()
    user.email = email
    user.save(update_fields=["email"])


def change_password(user: User, present: str, new: str) -> None:
    """Set another password, and end every token: whoever knew the old one may have made some."""
    if not is_own_password(user, present):
        raise _wrong_password()
    faults = _password_faults(new, user, "/new")
    if faults:
        raise invalid(faults)
    with transaction.atomic():
        user.set_password(new)
        user.save(update_fields=["password"])
        end_all_tokens(user)


def _wrong_password() -> ProblemError:
    return invalid([Fault("/present", "wrong_password", Sentence("this is not your present password"))])


def make_token(user: User, name: str, scope: Scope, days: float) -> tuple[AccessToken, str]:
    """A new token and its text, which is shown this once."""
    with transaction.atomic():
        token, text = AuthToken.objects.create(user=user, expiry=timedelta(days=days))
        return AccessToken.objects.create(token=token, name=name, scope=scope), text


@transaction.atomic
def replace_token(digest: str, token_id: UUID, days: float) -> tuple[AccessToken, str] | None:
    """Another token in the place of this one, under the same id, once.

    Nothing where the one to be replaced has ended. Where it has been replaced already, somebody else has what
    replaces it: that ends too.
    """
    AccessToken.objects.select_for_update().filter(id=token_id).first()
    before = AuthToken.objects.select_related("user", "details").filter(digest=digest).first()
    if before is None:
        AuthToken.objects.filter(details__id=token_id).delete()
        return None
    user, details = before.user, before.details
    before.delete()
    if not user.is_active or before.expiry < timezone.now():
        return None
    token, text = AuthToken.objects.create(user=user, expiry=timedelta(days=days))
    made = AccessToken.objects.create(id=token_id, token=token, name=details.name, scope=details.scope)
    return made, text


def tokens_of(user_id: int) -> QuerySet[AccessToken]:
    """Those that are still valid, newest first."""
    valid = AccessToken.objects.filter(token__user_id=user_id, token__expiry__gt=timezone.now())
    return valid.select_related("token").order_by("-token__created")


def end_token(user_id: int, token_id: UUID) -> None:
    access = tokens_of(user_id).filter(id=token_id).first()
    if access is None:
        raise not_found(Sentence("No token"))
    access.token.delete()


def end_all_tokens(user: User) -> None:
    AuthToken.objects.filter(user=user).delete()


TOKEN = Statement(
    lambda: AuthToken.objects.select_related("user", "details").filter(digest=""),
    AuthToken,
    User,
    AccessToken,
)


def token_of(text: str) -> AuthToken | None:
    """The token, its person and its scope in one statement; knox looks through all of a person's tokens each time.

    The key is a hash of all of the token, so that how long looking takes tells nothing about it. Tokens
    that ended are deleted by ``manage.py purge``.
    """
    with prepared_cursor() as cursor:
        cursor.execute(TOKEN.text, [hash_token(text)])
        line = cursor.fetchone()
    if line is None:
        return None
    token, user, details = TOKEN.objects(line)
    if token.expiry is not None and token.expiry < timezone.now():
        return None
    token.user = user
    if details is not None:
        token.details = details
    return cast("AuthToken", token)


def scope_of(token: AuthToken) -> Scope:
    """What the token may be used for; one from before there were scopes may do everything. Notes its use."""
    details: AccessToken | None = getattr(token, "details", None)  # read together with the token
    if details is None:
        return Scope.EVERYTHING
    now = timezone.now()
    if details.last_used_at is None or details.last_used_at < now - USED_TO_THE:
        AccessToken.objects.filter(token=token).update(last_used_at=now)
    return Scope(details.scope)


def sign_ins_of(user_id: int) -> QuerySet[SignIn]:
    return SignIn.objects.filter(user_id=user_id).order_by("-at")


def not_with_this_token() -> ProblemError:
    title = Sentence("This token may not be used for that")
    return ProblemError("token-scope", title, Refusal.NOT_ALLOWED)


def _name_faults(name: str) -> list[Fault]:
    """Letters, digits and a few signs: no control or direction characters that make one name look like another."""
    try:
        User._meta.get_field("username").run_validators(name)
    except ValidationError:
        return [
            Fault("/username", "not_a_name", Sentence("letters, digits and . - _ @ +, at most 140 of them"))
        ]
    if not 1 <= len(name) <= 140:
        return [Fault("/username", "not_a_name", Sentence("1 to 140 characters"))]
    return name_faults(name, "/username")


def _password_faults(password: str, user: User, pointer: str = "/password") -> list[Fault]:
    try:
        validate_password(password, user)
    except ValidationError as error:
        return [Fault(pointer, str(one.code), " ".join(one.messages)) for one in error.error_list]
    return []
