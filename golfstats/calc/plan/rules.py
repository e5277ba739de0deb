"""What a player may be shown while a round counts: Rule 4.3a of the Rules of Golf (2023) and its interpretation for
pictures of greens. The committee decides; a local rule may be stricter (G-5 and G-11 of the model local rules).
"""

from __future__ import annotations

from dataclasses import dataclass

from golfstats.calc.vocabulary import Word
from golfstats.sentences import Sentence, joined

CARD_INCHES = (4.25, 7.0)
"""Largest page with pictures of greens."""
INCHES_PER_YARD = (3 / 8) / 5
"""Largest scale of a green's picture: 3/8 inch to 5 yards, or 1:480."""
DEFERS = Sentence("The committee of the day decides; a local rule may forbid more.")


class Shown(Word):
    """What may be asked for."""

    PLAN_CARD = 0
    """The plan as it was made before the round."""
    DISTANCES = 1
    SCORE_SO_FAR = 2
    FORECAST_BEFORE = 3
    """The forecast made before the round, beside the score so far."""
    WEATHER_FORECAST = 4
    GREEN_PICTURE = 5
    ADVICE_FROM_BALL = 6
    """Club or line from where the ball lies now."""
    TODAYS_GREENS = 7
    """What the putts of this round say about the greens."""
    MEASURED_WIND = 8
    MEASURED_HEIGHT = 9
    NEW_PLAN = 10
    """A plan made again from what happened in the round."""
    WHOLE_PLAN = 11
    """The plan with pictures of the holes, whose greens are larger than the rule allows."""


@dataclass(frozen=True)
class Answer:
    """Whether it may be shown, and why."""

    allowed: bool
    reason: str


_FACTS = {
    Shown.PLAN_CARD: Sentence(
        "It was made before the round, and information from before the round may be used (Rule 4.3a(4))."
    ),
    Shown.DISTANCES: Sentence(
        "Distances may be known and measured (Rule 4.3a(1)), unless the committee has forbidden devices."
    ),
    Shown.SCORE_SO_FAR: Sentence("The score is a fact of the round, recorded and not interpreted."),
    Shown.FORECAST_BEFORE: Sentence("It was made before the round (Rule 4.3a(4))."),
    Shown.WEATHER_FORECAST: Sentence("Weather information from forecasts may be used (Rule 4.3a(2))."),
    Shown.GREEN_PICTURE: Sentence(
        "At 3/8 inch to 5 yards or smaller, on a page no larger than 4¼ × 7 inches (4.3a/1)."
    ),
}
_FORBIDDEN = {
    Shown.ADVICE_FROM_BALL: Sentence(
        "A recommended line or club from where the ball lies is not allowed (Rule 4.3a(1))."
    ),
    Shown.TODAYS_GREENS: Sentence(
        "What was recorded during the round may not be processed during it (Rule 4.3a(4))."
    ),
    Shown.MEASURED_WIND: Sentence("Measuring the wind at the course is not allowed (Rule 4.3a(2))."),
    Shown.MEASURED_HEIGHT: Sentence("Measuring changes of elevation is not allowed (Rule 4.3a(1))."),
    Shown.WHOLE_PLAN: Sentence(
        "Its pictures may show greens larger than 3/8 inch to 5 yards (4.3a/1): the card has them in the size allowed. "
        "Other courses wait as well, since the day's holes may be entered under another name."
    ),
    Shown.NEW_PLAN: Sentence(
        "A plan made during the round may process what was recorded in it (Rule 4.3a(4)), whatever course it names, "
        "since the day's holes may be entered under another name."
    ),
}


def may_show(what: Shown, *, round_counts: bool, round_over: bool) -> Answer:
    """Whether something may be shown now. Practice rounds and finished rounds are free of the rule."""
    if round_over:
        return Answer(True, Sentence("The round is over."))
    if not round_counts:
        return Answer(
            True, Sentence("A practice round: the Rules of Golf for a round that counts do not bind it.")
        )
    if what in _FACTS:
        return Answer(True, joined(" ", [_FACTS[what], DEFERS]))
    return Answer(False, joined(" ", [_FORBIDDEN[what], Sentence("After the round it is here."), DEFERS]))
