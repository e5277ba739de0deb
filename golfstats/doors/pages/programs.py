"""Programs of others, which a person lets look at their golf without giving away the password.

OAuth 2 authorization code with PKCE (RFC 6749, RFC 7636), by Authlib, as RFC 9700 wants it: public clients, exact
addresses, SHA-256 challenges. Which programs there are says the setting ``OAUTH_CLIENTS``. What a program gets is an
access token like any other: it has a scope, expires, and stands among the person's tokens, where they end it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit
from uuid import UUID

from authlib.integrations.django_oauth2 import AuthorizationServer
from authlib.oauth2.rfc6749 import InvalidRequestError
from authlib.oauth2.rfc6749.grants import AuthorizationCodeGrant
from authlib.oauth2.rfc7636 import CodeChallenge
from django.conf import settings
from django.core import signing

from golfstats.ground.clubs.accounts import make_token, replace_token
from golfstats.ground.clubs.models import AccessToken, Scope, User

SALT = "authorization code"
CODE_SECONDS = 60
TOKEN_DAYS = 7
SECONDS_OF_A_DAY = 24 * 3600
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
    """What a code says: whose place it keeps among the tokens of its person, who may end it like any other."""

    digest: str
    """Of the token whose place it is to be; nobody knows that one's text."""
    token_id: UUID
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
    _made: tuple[AccessToken, str] | None = None

    def generate_authorization_code(self) -> str:
        request = self.request
        challenge = request.payload.data["code_challenge"]
        days = CODE_SECONDS / SECONDS_OF_A_DAY
        kept, _ = make_token(request.user, request.client.id, scope_of(request.scope), days)
        signed = [kept.token.digest, str(kept.id), request.client.id, request.scope, challenge]
        return signing.dumps(signed, salt=SALT)

    def save_authorization_code(self, code: str, request: Any) -> None:
        """It says everything itself."""

    def query_authorization_code(self, code: str, client: Program) -> Code | None:
        try:
            digest, token_id, program, scope, challenge = signing.loads(code, salt=SALT, max_age=CODE_SECONDS)
        except signing.BadSignature:
            return None
        return Code(digest, UUID(token_id), program, scope, challenge) if program == client.id else None

    def authenticate_user(self, authorization_code: Code) -> User | None:
        """After everything else was right: the token comes into its place, and a code that comes again ends it."""
        code = authorization_code
        self._made = replace_token(code.digest, code.token_id, TOKEN_DAYS)
        return None if self._made is None else self._made[0].token.user

    def generate_token(self, **_: Any) -> dict[str, str | int]:
        assert self._made is not None  # noqa: S101 - there is no user without
        made, text = self._made
        seconds = TOKEN_DAYS * SECONDS_OF_A_DAY
        return {"token_type": "Bearer", "access_token": text, "expires_in": seconds, "scope": made.scope}

    def delete_authorization_code(self, authorization_code: Code) -> None:
        """Its place is taken."""


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


server = Server()
