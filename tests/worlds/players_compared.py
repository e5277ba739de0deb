"""Worlds against comparisons of players, and against calling a rate unusual: rounds that no coin tossed.

Figures of two players, of a squad, and of one player against their own history, where form lasts, rounds have long tails, and bad days
bring their three-putts and penalties together. Nobody differs in most of them.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from golfstats.calc.coaching.attention import Counts, unusual_rate_item
from golfstats.calc.coaching.comparison import CLEARLY, allowing_for_form, compare_figures, leader_table
from golfstats.calc.figure import clustered_mean_figure, clustered_share_figure, mean_figure, quantile_figure
from golfstats.calc.units import Unit
from tests.worlds.coaching_priorities import remembering
from tests.worlds.court import Told, World

HOLES, RECENT = 18, 5


@dataclass(frozen=True)
class Pair:
    """Two players; the second is better by ``apart`` in units of a round's luck."""

    name: str
    rounds: int = 20
    memory: float = 0.0
    tails: bool = False
    apart: float = 0.0
    uneven: bool = False
    """Whether the second has played a third of the rounds."""

    def form(self, rng: np.random.Generator, rounds: int, better: float) -> np.ndarray:
        luck = remembering(rng, rounds, self.memory)
        return better + (rng.gamma(0.7, 1, rounds) - 0.7 if self.tails else 0) + luck

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        counts = (self.rounds, self.rounds // 3 if self.uneven else self.rounds)
        both = [self.form(rng, n, better) for n, better in zip(counts, (0.0, self.apart), strict=True)]
        figures: dict[str, list] = {"strokes gained": [], "share of greens": [], "median score": []}
        for form in both:
            round_ = np.repeat(np.arange(len(form)), HOLES)
            gained = form[round_] / HOLES + 0.6 * (rng.gamma(2, 1, len(round_)) - 2)
            mean = clustered_mean_figure(gained, round_, Unit.STROKES)
            figures["strokes gained"].append(allowing_for_form(mean, by_round(gained, round_)))
            hit = (rng.random(len(round_)) < 1 / (1 + np.exp(0.8 - 0.35 * form[round_]))).astype(float)
            share = clustered_share_figure(hit, round_)
            figures["share of greens"].append(allowing_for_form(share, by_round(hit, round_)))
            score = np.round(85 - 3 * form)
            figures["median score"].append(
                allowing_for_form(quantile_figure(score, 0.5, Unit.STROKES), score)
            )
        told = {}
        for words, (first, second) in figures.items():
            found = compare_figures(first, second, "lower" if words == "median score" else "higher")
            chance = found.chance_first_better
            clear = chance is not None and (chance >= CLEARLY or chance <= 1 - CLEARLY)
            truth = -self.apart / HOLES if words == "strokes gained" else np.nan
            if words == "median score":
                truth = 3 * self.apart
            if words == "share of greens" and self.apart == 0:
                truth = 0.0
            told[f"difference in {words}"] = Told.of(
                found.difference, truth, claimed=clear, is_so=self.apart != 0
            )
        return told


def by_round(value: np.ndarray, round_: np.ndarray) -> np.ndarray:
    return np.bincount(round_, value) / np.bincount(round_)


@dataclass(frozen=True)
class Squad:
    """A leader table of players of whom none is better than another, or the first is by ``apart`` rounds' luck."""

    name: str
    players: int
    rounds: tuple[int, ...] = (20,)
    """Each player has played one of these."""
    memory: float = 0.0
    apart: float = 0.0

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        figures = []
        for player in range(self.players):
            rounds = int(rng.choice(self.rounds))
            form = (
                self.apart * (player == 0) + remembering(rng, rounds, self.memory) + rng.gamma(2, 0.5, rounds)
            )
            figures.append(allowing_for_form(mean_figure(form, Unit.STROKES), form))
        ranks = {one.player: one.rank or 0 for one in leader_table(figures, "higher")}
        told = {"the best is behind somebody": Told(claimed=ranks[0] > 1, is_so=False)}
        if self.apart:
            return told | {"somebody is behind the best": Told(claimed=max(ranks.values()) > 1)}
        return {"somebody is behind somebody": Told(claimed=max(ranks.values()) > 1, is_so=False)}


@dataclass(frozen=True)
class Rate:
    """One player's rare events; days differ by a factor, and by more in some worlds."""

    name: str
    differ: float = 0.0
    """Spread of the logarithm of a day's rate."""
    memory: float = 0.0
    history: int = 30
    lately: float = 1.0
    """Factor on the rate of the last rounds."""

    def play(self, rng: np.random.Generator) -> Mapping[str, Told]:
        rounds = self.history + RECENT
        day = np.exp(self.differ * remembering(rng, rounds, self.memory) - self.differ**2 / 2)
        day[-RECENT:] *= self.lately
        three = rng.binomial(HOLES, np.minimum(0.07 * day, 0.9))
        penalties = rng.poisson(0.08 * HOLES * day)
        told = {}
        for words, events, law in (
            ("three-putts", three, "binomial"),
            ("penalties", penalties, "poisson"),
        ):
            item = ask(events, law)
            told[f"{words} are unusual"] = Told(claimed=item is not None, is_so=self.lately > 1)
        return told


def ask(events: np.ndarray, law):
    before, recent = events[:-RECENT], events[-RECENT:]
    counts = [Counts(int(np.sum(part)), HOLES * len(part)) for part in (recent, before)]
    return unusual_rate_item("x", "X", counts[0], counts[1], 0.0, law)


PAIRS = [
    Pair("equal, rounds by chance"),
    Pair("equal, long-tailed rounds", tails=True),
    Pair("equal, neighbouring rounds alike", memory=0.5),
    Pair("equal, one has played little", tails=True, uneven=True, rounds=24),
    Pair("one is better", tails=True, apart=1.0),
    Pair("one is better, neighbouring rounds alike", memory=0.5, apart=1.0),
]
SQUADS = [
    Squad("a squad of equals", 8),
    Squad("a squad of equals, some have played little", 15, rounds=(5, 10, 20, 40)),
    Squad("a squad of equals, neighbouring rounds alike", 8, memory=0.4),
    Squad("one of a squad is better", 8, apart=1.3),
]
RATES = [
    Rate("days by chance"),
    Rate("days differ", differ=0.5),
    Rate("days differ, short history", differ=0.5, history=8),
    Rate("days differ and last", differ=0.5, memory=0.5),
    Rate("three times as many lately, days differ", differ=0.3, lately=3.0),
]
WORLDS = (
    [
        World(
            one.name,
            "who is called better is better",
            f"2 x {one.rounds}",
            one.play,
            tries=(20, 300),
        )
        for one in PAIRS
    ]
    + [
        World(
            one.name,
            "who is ranked behind another is worse",
            f"{one.players} x {'-'.join(str(n) for n in sorted({one.rounds[0], one.rounds[-1]}))}",
            one.play,
            tries=(20, 300),
        )
        for one in SQUADS
    ]
    + [
        World(
            one.name,
            "a rate that is called unusual is",
            f"1 x {one.history + RECENT}",
            one.play,
            most_false_alarms=0.05,
            tries=(40, 500),
        )
        for one in RATES
    ]
)
