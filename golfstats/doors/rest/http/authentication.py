"""Who asks: by an access token, or by name and password where a token is made."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.base_user import AbstractBaseUser
from knox.auth import TokenAuthentication
from knox.models import AuthToken
from rest_framework.authentication import BasicAuthentication, get_authorization_header
from rest_framework.exceptions import AuthenticationFailed, Throttled
from rest_framework.permissions import SAFE_METHODS, BasePermission
from rest_framework.request import Request

from golfstats.ground.clubs.accounts import not_with_this_token, scope_of, token_of
from golfstats.ground.clubs.models import Scope
from golfstats.ground.clubs.sign_in import LOCKED_SECONDS, address_of, is_locked

ROUNDS = "/api/v1/rounds"


class BearerAuthentication(TokenAuthentication):
    def authenticate(self, request: Request) -> object:
        header = get_authorization_header(request).decode("latin-1")
        if not (header.isascii() and header.isprintable()):
            raise AuthenticationFailed("A token has letters and digits only")
        return super().authenticate(request)

    def authenticate_credentials(self, token: bytes) -> object:
        access_token = token_of(token.decode("ascii"))
        if access_token is None:
            raise AuthenticationFailed("Invalid token.")
        return self.validate_user(access_token)


class WithinTokenScope(BasePermission):
    """A token does no more than it was made for. Signed in otherwise a person does whatever they may."""

    def has_permission(self, request: Request, view: Any) -> bool:
        if not isinstance(request.auth, AuthToken):
            return True
        scope = scope_of(request.auth)
        if scope == Scope.EVERYTHING or getattr(view, "any_scope", False):
            return True
        only_reads = (
            view.only_reads(request) if hasattr(view, "only_reads") else request.method in SAFE_METHODS
        )
        if only_reads or (scope == Scope.ROUNDS and request.path.startswith(ROUNDS)):
            return True
        raise not_with_this_token()


class PasswordAuthentication(BasicAuthentication):
    def authenticate_credentials(
        self, userid: str, password: str, request: Request | None = None
    ) -> tuple[AbstractBaseUser, None]:
        if is_locked(userid, address_of(request)):
            raise Throttled(LOCKED_SECONDS, "Too many wrong passwords")
        return super().authenticate_credentials(userid, password, request)
