"""Form of the day: holes of one round go together, by as much as a player's own scorecards show.

Whoever is good today is so on every hole, so rounds lie farther from the mean than holes that know nothing of each
other would make them. The scores of a player's holes are a mean of each hole, a part that all holes of a round share,
and the luck of each: a linear mixed model with one random intercept a round, fitted by restricted maximum likelihood
(Patterson and Thompson 1971; Searle, Casella and McCulloch, Variance Components, 1992, chapter 6, from memory).

Few rounds say little of it. So the likelihood is weighed by a prior around what is usual in the club, which its other
players tell by theirs (empirical Bayes on a grid), and the forecast takes every value with its probability.

Days change no hole by itself: what scatters its scores is known from the shots of many days. They make the scores of
different holes go together, so the simulated balls of a hole are dealt to simulated rounds anew, the better ones
rather to rounds on better days (a Gaussian copula; Iman and Conover 1982, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy import special, stats

from golfstats.calc.a_round import ROUND
from golfstats.calc.record import Floats, Ints, Table

RATIOS: Floats = np.geomspace(0.03, 3.0, 41)
"""Grid of the day's spread, in units of what luck alone does to a round of 18 holes."""
USUAL_RATIO = 0.37
"""Of the usual golfer: about 1.5 strokes where luck makes 4 (our judgement)."""
USUAL_DOUBT = 0.6
"""Standard deviation of the logarithm of a club's usual ratio, before any round of it is seen (our judgement)."""
AMONG_PLAYERS = 2.0
"""Degrees of freedom of the half-t law of the ratio among players of a club, which lets rounds that say otherwise have
their way (Gelman 2006, Prior distributions for variance parameters, from memory; the number is our choice). With four,
and less doubt about the club, three rounds of unlike days left ranges that held 82%."""
PLAN_DOUBT = 0.45
"""What a plan gets wrong of a player goes through all holes as a day does, in the same units: about 1.8 strokes a round
(our judgement; forecasts of golfers of other laws were off by one to two strokes on average)."""
_CENTRES: Floats = np.log(USUAL_RATIO) + USUAL_DOUBT * np.linspace(-2.5, 2.5, 21)


@dataclass(frozen=True)
class Scorecards(Table):
    """Holes of one player's rounds. Equally long columns."""

    round: Ints
    """A number for each round."""
    hole: Ints
    """A number for each hole of each tee."""
    score: Ints


@dataclass(frozen=True)
class DayForm:
    """What is believed of how much a player's days differ."""

    probability: Floats
    """Of each of :data:`RATIOS`."""
    doubt: float = 0.0
    """Of something else that a round's holes share, in the unit of the ratios."""

    @property
    def ratio(self) -> float:
        """The middle of what is believed."""
        return float(self.draws(1)[0])

    def draws(self, number: int) -> Floats:
        """So many ratios, evenly through what is believed."""
        chance = (np.arange(number) + 0.5) / number
        # Half of a point's probability lies on each side of it.
        upto = np.cumsum(self.probability) - self.probability / 2
        drawn: Floats = np.hypot(np.exp(np.interp(chance, upto, np.log(RATIOS))), self.doubt)
        return drawn

    def of_a_plan(self) -> DayForm:
        """With what a plan's forecast gets wrong of the player."""
        return replace(self, doubt=PLAN_DOUBT)


def day_form(own: Scorecards, others: Sequence[Scorecards] = ()) -> DayForm:
    """From a player's scorecards and those of others of their club; none is well."""
    prior = _among_players() @ _centre(others)
    return DayForm(_normalised(np.log(prior) + log_likelihood(own, RATIOS)))


def log_likelihood(cards: Scorecards, ratios: Floats) -> Floats:
    """Restricted log-likelihood of each ratio, the luck of a hole profiled out; all alike where nothing is told."""
    rounds, round_row = np.unique(cards.round, return_inverse=True)
    holes, hole_row = np.unique(cards.hole, return_inverse=True)
    freedom = len(cards) - len(holes)
    if freedom < 1 or len(rounds) < 2:
        return np.zeros(len(ratios))
    score = cards.score - np.mean(cards.score)
    met = np.zeros((len(holes), len(rounds)))
    np.add.at(met, (hole_row, round_row), 1.0)
    of_round: Floats = np.bincount(round_row, weights=score).astype(np.float64)
    of_hole: Floats = np.bincount(hole_row, weights=score).astype(np.float64)
    total = float(score @ score)
    found = [
        _restricted(met, of_round, of_hole, total, freedom, variance=float(ratio**2 / ROUND))
        for ratio in ratios
    ]
    return np.array(found)


