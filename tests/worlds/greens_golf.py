"""Putting on greens that nobody fitted: a club invented putt by putt, and what its greens really cost.

Nothing here comes from the simulator or from what the mathematics assumes. Two ways to putt: balls that start off
line and roll too far or too short past a hole with an edge, and a plain logistic chance with leaves drawn from a
gamma. Whatever makes putting harder multiplies both errors of a player that day.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from golfstats.calc.greens.effect.putts import Putts
from golfstats.calc.greens.surface.disturbance import Work

SEASON_START, SEASON_DAYS = 739_000, 240
KIND, HEALING_DAYS = "coring_large", 21.0
HOLE_FT = 0.177
"""Radius of the hole, 4.25 in across (Rules of Golf)."""
MOST_PUTTS = 8

Harder = Callable[[np.ndarray], np.ndarray]
"""Growth of the putting errors (0 = none) by day of the season, or by days since the work."""


def fading(days: np.ndarray) -> np.ndarray:
    """Quick healing at first, then slow; nothing left after three weeks."""
    return np.clip(1 - days / HEALING_DAYS, 0, 1) ** 2


def plateau(days: np.ndarray) -> np.ndarray:
    """As bad for two weeks, then gone: sand that is watered in on the fifteenth day."""
    return 0.55 * (days < 14.7)


def rough_later(days: np.ndarray) -> np.ndarray:
    """Filled holes putt well until the sand settles."""
    return 0.9 * ((days >= 3) & (days < 12))


def linear(days: np.ndarray) -> np.ndarray:
    return np.clip(1 - days / HEALING_DAYS, 0, 1)


@dataclass(frozen=True)
class Club:
    """What a world is made of. Growth of errors is a share: 0.1 makes both errors a tenth larger."""

    players: int
    rounds: int
    corings: tuple[int, ...] = (70, 165)
    """Days of the season."""
    effect: float = 0.0
    """Strokes that a usual member loses a round where ``profile`` is 1."""
    profile: Harder = fading
    effect_spread: float = 0.0
    """Standard deviation between members, as a share of the effect."""
    immune: bool = False
    """One member plays as much as all others together, and cored greens are nothing to them."""
    season: Harder = np.zeros_like
    """By day of the season."""
    weather: float = 0.0
    """Standard deviation of whole days, which follow one another with ``memory``."""
    memory: float = 0.9
    form: float = 0.0
    """How much worse everybody putts during the healing weeks, for reasons of their own."""
    logistic: bool = False
    whole_feet: bool = False
    seasons: int = 1
    kind: str = KIND
    elsewhere: float = 0.0
    """Share of rounds on another course, which is not cored and shares neither weather nor season."""
    sand_every: int = 0
    """Light topdressing that costs nothing, every so many days."""
    one_improves: float = 0.0
    """The first member plays most, and putts with errors smaller by this share from the last coring on."""
    vanish: float = 0.0
    """Share of rounds in the healing weeks that nobody plays: members stay away."""


@dataclass(frozen=True)
class Season:
    """What the service is given, and what is so."""

    putts: Putts
    works: dict[int, list[Work]]
    cost: Callable[[np.ndarray], np.ndarray]
    """Strokes that the mean member (all alike, however much they play) loses a round so many days after coring."""
    skill: np.ndarray
    """Each member's errors of line and of length, as multiples of the usual."""
    pace: np.ndarray
    otherwise: np.ndarray
    """What multiplies the errors in each round for any reason but the work."""
    logistic: bool
    tee_to_green: np.ndarray
    """Strokes that each round of 18 holes lost before the green."""


