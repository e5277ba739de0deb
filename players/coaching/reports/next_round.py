"""What the next round will come to: its score forecast by the worker, for each of the Saturdays to come.

The forecast is of the score as it will be written, greens included, on the courses that the player usually plays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from django.utils.translation import gettext, pgettext

from golfstats.calc import forecasts as calc
from golfstats.calc.coaching.belief import Belief
from golfstats.calc.coaching.trends import MINIMUM_ROUNDS
from golfstats.calc.coaching.words import likely_better
from golfstats.calc.figure import Figure as Estimate
from golfstats.calc.units import Unit
from golfstats.ground.words import counted, spoken
from players.coaching.trends import Fitted
from players.golf.answers import Chance, Figure, chance, figure

FORECAST_FIGURE = "score.to_par"
LONGEST_WITHOUT_A_ROUND = timedelta(weeks=13)
"""Of who has not played for longer nothing is forecast (our choice)."""
SATURDAYS_AHEAD = LONGEST_WITHOUT_A_ROUND // timedelta(weeks=1)
SATURDAY = 5
NOTICED = 0.6
"""A smaller chance to beat one's usual, or to fall behind it, is not worth a word (our choice)."""


@dataclass(frozen=True)
class NextRound:
    """A round of 18 holes on the next Saturday, as the rounds before it forecast it."""

    day: date
    """The next Saturday."""
    to_par: Figure
    """Score to par to expect over 18 holes on the courses usually played; nine rounds in ten end within the
    interval. The sample is the rounds behind it.
    """
    usual: float | None
    """Their level to par over the last 20 rounds."""
    chance_better: Chance | None
    """Chance of a better score than that."""
    words: str


def saturday_from(day: date) -> date:
    """The day itself if it is one."""
    return day + timedelta(days=(SATURDAY - day.weekday()) % 7)


def forecasts_to_store(fit: Fitted, today: date) -> list[Forecast]:
    """For each Saturday from today on; none with too few rounds or after too long without one."""
    first = saturday_from(today)
    days = [first + timedelta(weeks=week) for week in range(SATURDAYS_AHEAD)]
    return [forecast for day in days if (forecast := _forecast(fit, day)) is not None]


def statements_about(fit: Fitted, day: date) -> list[tuple[str, float, float]]:
    """Chances of a better score than the ends of the forecast's range and than usual: name, chance and limit."""
    forecast = _forecast(fit, day)
    if forecast is None or forecast.to_par.low is None or forecast.to_par.high is None:
        return []
    limits = {"low": forecast.to_par.low, "high": forecast.to_par.high, "usual": forecast.usual}
    better = fit.spec.better
    return [
        (name, forecast.belief.chance_better_than(limit, better), limit) for name, limit in limits.items()
    ]


@dataclass(frozen=True, eq=False)
class Forecast:
    """What the next round of one day will come to, not told yet."""

    day: date
    belief: Belief
    to_par: Estimate
    usual: float
    chance_better: float
    """Of a better score than usual."""


def _forecast(fit: Fitted, day: date) -> Forecast | None:
    """None with too few rounds, or where the last of them lies too long before."""
    trend = fit.trend
    if trend is None or day.toordinal() - trend.series.day[-1] > LONGEST_WITHOUT_A_ROUND.days:
        return None
    belief = calc.next_round(trend, day.toordinal())
    to_par = belief.figure(len(fit.series), fit.spec.unit, MINIMUM_ROUNDS)
    usual = calc.usual_level(trend)
    return Forecast(day, belief, to_par, usual, belief.chance_better_than(usual, fit.spec.better))


def told(forecast: Forecast) -> NextRound:
    """In the language of now."""
    better = chance(forecast.chance_better)
    to_par = figure(forecast.to_par, of="round", signed=True)
    return NextRound(forecast.day, to_par, round(forecast.usual, 4), better, _words(to_par, better))


def next_round_of(stored: Sequence[NextRound], today: date) -> NextRound:
    """The forecast for the next Saturday among the stored ones; "too few" where there is none."""
    day = saturday_from(today)
    for one in stored:
        if one.day == day:
            return one
    nothing = figure(Estimate.too_few(0, MINIMUM_ROUNDS, Unit.STROKES), of="round")
    return NextRound(day, nothing, None, None, gettext("too few rounds, or none for three months"))


def to_par_words(value: float) -> str:
    """``7 over``, ``2 under``, ``level``."""
    strokes = round(value)
    if strokes == 0:
        return pgettext("a score to par", "level")
    words = gettext("{strokes} over") if strokes > 0 else gettext("{strokes} under")
    return words.format(strokes=abs(strokes))


def _words(to_par: Figure, better: Chance | None) -> str:
    """``about 8 over par (3 over to 12 over), 49 rounds; as usual``."""
    if to_par.value is None or to_par.low is None or to_par.high is None or better is None:
        return gettext("too few rounds")
    beside = gettext("as usual")
    if abs(better.value - 0.5) >= NOTICED - 0.5:
        beside = spoken(likely_better(better.value, gettext("usual")))
    return gettext("about {score} par ({low} to {high}), {rounds}; {beside}").format(
        score=to_par_words(to_par.value),
        low=to_par_words(to_par.low),
        high=to_par_words(to_par.high),
        rounds=counted(to_par.n, "round"),
        beside=beside,
    )
