"""Sign-ins that the front page may show to everybody, because whoever runs the service shows a demo."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class DemoPerson:
    username: str
    name: str
    role: str


@dataclass(frozen=True)
class DemoSignIns:
    club: str
    password: str
    people: Sequence[DemoPerson]


Provider = Callable[[], DemoSignIns | None]
_providers: list[Provider] = []


def offer(provider: Provider) -> None:
    """Have the front page ask this provider. The demo knows the pages, the pages do not know the demo."""
    _providers[:] = [provider]


def demo_sign_ins() -> DemoSignIns | None:
    """The demo's sign-ins; ``None`` where there is no demo club."""
    return _providers[0]() if _providers else None
