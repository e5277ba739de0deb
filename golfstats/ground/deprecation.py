"""What is said of an operation that is to go."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True)
class Deprecation:
    """An operation that is to go: since when that is known, when it goes, and what to ask instead."""

    since: dt.date
    until: dt.date
    """At least a year later: programs of clubs are mended between seasons."""
    instead: str
    """Name of another operation's address."""