def play(club: Club, rng: np.random.Generator) -> Season:
    """A season (or several) of a club."""
    days = SEASON_DAYS if club.seasons == 1 else 365 * club.seasons
    corings = np.array([365 * year + day for year in range(club.seasons) for day in club.corings])
    player, day = _calendar(club, days, corings, rng)
    rounds = len(player)
    since = np.min(np.where(day[:, None] >= corings, day[:, None] - corings, 10_000), axis=1)
    elsewhere = rng.random(rounds) < club.elsewhere
    heal = club.profile(since.astype(float)) * (since < 60) * ~elsewhere

    own = 1 + club.effect_spread * rng.standard_normal(club.players)
    if club.immune:
        own[0] = 0.0
    growth = growth_for(club.effect, club.logistic)
    of_year = np.minimum(day % 365, SEASON_DAYS - 1)
    otherwise = 1 + np.where(elsewhere, 0.0, club.season(of_year.astype(float)))
    otherwise *= 1 + np.where(elsewhere, 0.0, club.weather * _following(days, club.memory, rng)[day])
    otherwise *= 1 + club.form * (since < HEALING_DAYS)
    otherwise *= 1 - club.one_improves * ((player == 0) & (day >= corings[-1]))
    harder = otherwise * (1 + own[player] * growth * heal)

    skill = np.exp(0.15 * rng.standard_normal(club.players))
    pace = np.exp(0.2 * rng.standard_normal(club.players))
    reach = np.exp(0.1 * rng.standard_normal(club.players))
    holes = np.where(rng.random(rounds) < 0.1, 9, 18)
    of = np.repeat(np.arange(rounds), holes)
    hole = np.concatenate([np.arange(1, count + 1) for count in holes])
    first_ft = np.clip(rng.gamma(2.0, 11.0, len(of)) * reach[player[of]], 1.0, 95.0)
    factor = harder[of]
    rolled = _putt_out(first_ft, factor * skill[player[of]], factor * pace[player[of]], club.logistic, rng)
    putts = _table(rolled, of, hole, player, day, elsewhere, club.whole_feet)
    works = {
        0: [
            Work(club.kind, SEASON_START + int(one), SEASON_START + int(one), severity=1.0) for one in corings
        ]
    }
    if club.sand_every:
        works[0] += [
            Work("topdressing_light", SEASON_START + one, SEASON_START + one)
            for one in range(5, days, club.sand_every)
        ]
    mean = float(np.mean(own))

    def cost(since: np.ndarray) -> np.ndarray:
        return strokes_for(mean * growth * club.profile(np.asarray(since, float)), club.logistic)

    # What makes putting harder than the greens do, but for their own surface, makes the rest of the game harder too.
    tee_to_green = 9 + 4 * rng.standard_normal(club.players)[player] + 3.5 * rng.standard_normal(rounds)
    tee_to_green += 25 * (otherwise - 1) * (player != 0 if club.one_improves else 1)
    return Season(putts, works, cost, skill, pace, otherwise, club.logistic, tee_to_green)


def expected_on_sound_greens(golf: Season, member: int, round_: int, first_ft: np.ndarray) -> float:
    """Putts that a member would take in a round from these distances had no work been done, played out."""
    again = 60
    factor = golf.otherwise[round_]
    rolled = _putt_out(
        np.tile(first_ft, again),
        np.full(again * len(first_ft), factor * golf.skill[member]),
        np.full(again * len(first_ft), factor * golf.pace[member]),
        golf.logistic,
        np.random.default_rng(6),
    )
    return len(rolled[0]) / again


def _calendar(club, days, corings, rng):
    """Who plays when: some more than others, at week-ends more than on weekdays, and in the season only."""
    often = np.exp(0.4 * rng.standard_normal(club.players))
    if club.immune:
        often[0] = np.sum(often[1:])
    if club.one_improves:
        often[0] = 3 * np.max(often)
    total = club.players * club.rounds * club.seasons
    player = rng.choice(club.players, total, p=often / np.sum(often))
    weight = np.where(np.arange(days) % 7 >= 5, 2.5, 1.0) * (np.arange(days) % 365 < SEASON_DAYS)
    healing = np.any(
        (np.arange(days)[:, None] >= corings) & (np.arange(days)[:, None] < corings + HEALING_DAYS), axis=1
    )
    weight = weight * np.where(healing, 1 - club.vanish, 1.0)
    return player, rng.choice(days, total, p=weight / np.sum(weight))


