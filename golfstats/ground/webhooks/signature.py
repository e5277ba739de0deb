"""Signatures after the Standard Webhooks specification (standardwebhooks.com), which has verifiers in most languages.

The receiver checks ``webhook-signature`` = "v1," + base64(HMAC-SHA256(key, "<webhook-id>.<webhook-timestamp>.<body>"))
where the key is what follows "whsec_" in the secret, base64-decoded. While a secret is being changed there are two
such signatures with a space between: a receiver takes the message if one of them is right.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from collections.abc import Sequence

PREFIX = "whsec_"
KEY_BYTES = 32


def new_secret() -> str:
    return PREFIX + base64.b64encode(secrets.token_bytes(KEY_BYTES)).decode()


def signed_headers(signing: Sequence[str], message_id: str, timestamp: int, body: bytes) -> dict[str, str]:
    """The three headers that let a receiver check who sent the body, and when (Unix seconds)."""
    content = f"{message_id}.{timestamp}.".encode() + body
    return {
        "webhook-id": message_id,
        "webhook-timestamp": str(timestamp),
        "webhook-signature": " ".join(_signature(one, content) for one in signing),
    }


def _signature(secret: str, content: bytes) -> str:
    key = base64.b64decode(secret.removeprefix(PREFIX))
    return "v1," + base64.b64encode(hmac.new(key, content, hashlib.sha256).digest()).decode()
