"""Where a message may go: a public https address, so that nobody makes us reach into a private network.

A name can change its address between two look-ups. So the check gives the address it has checked, and the
connection is made to that address and not to the name.
"""

from __future__ import annotations

import contextlib
import ipaddress
import socket
import threading
from dataclasses import dataclass
from urllib.parse import quote, urlsplit

from django.conf import settings

# IPv6 ranges that carry an IPv4 address, which may be a private one: NAT64 (RFC 6052, RFC 8215), 6to4 (RFC 3056),
# IPv4-compatible (RFC 4291) and IPv4-translated addresses (RFC 2765). Teredo (RFC 4380) is not global anyway.
PORTS = frozenset({443, 8443})
"""Other ports belong to other services, which must not be talked to in a club's name."""
LOOK_UP_SECONDS = 5.0
# IANA's special-purpose registries say of these that they are not globally reachable: IETF protocol assignments
# (RFC 6890; the two that are, for anycast, are no receivers either) and documentation (RFC 9637).
NOT_REACHABLE = [ipaddress.ip_network(net) for net in ("192.0.0.0/24", "3fff::/20")]
CARRIERS = [
    ipaddress.IPv6Network(net)
    for net in ("64:ff9b::/96", "64:ff9b:1::/48", "2002::/16", "::/96", "::ffff:0:0:0/96")
]


AS_WRITTEN = "%/?:@!$&'()*+,;=-._~"
"""What a path and query may hold as they are (RFC 3986, 3.3 and 3.4); anything else is percent-encoded."""


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
    if port not in PORTS and not settings.WEBHOOKS_ALLOW_PRIVATE:
        raise RefusedDestinationError("the port has to be 443 or 8443")
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return Target(secure, host, address, port, quote(path, safe=AS_WRITTEN))


def _checked_address(host: str, port: int) -> str:
    addresses = _looked_up(host, port)
    # One answer to both: which names a private network knows is not told to who may try some.
    if not addresses or not (settings.WEBHOOKS_ALLOW_PRIVATE or all(map(is_public, addresses))):
        raise RefusedDestinationError(f"{host} is not a public address, or is not known at this moment")
    return addresses[0]


def _looked_up(host: str, port: int) -> list[str]:
    """The name's addresses. The system's look-up knows no deadline, so it runs beside and may be left behind."""
    addresses: list[str] = []

    def look_up() -> None:
        with contextlib.suppress(OSError, UnicodeError):
            entries = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
            addresses.extend(str(entry[4][0]) for entry in entries)

    looking = threading.Thread(target=look_up, daemon=True)
    looking.start()
    looking.join(LOOK_UP_SECONDS)
    return list(addresses)


def is_public(address: str) -> bool:
    """Whether an IP address belongs to the public internet and to one machine there."""
    ip = ipaddress.ip_address(address)
    if isinstance(ip, ipaddress.IPv6Address):
        if ip.ipv4_mapped is not None:
            return is_public(str(ip.ipv4_mapped))
        if ip.is_site_local or any(ip in carrier for carrier in CARRIERS):
            return False
    if any(ip in net for net in NOT_REACHABLE):
        return False
    return ip.is_global and not ip.is_multicast and not ip.is_reserved