def dealt_by_days(
    scores: Sequence[Ints], draws: int, form: DayForm, seed: int, numbers: Sequence[int]
) -> list[Ints]:
    """For each hole, which of its balls each simulated round gets.

    ``scores`` has the score of each ball of a hole, ``draws`` blocks of equally many balls. Balls stay in their
    block: its draw of the player's patterns is the same on every hole.
    """
    balls = len(scores[0]) if scores else 0
    rng = np.random.default_rng(seed)
    day = rng.permutation(special.ndtri((np.arange(balls) + 0.5) / balls))
    shared = rng.permutation(form.draws(balls)) ** 2 / ROUND
    together = np.sqrt(shared / (1 + shared))
    blocks = np.array_split(np.arange(balls), max(draws, 1))
    dealt = []
    for score, number in zip(scores, numbers, strict=True):
        luck = np.random.default_rng([seed, number]).standard_normal(balls)
        taken = np.arange(balls)
        for block in blocks:
            taken[block] = block[_dealt(score[block], day[block], together[block], luck[block])]
        dealt.append(taken)
    return dealt


def _dealt(score: Ints, day: Floats, together: Floats, luck: Floats) -> Ints:
    """Ball of each round, so that the correlation of score and day is about ``together``."""
    order = np.argsort(score, kind="stable")
    normal = special.ndtri((np.arange(len(score)) + 0.5) / len(score))
    spread = float(np.std(score) * np.std(normal))
    if spread == 0:
        return np.arange(len(score))
    # Scores are whole and skew: they follow what orders them a little less than fully.
    follows = float(np.mean((score[order] - np.mean(score)) * normal)) / spread
    by_day = np.minimum(together / follows, 0.99)
    rank = np.argsort(by_day * day + np.sqrt(1 - by_day**2) * luck, kind="stable")
    ball = np.empty(len(score), dtype=np.int64)
    ball[rank] = order
    return ball


def _restricted(
    met: Floats, of_round: Floats, of_hole: Floats, total: float, freedom: int, *, variance: float
) -> float:
    """``variance``: of the day on a hole, in units of the variance of a hole's luck."""
    holes_played = met.sum(axis=0)
    shrink = variance / (1 + variance * holes_played)
    information = np.diag(met.sum(axis=1)) - (met * shrink) @ met.T
    towards = of_hole - met @ (shrink * of_round)
    rest = total - float(shrink @ of_round**2) - float(towards @ np.linalg.solve(information, towards))
    determinants = float(np.sum(np.log1p(variance * holes_played))) + float(np.linalg.slogdet(information)[1])
    return -0.5 * (freedom * float(np.log(max(rest, 1e-9))) + determinants)


def _among_players() -> Floats:
    """Probability of each ratio (row) among players of a club with each centre (column)."""
    scale = np.exp(_CENTRES) / stats.t.ppf(0.75, AMONG_PLAYERS)
    # The grid is even in the logarithm, so a point stands for a width in proportion to it.
    weight = RATIOS[:, None] * stats.t.pdf(RATIOS[:, None] / scale, AMONG_PLAYERS)
    share: Floats = weight / weight.sum(axis=0)
    return share


def _centre(others: Sequence[Scorecards]) -> Floats:
    """Probability of each centre given the rounds of a club's other players."""
    log_weight = -0.5 * ((_CENTRES - np.log(USUAL_RATIO)) / USUAL_DOUBT) ** 2
    among = _among_players()
    for cards in others:
        log_of_card = log_likelihood(cards, RATIOS)
        log_weight = log_weight + np.log(np.exp(log_of_card - log_of_card.max()) @ among)
    return _normalised(log_weight)


def _normalised(log_weight: Floats) -> Floats:
    weight = np.exp(log_weight - np.max(log_weight))
    shares: Floats = weight / np.sum(weight)
    return shares
