"""Secrets that have to be read again, as they are stored: worth nothing to whoever has the database alone.

The keys come of ``SECRET_KEY``, and of those that it replaced (``OLD_SECRET_KEYS``), which still open and no longer
seal. AES-256-GCM (NIST SP 800-38D) and not Fernet, whose tokens are longer than the column of django-otp.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from django.conf import settings

MARK = "$1$"
"""What is sealed begins with it; what was stored before there were seals is hexadecimal."""
NONCE_BYTES = 12


class UnknownKeyError(Exception):
    """Sealed under a key that is no longer listed."""


def seal(secret: bytes) -> str:
    nonce = secrets.token_bytes(NONCE_BYTES)
    sealed = AESGCM(_keys("seal")[0]).encrypt(nonce, secret, None)
    return MARK + base64.b64encode(nonce + sealed).decode()


def is_sealed_now(text: str) -> bool:
    """Whether the present key alone opens it."""
    if not text.startswith(MARK):
        return False
    try:
        _opened(text, _keys("seal")[:1])
    except UnknownKeyError:
        return False
    return True


def opened(text: str) -> bytes:
    """The secret; what was never sealed is hexadecimal. Raises :class:`UnknownKeyError`."""
    return _opened(text, _keys("seal")) if text.startswith(MARK) else bytes.fromhex(text)


def _opened(text: str, keys: list[bytes]) -> bytes:
    content = base64.b64decode(text.removeprefix(MARK))
    for key in keys:
        try:
            return AESGCM(key).decrypt(content[:NONCE_BYTES], content[NONCE_BYTES:], None)
        except InvalidTag:
            continue
    raise UnknownKeyError("this was sealed with a SECRET_KEY that OLD_SECRET_KEYS does not list")


def digests(text: str) -> list[str]:
    """What is stored of a secret that is only compared: 80 bits, under the present key first."""
    compared = [hmac.digest(key, text.encode(), hashlib.sha256)[:10] for key in _keys("compare")]
    return [base64.b32encode(one).decode() for one in compared]


def _keys(use: str) -> list[bytes]:
    secrets = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    return [
        HKDF(SHA256(), 32, salt=None, info=f"golfstats {use}".encode()).derive(one.encode())
        for one in secrets
    ]
