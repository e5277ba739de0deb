"""Programs of others, which a person lets look at their golf without giving away the password.

OAuth 2 authorization code with PKCE (RFC 6749, RFC 7636), by Authlib, as RFC 9700 wants it: public clients, exact
addresses, SHA-256 challenges. Which programs there are says the setting ``OAUTH_CLIENTS``. What a program gets is an
access token like any other: it has a scope, expires, and stands among the person's tokens, where they end it.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from authlib.integrations.django_oauth2 import AuthorizationServer
from authlib.oauth2.rfc6749 import InvalidRequestError
from authlib.oauth2.rfc6749.grants import AuthorizationCodeGrant
from authlib.oauth2.rfc7636 import CodeChallenge
from django.conf import settings
from django.core import signing

from golfstats.ground.clubs.accounts import account, make_token
from golfstats.ground.clubs.models import Scope, User
from golfstats.ground.counts import allowed
from golfstats.ground.ids import new_id

SALT = "authorization code"
CODE_SECONDS = 60
TOKEN_DAYS = 7
SCOPES = (Scope.READ, Scope.ROUNDS)
"""What a program may be let do. Whatever changes an account stays with its person."""


@dataclass(frozen=True)
class Program:
    """A program that may ask people, in the words that Authlib asks for."""

    id: str
    address: str
    """Where people are sent back to, to the letter."""

    @property
    def site(self) -> str:
        parts = urlsplit(self.address)
        return f"{parts.scheme}://{parts.netloc}"

    def get_default_redirect_uri(self) -> str:
        return self.address

    def get_allowed_scope(self, scope: str) -> str:
        return scope or Scope.READ.value

    def check_redirect_uri(self, address: str) -> bool:
        return address == self.address

    def check_endpoint_auth_method(self, method: str, endpoint: str) -> bool:
        return (method, endpoint) == ("none", "token")

    def check_response_type(self, response_type: str) -> bool:
        return response_type == "code"

    def check_grant_type(self, grant_type: str) -> bool:
        return grant_type == "authorization_code"


@dataclass(frozen=True)
class Code:
    """What a code says. It is signed and not stored; that it was used is counted for as long as it is valid."""

    text: str
    user_id: int
    program: str
    scope: str
    code_challenge: str
    code_challenge_method: str = "S256"

    def get_redirect_uri(self) -> str:
        return programs()[self.program].address

    def get_scope(self) -> str:
        return self.scope


class Codes(AuthorizationCodeGrant):
    TOKEN_ENDPOINT_AUTH_METHODS = ["none"]

    def generate_authorization_code(self) -> str:
        request = self.request
        challenge = request.payload.data["code_challenge"]
        said = [request.user.pk, request.client.id, request.scope, challenge, str(new_id())]
        return signing.dumps(said, salt=SALT)

    def save_authorization_code(self, code: str, request: Any) -> None:
        """It says everything itself."""

    def query_authorization_code(self, code: str, client: Program) -> Code | None:
        try:
            user_id, program, scope, challenge, _ = signing.loads(code, salt=SALT, max_age=CODE_SECONDS)
        except signing.BadSignature:
            return None
        return Code(code, user_id, program, scope, challenge) if program == client.id else None

    def authenticate_user(self, authorization_code: Code) -> User | None:
        if not allowed(f"use of {authorization_code.text}", 1, 2 * CODE_SECONDS):
            return None
        return account(authorization_code.user_id)

    def delete_authorization_code(self, authorization_code: Code) -> None:
        """Its use was counted."""


class Challenge(CodeChallenge):
    """Always there, and never the secret itself."""

    def validate_code_challenge(self, grant: Any, redirect_uri: str) -> None:
        given = grant.request.payload.data
        if not given.get("code_challenge") or given.get("code_challenge_method") != "S256":
            raise InvalidRequestError("Send a code_challenge, with the code_challenge_method S256")
        super().validate_code_challenge(grant, redirect_uri)


class Server(AuthorizationServer):
    def __init__(self) -> None:
        super().__init__(None, None)
        self.scopes_supported = [one.value for one in SCOPES]
        self.register_token_generator("default", _token)
        self.register_grant(Codes, [Challenge(required=True)])

    def query_client(self, client_id: str) -> Program | None:
        return programs().get(client_id)

    def save_token(self, token: Any, request: Any) -> None:
        """Done where it was made."""


def programs() -> dict[str, Program]:
    """By their ids; each is written ``id=address`` in the setting."""
    pairs = (one.partition("=") for one in settings.OAUTH_CLIENTS)
    return {name: Program(name, address) for name, _, address in pairs}


def scope_of(text: str) -> Scope:
    """The widest that was asked for."""
    return Scope.ROUNDS if Scope.ROUNDS.value in text.split() else Scope.READ


def _token(*, client: Program, user: User, scope: str, **_: Any) -> dict[str, str | int]:
    made, text = make_token(user, client.id, scope_of(scope), TOKEN_DAYS)
    seconds = int(dt.timedelta(days=TOKEN_DAYS).total_seconds())
    return {"token_type": "Bearer", "access_token": text, "expires_in": seconds, "scope": made.scope}


server = Server()
