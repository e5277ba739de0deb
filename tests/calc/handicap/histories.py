"""Random histories: rounds of 18, nine and 10-17 holes, playing conditions, exceptional and penalty scores,
two rounds a day, committee actions, entered in any order.
"""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random

from golfstats.calc.handicap import (
    PRESETS,
    PUBLISHED,
    AdjustScores,
    DisregardScores,
    FreezeIndex,
    HoleScore,
    OverrideCap,
    OverrideExceptional,
    PenaltyScore,
    Ratings,
    RemoveTableAdjustment,
    ResetLowIndex,
    Score,
    SetInitialIndex,
)
from golfstats.calc.handicap.rules.settings import EDITION_2020, EDITION_2024, EDITION_2024_APRIL

PARS = (4, 5, 3, 4, 4, 4, 3, 5, 4, 4, 3, 5, 4, 4, 4, 3, 4, 5)
STROKE_INDEXES = (7, 3, 17, 1, 11, 9, 15, 5, 13, 8, 18, 4, 2, 10, 12, 16, 6, 14)
TEES = (
    Ratings(Decimal("71.3"), 128, 72),
    Ratings(Decimal("72.0"), 120, 72),
    Ratings(Decimal("68.4"), 97, 72),
    Ratings(Decimal("75.9"), 151, 72),
)
NINES = (Ratings(Decimal("35.2"), 125, 36), Ratings(Decimal("36.4"), 133, 36))
RULES = (
    PUBLISHED,
    PUBLISHED,
    PUBLISHED,
    PRESETS["denmark"],
    replace(PRESETS["germany"], editions=(EDITION_2020, EDITION_2024_APRIL)),
    replace(PUBLISHED, exceptional_from_rounded=True, first_index_holes=18),
    replace(PUBLISHED, cap_at_20th_score=True),
    replace(PUBLISHED, low_index_counts_early=False, editions=(EDITION_2020, EDITION_2024)),
)
PCC = (0, 0, 0, 0, 0, 0, 0, -1, 1, 2, 3)


def tenth(value: float) -> Decimal:
    return Decimal(round(value * 10)).scaleb(-1)


def random_history(random: Random):
    """Scores in the order in which they were entered, actions, rules."""
    rules = random.choice(RULES)
    ability = random.uniform(-4, 45)
    day = date(2024, 1, 1) + timedelta(days=random.randint(-300, 300))
    scores = []
    for number in range(random.choice((2, 5, 8, 15, 24, 26, 30, 34))):
        day += timedelta(days=random.choice((0, 1, 3, 6, 9, 15, 25, 25, random.choice((40, 200, 390)))))
        drift = ability + 8 * random.random() * (number > 20)
        scores.append(random_score(random, str(number), day, drift))
    actions = [random_action(random, scores) for _ in range(random.choice((0, 0, 1, 2, 4)))]
    random.shuffle(scores)
    return scores, actions, rules


def random_score(random: Random, key: str, day: date, ability: float):
    kind = random.random()
    if kind < 0.03:
        low_or_high = random.choice(("low", "high"))
        return PenaltyScore(key, day, low_or_high, "not posted", random.randint(0, 2))
    over = random.gauss(ability + 3, 4) - (13 if random.random() < 0.06 else 0)
    common = {
        "sequence": random.randint(0, 2),
        "pcc": random.choice(PCC),
        "certified": random.random() > 0.02,
    }
    if kind < 0.55:
        tee = random.choice(TEES)
        return Score(key, day, tee, adjusted_total=round(72 + over), **common)
    if kind < 0.75:
        nine = random.choice(NINES)
        return Score(key, day, nine, holes_in_round=9, adjusted_total=round(36 + over / 2), **common)
    if kind < 0.8:
        return Score(key, day, random.choice(TEES), points=round(random.gauss(33, 5)), **common)
    return random_card(random, key, day, over, common)


def random_card(random: Random, key: str, day: date, over: float, common: dict) -> Score:
    """Hole by hole: nine, 18, or a round broken off."""
    kind = random.random()
    if kind < 0.35:
        holes = random_holes(random, over, range(9))
        return Score(key, day, random.choice(NINES), holes_in_round=9, holes=holes, **common)
    holes = random_holes(random, over, range(18))
    if kind < 0.65:
        return Score(key, day, random.choice(TEES), holes=holes, **common)
    played = random.choice((8, 12, 15, 17))
    holes = tuple(
        hole if hole.number <= played else replace(hole, strokes=None, picked_up=False) for hole in holes
    )
    reason = random.choice((None, "darkness", "darkness"))
    day_2024 = max(day, date(2024, 4, 1))
    return Score(key, day_2024, random.choice(TEES), holes=holes, valid_reason=reason, **common)


def random_holes(random: Random, over: float, places: range) -> tuple[HoleScore, ...]:
    holes = []
    for place in places:
        strokes = max(1, round(PARS[place] + random.gauss(over / 18, 1.3)))
        picked_up = random.random() < 0.08
        most_likely = random.choice((None, strokes + 1)) if picked_up else None
        holes.append(
            HoleScore(
                place + 1,
                PARS[place],
                STROKE_INDEXES[place],
                None if picked_up else strokes,
                picked_up,
                most_likely,
            )
        )
    return tuple(holes)


def random_action(random: Random, scores):
    day = random.choice(scores).played_on + timedelta(days=random.randint(0, 3))
    until = random.choice((None, day + timedelta(days=random.randint(0, 90))))
    index = tenth(random.uniform(-3, 50))
    return random.choice(
        (
            AdjustScores(day, Decimal(random.choice((-3, -1, 1, 2))), "form", random.random() < 0.3),
            FreezeIndex(day, index, until, "review", random.random() < 0.3),
            SetInitialIndex(day, index, "evidence"),
            RemoveTableAdjustment(day, "distorts"),
            OverrideExceptional(
                day, random.choice(scores).key, "short course", Decimal(random.choice((0, -1)))
            ),
            OverrideCap(day, until, "injury"),
            ResetLowIndex(day, "after an increase", random.choice((None, index))),
            DisregardScores(day, day - timedelta(days=random.randint(0, 100)), "lasting change"),
        )
    )