def _following(days: int, memory: float, rng: np.random.Generator) -> np.ndarray:
    """Days of which each resembles the one before, with standard deviation 1."""
    shocks = rng.standard_normal(days)
    values = np.empty(days)
    values[0] = shocks[0]
    for one in range(1, days):
        values[one] = memory * values[one - 1] + np.sqrt(1 - memory**2) * shocks[one]
    return values


def _putt_out(first_ft, line, pace, logistic, rng):
    """Every putt of every hole: rows (hole, number, from, left), 0 left where holed."""
    rows = []
    at, left = np.arange(len(first_ft)), first_ft.astype(float)
    for number in range(1, MOST_PUTTS + 1):
        after = (_logistic if logistic else _rolling)(left, line[at], pace[at], rng)
        if number == MOST_PUTTS:
            after = np.zeros_like(after)
        rows.append((at, np.full(len(at), number), left, after))
        still = after > 0
        at, left = at[still], after[still]
        if not len(at):
            break
    return [np.concatenate(column) for column in zip(*rows, strict=True)]


def _rolling(feet, line, pace, rng):
    """Starts off line by about 1.5 degrees and rolls 13% long or short of a foot past; three feet past is too fast."""
    aside = feet * np.tan(0.027 * line * rng.standard_normal(len(feet)))
    past = (feet + 1.0) * (1 + 0.13 * pace * rng.standard_normal(len(feet))) - feet
    holed = (np.abs(aside) < HOLE_FT) & (past > 0) & (past < 3.0)
    tapped = feet < 0.5
    return np.where(holed | tapped, 0.0, np.maximum(np.hypot(aside, past), 0.2))


def _logistic(feet, line, pace, rng):
    """A logistic chance in the logarithm of the distance; leaves are a gamma share of the putt."""
    chance = 1 / (1 + np.exp(-(3.9 - 2.15 * np.log(np.maximum(feet, 0.3)) - 2.2 * np.log(line))))
    left = (0.3 + 0.095 * feet * pace) * rng.gamma(1.7, 1 / 1.7, len(feet))
    return np.where(rng.random(len(feet)) < np.maximum(chance, 1e-4), 0.0, np.maximum(left, 0.2))


@cache
def _cost_curve(logistic: bool) -> tuple[np.ndarray, np.ndarray]:
    """Strokes a round that a usual member loses when both errors grow by a share, played out."""
    shares = np.array([-0.3, 0.0, 0.1, 0.2, 0.35, 0.5, 0.75, 1.0, 1.5])
    rng = np.random.default_rng(4)
    first_ft = np.clip(rng.gamma(2.0, 11.0, 150_000) * np.exp(0.1 * rng.standard_normal(150_000)), 1.0, 95.0)
    skill, pace = (np.exp(spread * rng.standard_normal(len(first_ft))) for spread in (0.15, 0.2))
    mean = [
        18
        * len(_putt_out(first_ft, (1 + s) * skill, (1 + s) * pace, logistic, np.random.default_rng(5))[0])
        / len(first_ft)
        for s in shares
    ]
    return shares, np.array(mean) - mean[1]


def strokes_for(growth: np.ndarray, logistic: bool) -> np.ndarray:
    """Strokes a round for a growth of both errors."""
    return np.interp(growth, *_cost_curve(logistic))


def growth_for(strokes: float, logistic: bool) -> float:
    """The growth of both errors that costs so many strokes a round."""
    shares, cost = _cost_curve(logistic)
    return float(np.interp(strokes, cost, shares))


def _table(rolled: Sequence[np.ndarray], of, hole, player, day, elsewhere, whole_feet) -> Putts:
    at, number, feet, left = rolled
    order = np.lexsort((number, at))
    at, number, feet, left = at[order], number[order], feet[order], left[order]
    if whole_feet:
        feet, left = np.maximum(np.round(feet), 1.0), np.where(left > 0, np.maximum(np.round(left), 1.0), 0.0)
    round_ = of[at]
    return Putts(
        player=player[round_],
        round=round_,
        course=elsewhere[round_].astype(np.int64),
        day=SEASON_START + day[round_],
        hole=hole[at],
        first=number == 1,
        distance_ft=feet,
        holed=left == 0,
        speed_ft=np.full(len(at), np.nan),
    )
