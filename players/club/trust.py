"""How far to trust this: what is claimed, what came of trying it in hostile worlds, and what rests on memory."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc.trust import table
from golfstats.ground.answers import up_to
from golfstats.ground.operations import Asker, Query
from golfstats.ground.words import spoken
from players.golf.answers import caution

SUBJECTS = {
    "coaching_effects": noop("What closing a gap is worth"),
    "coaching_goals": noop("Goals"),
    "coaching_greens": noop("Putting over time, while greens heal"),
    "coaching_hostile": noop("Coaching, in worlds written later"),
    "coaching_priorities": noop("Priorities"),
    "coaching_trends": noop("Trends and level shifts"),
    "coaching_trials": noop("Trials of A against B"),
    "greens_cost": noop("What green work costs"),
    "greens_healing": noop("When greens are back"),
    "plan_forecasts": noop("A plan's forecast"),
    "plan_patterns": noop("How far and how straight each club goes"),
    "players_compared": noop("Players compared, and unusual rates"),
    "putting_players": noop("A player's putting"),
    "putting_reads": noop("Why putts miss"),
    "rounds_contexts": noop("What else moves a round"),
    "shots_by_kind": noop("Putting or chipping, below or above the hole"),
    "strokes_club": noop("The club's own golfers as a benchmark"),
    "strokes_holes": noop("Strokes gained"),
}
WORDS = noop(
    "Each claim was tried in worlds that make golf by other rules than the service assumes: the truth is hidden, the "
    "service is asked, and what it says is compared. A 90% interval should hold the truth nine times in ten; false "
    "alarms should stay within one in ten, one in twenty for trials and level shifts. A world in which a claim does "
    "not hold is named."
)
SIMULATED = noop(
    "Worlds are invented. They show that a claim survives golf unlike the service's own picture of it, not that your "
    "club is one of them: the record of what was said here and came true is under forecasts."
)


@dataclass(frozen=True)
class TriedWorld:
    """One claim in one world. Shares from 0 to 1; null where there was nothing to share."""

    world: str
    """Name of the simulated world."""
    attacks: str
    """What the world tries to make false."""
    size: str
    """Players x rounds each, or what else says how much golf there was."""
    tries: int
    """Seasons that were simulated and judged."""
    bias: float | None
    """Mean of value less truth, in the unit of the claim."""
    coverage: float | None
    """Share of 90% intervals that held the truth."""
    false_alarms: float | None
    """Share of tries that claimed what is not so."""
    found: float | None
    """Share of tries that claimed what is so."""
    refused: float
    """Share of tries in which the service said that it cannot tell."""
    holds: bool
    """Within its limits, or refused."""
    words: str


@dataclass(frozen=True)
class TriedClaim:
    """What is claimed, over the worlds in which it was tried."""

    subject: str
    """What the claim is about."""
    claim: str
    """What the service says."""
    holds: bool
    """In every world."""
    words: str
    tried_on: dt.date
    """Day of the latest try."""
    worlds: list[TriedWorld] = up_to(12)
    """The worlds that attack it."""


@dataclass(frozen=True)
class Trust:
    """How far to trust this."""

    words: str
    limits: str
    """What these tries cannot show."""
    provenance: list[str]
    """Which of the published figures that everything rests on are not checked."""
    claims: list[TriedClaim] = up_to(40)
    """Every claim that was tried."""


def trust(_: Asker, __: Query) -> Trust:
    """From the table that is kept with the program; no query."""
    in_language = cache(gettext)  # most worlds and sizes stand in many of its rows
    claims = [_claim(one, in_language) for one in table.claims()]
    return Trust(gettext(WORDS), gettext(SIMULATED), [caution()], claims)


def _claim(tried: table.Claim, in_language: Callable[[str], str]) -> TriedClaim:
    return TriedClaim(
        subject=gettext(SUBJECTS.get(tried.subject, tried.subject.replace("_", " "))),
        claim=gettext(tried.claim),
        holds=not tried.failing,
        words=spoken(tried.words),
        tried_on=max(dt.date.fromisoformat(row.made_on) for row in tried.rows),
        worlds=[_world(row, in_language) for row in tried.rows],
    )


def _world(row: table.Row, in_language: Callable[[str], str]) -> TriedWorld:
    return TriedWorld(
        world=in_language(row.world),
        attacks=row.attacks,
        size=in_language(row.size),
        tries=row.tries,
        bias=row.bias,
        coverage=row.coverage,
        false_alarms=row.false_alarms,
        found=row.found,
        refused=row.refused,
        holds=not row.failings,
        words=spoken(row.words),
    )
