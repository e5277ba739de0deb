"""Worlds against coaching on cored greens: putting that is worse for the greens, for the player, or for both.

The club is that of :mod:`tests.worlds.greens_golf`: what coring costs is fitted from its putts, and one busy member's
rounds are compared as a dashboard does it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from golfstats.calc.coaching.level_shifts import level_shift
from golfstats.calc.coaching.series import Series
from golfstats.calc.coaching.standing import level_figure, player_or_greens
from golfstats.calc.coaching.trends import chance_better, fit_trend
from golfstats.calc.greens.adjusted import RoundPutting, adjust_round
from golfstats.calc.greens.effect.estimate import fit_effect
from golfstats.calc.greens.sound import Greens
from golfstats.calc.greens.surface.disturbance import surface_disturbance
from tests.worlds.court import Told, World
from tests.worlds.greens_golf import SEASON_START, Club, expected_on_sound_greens, play

LAST_CORING = 205
"""Day of the season: the last rounds of everybody are on greens that heal."""
LOOKED_AT = 12
"""Days after it on which a coach looks."""
PLAYERS, ROUNDS = 40, 20
WORSE = "after rounds on cored greens, putting is not said to have become worse"
BETTER = "a player who truly improves while the greens are cored is not held back"


def usual_putts(first_ft):
    return 1.2 + 0.02 * first_ft


def rounds_of(golf, effect, member):
    """Day, putting strokes gained, greens and level on sound greens of each of a member's rounds until the look."""
    own = golf.putts.select(
        (golf.putts.player == member) & (golf.putts.day <= SEASON_START + LAST_CORING + LOOKED_AT)
    )
    rows = []
    for number in np.unique(own.round):
        one = own.select(own.round == number)
        first = one.select(one.first)
        taken = np.bincount(one.hole, minlength=19)[first.hole]
        usual = usual_putts(first.distance_ft)
        loading = effect.of_greens(golf.works[0], first.day, first.hole, "0")
        told = adjust_round(effect, RoundPutting(first.distance_ft, taken, usual, loading))
        disturbance = float(np.mean(surface_disturbance(golf.works[0], first.day, first.hole)))
        owed = (np.nan, np.nan, np.nan)
        if told.owed.value is not None:
            owed = (-told.owed.value, -told.owed.high, -told.owed.low)
        sound = float(np.sum(usual)) - expected_on_sound_greens(golf, member, int(number), first.distance_ft)
        rows.append((one.day[0], told.raw.value, disturbance, *owed, len(first), sound))
    return [np.array(column, dtype=float) for column in zip(*rows, strict=True)]


@dataclass(frozen=True)
class Case:
    club: Club

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        golf = play(self.club, rng)
        looked_at = golf.putts.select(golf.putts.day <= SEASON_START + LAST_CORING + LOOKED_AT)
        effect = fit_effect(looked_at, golf.works)
        healing = looked_at.select(looked_at.day > SEASON_START + LAST_CORING)
        players, putted = np.unique(healing.player[healing.first], return_counts=True)
        busy = players[putted >= min(5 * 18, int(np.max(putted, initial=54)))]
        if self.club.one_improves:
            busy = busy[busy == 0]
        if not len(busy):
            return {}
        member = int(rng.choice(busy))
        day, raw, disturbance, *surface, holes, sound = rounds_of(golf, effect, member)
        order = np.argsort(day, kind="stable")
        greens = Greens.of(disturbance, *surface, holes.astype(int))
        kept = order[greens.known[order]]
        value = (18 * raw / holes + greens.owed)[kept]
        series = Series(day[kept], value, holes[kept], None, greens.sd[kept])
        return self.told(series, (18 * sound / holes)[order], day[order])

    def told(self, series: Series, sound: np.ndarray, day: np.ndarray) -> dict[str, Told]:
        """``sound``: what the member would have gained on sound greens, by round."""
        cored = day > SEASON_START + LAST_CORING
        before, after = float(np.mean(sound[~cored])), float(np.mean(sound[cored]))
        improved = self.club.one_improves > 0
        shift = level_shift(series, "strokes")
        trend = fit_trend(series)
        worse = shift is not None and (shift.size.value or 0.0) < 0
        told = {"putting has become worse": Told(claimed=worse, is_so=False)}
        if trend is None:
            return told
        today = float(series.day[-1])
        better = chance_better(trend, SEASON_START + LAST_CORING - 30.0, today, "higher")
        if better is not None:
            silent = player_or_greens(series)
            told["90% likely worse"] = Told(claimed=better <= 0.1 and not silent, is_so=False)
            told["90% likely better"] = Told(claimed=better >= 0.9 and not silent, is_so=improved)
        now = level_figure(trend, today, "strokes", len(series))
        told["putting today, on sound greens"] = Told.of(now, after if improved else before)
        return told


COSTS = Club(PLAYERS, ROUNDS, corings=(70, LAST_CORING), effect=3.0)
CASES = {
    "coring costs": (WORSE, COSTS),
    "coring costs, a few rounds each": (WORSE, replace(COSTS, players=12, rounds=16)),
    "members suffer by half more or less": (WORSE, replace(COSTS, effect_spread=0.5)),
    "the first coring anybody saw": (WORSE, replace(COSTS, corings=(LAST_CORING,))),
    "days differ, coring costs": (WORSE, replace(COSTS, weather=0.1)),
    "one improves on the day of coring": (BETTER, replace(COSTS, one_improves=0.25)),
}
WORLDS = [
    World(
        name,
        attacks,
        f"{club.players} x {club.rounds}",
        Case(club).play,
        most_false_alarms=0.10,
        tries=(3, 60),
    )
    for name, (attacks, club) in CASES.items()
]
