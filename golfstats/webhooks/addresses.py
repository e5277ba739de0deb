"""Where a message may go: a public https address, so that nobody makes us reach into a private network.

A name can change its address between two look-ups. So the check gives the address it has checked, and the
connection is made to that address and not to the name.
"""

from __future__ import annotations

import ipaddress
import socket
from dataclasses import dataclass
from urllib.parse import urlsplit

from django.conf import settings

# IPv6 ranges that carry an IPv4 address, which may be a private one: NAT64 (RFC 6052, RFC 8215), 6to4 (RFC 3056),
# and IPv4-compatible addresses (RFC 4291). Teredo (RFC 4380) is not global anyway.
CARRIERS = [ipaddress.IPv6Network(net) for net in ("64:ff9b::/96", "64:ff9b:1::/48", "2002::/16", "::/96")]


class RefusedDestinationError(Exception):
    """The address may not be sent to; the text says why."""


@dataclass(frozen=True)
class Target:
    """A checked address to connect to."""

    secure: bool
    host: str
    """Name for the Host header and the certificate."""
    address: str
    """One of the name's IP addresses."""
    port: int
    path: str


def check(url: str) -> Target:
    """Where to connect for this URL; raises :class:`RefusedDestinationError` if nobody may.

    Looks the name up. All of its addresses have to be public. Plain http and private addresses
    pass only with ``WEBHOOKS_ALLOW_PRIVATE``.
    """
    try:
        parts = urlsplit(url)
        port = parts.port
        host = (parts.hostname or "").encode("idna").decode()
    except ValueError as error:
        raise RefusedDestinationError("this is not a complete address") from error
    secure = parts.scheme == "https"
    if not secure and not (parts.scheme == "http" and settings.WEBHOOKS_ALLOW_PRIVATE):
        raise RefusedDestinationError("the address has to begin with https://")
    if not host or any(character <= " " for character in url):
        raise RefusedDestinationError("this is not a complete address")
    if parts.username is not None or parts.password is not None:
        raise RefusedDestinationError("the address may not hold a user name or password")
    port = port or (443 if secure else 80)
    address = _checked_address(host, port)
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return Target(secure, host, address, port, path)


def _checked_address(host: str, port: int) -> str:
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except OSError as error:
        raise RefusedDestinationError(f"{host} has no address") from error
    addresses = [str(entry[4][0]) for entry in found]
    if not settings.WEBHOOKS_ALLOW_PRIVATE and not all(map(is_public, addresses)):
        raise RefusedDestinationError(f"{host} is not a public address")
    return addresses[0]


def is_public(address: str) -> bool:
    """Whether an IP address belongs to the public internet and to one machine there."""
    ip = ipaddress.ip_address(address)
    if isinstance(ip, ipaddress.IPv6Address):
        if ip.ipv4_mapped is not None:
            return is_public(str(ip.ipv4_mapped))
        if any(ip in carrier for carrier in CARRIERS):
            return False
    return ip.is_global and not ip.is_multicast and not ip.is_reserved
