"""What disturbed greens have to do with a figure over time, for whoever reads it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc.coaching.standing import LATELY
from golfstats.calc.record import Bools
from golfstats.ground.words import counted
from players.coaching.history import Observed
from players.golf.answers import Figure

PLAYER_OR_GREENS = noop(
    "With what the greens cost taken off, these rounds still differ from the others: whether it is the player or the "
    "greens cannot be told yet, wait."
)


@dataclass(frozen=True)
class OnTheGreens:
    """What disturbed greens have to do with a figure that putting decides."""

    disturbed: int
    """Rounds on disturbed greens among those that the answer is about."""
    waiting: int
    """Rounds that are left out because what their greens cost is not known, or cannot be taken off this figure."""
    raw: Figure | None
    """The figure as it was, without regard to the greens."""
    words: str


@dataclass(frozen=True)
class Counted:
    """Rounds of a figure by their greens."""

    rounds: int
    disturbed: int
    waiting: int
    lately: int
    """On disturbed greens among the last five."""
    last: int
    """How many the last five are."""
    adjusted: bool

    @property
    def lately_words(self) -> str:
        words = gettext("{n} of the last {rounds} were on disturbed greens")
        return words.format(n=self.lately, rounds=counted(self.last, "round"))

    @property
    def words(self) -> str:
        """``4 of the last 5 rounds were on disturbed greens: wait. 4 rounds are left out.``"""
        if not self.disturbed:
            return ""
        disturbed = self.lately_words
        if not self.lately:
            disturbed = gettext("{n} of {rounds} were on disturbed greens").format(
                n=self.disturbed, rounds=counted(self.rounds, "round")
            )
        wait = self.waiting and 2 * self.lately >= self.last
        sentences = [gettext("{words}: wait.").format(words=disturbed) if wait else f"{disturbed}."]
        taken = self.disturbed - self.waiting
        if self.adjusted and taken:
            taken_off = gettext("What the surface cost is taken off {rounds}.")
            sentences.append(taken_off.format(rounds=counted(taken, "round")))
        if self.waiting:
            why = gettext("{rounds} left out: it cannot be taken off this figure.")
            if self.adjusted:
                why = gettext("{rounds} left out: what it cost is not known well enough.")
            sentences.append(why.format(rounds=counted(self.waiting, "round")))
        return " ".join(sentences)


def count_greens(figure: Observed) -> Counted:
    """Of all rounds in which the figure was observed, in order of play."""
    rounds, _, _ = figure.raw.by_round
    kept, _, _ = figure.observations.by_round
    greens = figure.golf.greens
    disturbed: Bools = greens.disturbed[rounds] & figure.minds_greens
    last = disturbed[-LATELY:]
    return Counted(
        rounds=len(rounds),
        disturbed=int(np.sum(disturbed)),
        waiting=len(rounds) - len(kept),
        lately=int(np.sum(last)),
        last=len(last),
        adjusted=figure.adjusted,
    )


def greens_answer(figure: Observed, raw: Figure | None) -> OnTheGreens | None:
    """None where putting does not decide the figure, or no round was on disturbed greens."""
    greens = count_greens(figure)
    return OnTheGreens(greens.disturbed, greens.waiting, raw, greens.words) if greens.disturbed else None
