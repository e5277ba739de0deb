"""What a coach should look at: rules that turn figures into items, each with its reason.

Every rule is a function from what is known to an item or ``None``. An item's key names its cause,
and ``began`` the day the cause began: an item is the one that was dismissed if the key is the same
and it began no later than the day of the dismissal.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum
from typing import Literal

from scipy import stats

from golfstats.calc.coaching.goals import GoalState, Progress
from golfstats.calc.coaching.level_shifts import Shift
from golfstats.calc.coaching.words import Better
from golfstats.calc.figure import INTERVAL, Figure, percent, share_figure
from golfstats.calc.units import Unit
from golfstats.sentences import Sentence

RECENT_DAYS = 120
"""A level shift is news for this long."""
AT_RISK = 0.25
"""A goal with a smaller chance than this is at risk."""
GOAL_NEAR_DAYS = 60
"""Before this many days from its date a goal is not called at risk."""
WORTH_SAYING = 1.0
"""Strokes a round by which the greens must make a level look worse before a coach is told (our choice)."""
UNUSUAL = 0.01
"""A rate is unusual when chance alone gives so many at most this often."""


class AttentionKind(IntEnum):
    """Kinds in the order in which a coach sees them."""

    HANDICAP_CAP = 0
    EXCEPTIONAL_SCORE = 1
    LEVEL_SHIFT = 2
    GREENS = 3
    UNUSUAL_RATE = 4
    GOAL_AT_RISK = 5
    NO_ROUND = 6

    @property
    def word(self) -> str:
        return self.name.lower()


@dataclass(frozen=True)
class AttentionItem:
    kind: AttentionKind
    key: str
    reason: str
    figure: Figure | None
    began: float
    """Day number."""


def in_order(items: Iterable[AttentionItem | None]) -> list[AttentionItem]:
    """Items by kind, then the newest first, then by key: the same items always give the same list."""
    return sorted((item for item in items if item is not None), key=lambda i: (i.kind, -i.began, i.key))


def shift_item(
    figure_key: str, words: str, shift: Shift | None, better: Better, today: float
) -> AttentionItem | None:
    """A figure whose level jumped lately, for better or worse."""
    if shift is None or shift.size.value is None or today - shift.day > RECENT_DAYS:
        return None
    size = shift.size.value
    by, unit = f"{abs(size):.2f}", Sentence(shift.size.unit)
    reason = Sentence("{figure} has become worse by {size} {unit}", figure=words, size=by, unit=unit)
    if (size > 0) == (better == "higher"):
        reason = Sentence("{figure} has improved by {size} {unit}", figure=words, size=by, unit=unit)
    key = f"level_shift:{figure_key}:{'up' if size > 0 else 'down'}"
    return AttentionItem(AttentionKind.LEVEL_SHIFT, key, reason, shift.size, shift.day)


def greens_item(
    figure_key: str, words: str, raw: Figure, on_sound_greens: Figure, began: float, lately: str
) -> AttentionItem | None:
    """A level that looks lower than it is because of the greens; ``lately`` says how many rounds were on others."""
    if raw.value is None or on_sound_greens.value is None:
        return None
    lower = on_sound_greens.value - raw.value
    if lower < WORTH_SAYING:
        return None
    reason = Sentence(
        "{figure} looks worse by {size} {unit}, but {lately}: wait",
        figure=words,
        size=f"{lower:.2f}",
        unit=Sentence(raw.unit),
        lately=lately,
    )
    return AttentionItem(AttentionKind.GREENS, f"greens:{figure_key}", reason, raw, began)


def goal_item(goal_key: str, words: str, progress: Progress, by: float, today: float) -> AttentionItem | None:
    """An open goal near its date that will probably be missed."""
    chance, near = progress.chance, by - today <= GOAL_NEAR_DAYS
    if progress.state is not GoalState.OPEN or chance is None or chance >= AT_RISK or not near:
        return None
    reason = Sentence(
        "{figure}: {percent} chance of meeting the goal, {days} days left",
        figure=words,
        percent=percent(chance),
        days=f"{by - today:.0f}",
    )
    return AttentionItem(
        AttentionKind.GOAL_AT_RISK, f"goal_at_risk:{goal_key}", reason, progress.now, by - GOAL_NEAR_DAYS
    )


def no_round_item(
    last_round: float | None, joined: float, today: float, days: int = 28
) -> AttentionItem | None:
    """No round for ``days`` days or more, since the last one or since the player joined."""
    since = joined if last_round is None else last_round
    if today - since < days:
        return None
    reason = Sentence("no round posted yet")
    if last_round is not None:
        reason = Sentence("no round for {days} days", days=f"{today - since:.0f}")
    return AttentionItem(AttentionKind.NO_ROUND, "no_round", reason, None, since)


@dataclass(frozen=True)
class Counts:
    """Events (three-putts, penalty strokes) and the chances there were for them (greens, holes)."""

    events: int
    exposure: int


def unusual_rate_item(
    rate_key: str,
    words: str,
    recent: Counts,
    before: Counts,
    began: float,
    law: Literal["binomial", "poisson"],
) -> AttentionItem | None:
    """More events lately than the player's own history explains; ``began`` is the first recent round's day.

    Given all events, chance alone would spread them over the recent and the earlier exposure:
    hypergeometrically where an exposure holds one event at most (``binomial``: Fisher's exact
    test), binomially where it may hold several (``poisson``: the conditional test of two Poisson
    rates, Przyborowski and Wilenski 1940, from memory). So the doubt in a short history counts.
    """
    if recent.exposure == 0 or before.exposure == 0 or tail_chance(recent, before, law) > UNUSUAL:
        return None
    usual = before.events / before.exposure * recent.exposure
    reason = Sentence(
        "{figure}: {events} in the last {exposure}, usually {usual} in as many",
        figure=words,
        events=recent.events,
        exposure=recent.exposure,
        usual=f"{usual:.1f}",
    )
    figure_of = share_figure if law == "binomial" else rate_figure
    figure = figure_of(recent.events, recent.exposure)
    return AttentionItem(AttentionKind.UNUSUAL_RATE, f"unusual_rate:{rate_key}", reason, figure, began)


def tail_chance(recent: Counts, before: Counts, law: Literal["binomial", "poisson"]) -> float:
    """Chance of so many recent events or more if the rate had not changed."""
    events = recent.events + before.events
    exposure = recent.exposure + before.exposure
    if law == "binomial":
        return float(stats.hypergeom.sf(recent.events - 1, exposure, events, recent.exposure))
    return float(stats.binom.sf(recent.events - 1, events, recent.exposure / exposure))


def rate_figure(events: int, exposure: int) -> Figure:
    """Events for each exposure with the exact Poisson interval (Garwood 1936, from memory)."""
    tail = (1 - INTERVAL) / 2
    low = float(stats.chi2.ppf(tail, 2 * events)) / 2 if events else 0.0
    high = float(stats.chi2.ppf(1 - tail, 2 * events + 2)) / 2
    return Figure(events / exposure, low / exposure, high / exposure, exposure, 1, Unit.RATE)


def cap_item(kind: Literal["soft", "hard"] | None, index: Figure, began: float) -> AttentionItem | None:
    """The handicap index is held back by a cap, since the day ``began``."""
    if kind is None:
        return None
    reason = Sentence("the soft cap holds the handicap index back")
    if kind == "hard":
        reason = Sentence("the hard cap holds the handicap index back")
    return AttentionItem(AttentionKind.HANDICAP_CAP, f"handicap_cap:{kind}", reason, index, began)


def exceptional_score_item(reduction: float, index: Figure, day: float, today: float) -> AttentionItem | None:
    """A recent exceptional score took ``reduction`` strokes off the index."""
    if reduction <= 0 or today - day > RECENT_DAYS:
        return None
    reason = Sentence(
        "an exceptional score lowered the handicap index by {strokes}", strokes=f"{reduction:.0f}"
    )
    return AttentionItem(AttentionKind.EXCEPTIONAL_SCORE, f"exceptional_score:{day:.0f}", reason, index, day)
