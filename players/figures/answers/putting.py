"""A player's putting: two spreads pooled over the club, and what follows from them and from their putts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import pairwise

import numpy as np
from django.utils.translation import gettext

from golfstats.calc.figures.approach import Band
from golfstats.calc.putting import tendencies
from golfstats.calc.putting.fit import fit_expected_putts
from golfstats.calc.putting.likelihood import putts_of
from golfstats.calc.putting.make_model import make_probability
from golfstats.calc.putting.outcomes import Outcomes as PuttOutcomes
from golfstats.calc.putting.outcomes import putting_outcomes
from golfstats.calc.putting.player import OutcomeFigures, PlayerSpreads, outcome_figures, player_spreads
from golfstats.calc.putting.slopes import SlopeComparison, below_against_above, gained_on_own_putting
from golfstats.calc.putting.tendencies import SideTest
from golfstats.calc.record import Floats
from golfstats.calc.strokes.benchmark import Benchmark as Golfer
from golfstats.calc.units import FEET_PER_METRE, FEET_PER_YARD, Unit
from golfstats.calc.vocabulary import Lie
from golfstats.ground.answers import up_to
from golfstats.ground.clubs.models import DistanceUnit
from golfstats.ground.operations import Asker
from golfstats.ground.words import counted, day_words, percent_words
from players.figures.named import figures_of
from players.figures.putts_made import MAKE_EDGES_FT, made_spec
from players.golf.analysed import Golf
from players.golf.answers import AboutPlayer, Figure, NamedFigure, Teller, about
from players.golf.benchmarks import ClubPuttingPrior, club_putting_prior
from players.golf.one_player import golf_of_each
from players.golf.questions import WindowQuery
from players.golf.words import by_chance_words, ends, strokes_words
from players.people.models import Player

FIRST_PUTTS_FT = np.array([3.0, 5.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0])
FITTED_FEET = np.array([3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0])
HABITS = ["gained.putting", "putts.round", "putts.green_in_regulation", "putts.three"]
ALL_PUTTS = "putting.made.0+"
SURE = 0.10
"""A two-sided chance below this is called more than chance."""

Chance = Callable[[Floats], Floats]


@dataclass(frozen=True)
class BenchmarkSpreads:
    """The benchmark as a putter."""

    direction: float
    """Standard deviation in degrees."""
    distance: float
    """Standard deviation in percent of the length."""
    words: str


@dataclass(frozen=True)
class Spreads:
    """How far putts start off line and roll off length: standard deviations."""

    direction: Figure
    """How far putts start off the line meant: two in three start within so many degrees of it. Less is better."""
    distance: Figure
    """How far putts roll off the length meant: two in three within so many percent of it. Less is better."""
    benchmark: BenchmarkSpreads
    words: str
    """What the spreads were pooled with."""


@dataclass(frozen=True)
class MadePutts(NamedFigure):
    """Putts from a range of distances: the share holed beside what two golfers would have holed of them."""

    nearest: float
    """Shortest distance of the range."""
    farthest: float | None
    """Null for the longest putts, which have no end."""
    distance_unit: Unit
    benchmark: float | None
    """Share that the benchmark golfer would have holed of these very putts."""
    own_model: float | None
    """Share that the player's two spreads give for these very putts."""


@dataclass(frozen=True)
class BenchmarkOutcomes:
    """What a first putt comes to for the benchmark golfer."""

    expected_putts: float
    one_putt: float
    two_putts: float
    three_putts_or_more: float


@dataclass(frozen=True)
class FirstPutt:
    """What a first putt from a distance comes to."""

    distance: float
    """To the hole."""
    distance_unit: Unit
    expected_putts: Figure
    """Putts that a first putt from this distance comes to on the mean, by the player's own spreads of line and
    length. Less is better.
    """
    one_putt: Figure
    two_putts: Figure
    three_putts_or_more: Figure
    """How often a first putt from this distance ends in three putts or more, by the player's own spreads."""
    benchmark: BenchmarkOutcomes


@dataclass(frozen=True)
class MissedSides:
    """Misses below and above the hole of putts that had the length, the two directions of break against each other."""

    low: int
    """Misses below the hole."""
    high: int
    """Misses above the hole."""
    set_aside: int
    """Misses to a known side that say nothing of the read: too soft, of unknown length or break."""
    share_low: Figure
    """Of the misses, how many passed below the hole: the mean of the shares with each direction of break, so
    that neither pull nor push counts. Half is even; more says that too little break is played.
    """
    p_value: float | None
    """Of Fisher's exact test of the side against the direction of break; null with too few."""
    words: str


@dataclass(frozen=True)
class UnderReading:
    """Whether too little break is played."""

    read_faults: MissedSides
    """Misses put down to the read: what the player believes."""
    breaking_misses: MissedSides
    """Misses on breaking putts, whatever they were put down to: they tell whether too little break is played."""


@dataclass(frozen=True)
class Slopes:
    """Strokes gained a putt from below and from above the hole, distance allowed for."""

    below: Figure
    """From below the hole: uphill putts."""
    above: Figure
    """From above the hole: downhill putts."""
    difference: Figure
    """Below less above."""
    words: str


@dataclass(frozen=True, kw_only=True)
class Putting(AboutPlayer):
    """A player's putting."""

    spreads: Spreads
    """How steady line and length are."""
    make_curve: list[MadePutts] = up_to(12)
    """Putts holed, by distance."""
    first_putts: list[FirstPutt] = up_to(9)
    """What first putts come to, by distance."""
    habits: list[NamedFigure] = up_to(10)
    """How putts are missed."""
    under_reading: UnderReading
    """Whether putts that break are read with too little break."""
    below_against_above_the_hole: Slopes
    """What it is worth to putt uphill."""


@dataclass(frozen=True)
class BenchmarkPutter:
    """The two spreads whose expected putts come nearest to a benchmark's."""

    direction_degrees: float
    distance_percent: float
    make: Chance
    """Chance to hole from distances in feet."""
    outcomes: PuttOutcomes
    """From :data:`FIRST_PUTTS_FT`."""


def putting(asker: Asker, players: Sequence[Player], query: WindowQuery) -> list[Putting]:
    """The putting of each player, pooled with the club's golfers."""
    prior, unit = club_putting_prior(), query.shown_unit(asker)
    return [
        _putting(player, golf, prior, Teller(player.id, query, unit))
        for player, golf in zip(players, golf_of_each(asker, players, query), strict=True)
    ]


def _putting(player: Player, golf: Golf, prior: ClubPuttingPrior, tell: Teller) -> Putting:
    record = golf.analysed.record
    spreads = player_spreads(putts_of(record), prior.prior)
    direction_sd, distance_sd = (float(value) for value in np.exp(spreads.log_mean))
    benchmark = benchmark_putter(golf.benchmark)
    own = partial(make_probability, direction_sd=direction_sd, distance_sd=distance_sd)
    slopes = below_against_above(record, gained_on_own_putting(record, direction_sd, distance_sd))
    reading = tendencies.under_reading(record)
    outcomes = outcome_figures(spreads, FIRST_PUTTS_FT)
    return Putting(
        **vars(about(player, golf)),
        spreads=_spreads(spreads, benchmark, prior, tell),
        make_curve=[
            _made(golf, Band(*edges), benchmark.make, own, tell) for edges in pairwise(MAKE_EDGES_FT)
        ],
        first_putts=[_first_putt(one, row, benchmark, tell) for row, one in enumerate(outcomes)],
        habits=[
            tell.named(one.spec, one.figure)
            for one in figures_of(golf, HABITS + [spec.key for spec in tendencies.FIGURES])
        ],
        under_reading=UnderReading(
            _sides(reading.read_faults, _blame_words(reading.read_faults), tell),
            _sides(reading.breaking_misses, _side_words(reading.breaking_misses), tell),
        ),
        below_against_above_the_hole=_slopes(slopes, tell),
    )


def benchmark_putter(benchmark: Golfer) -> BenchmarkPutter:
    """The benchmark as a putter. The fit takes a second or so and is remembered."""
    lies = np.full(len(FITTED_FEET), int(Lie.GREEN), dtype=np.int64)
    expected = benchmark.expected(lies, FITTED_FEET / FEET_PER_YARD)
    return _putter_expecting(tuple(round(float(putts), 4) for putts in expected))


@lru_cache(maxsize=256)
def _putter_expecting(expected_putts: tuple[float, ...]) -> BenchmarkPutter:
    fit = fit_expected_putts(FITTED_FEET, np.array(expected_putts))
    return BenchmarkPutter(
        direction_degrees=float(np.degrees(fit.direction_sd)),
        distance_percent=100 * fit.distance_sd,
        make=partial(make_probability, direction_sd=fit.direction_sd, distance_sd=fit.distance_sd),
        outcomes=putting_outcomes(FIRST_PUTTS_FT, fit.direction_sd, fit.distance_sd),
    )


def _spreads(
    spreads: PlayerSpreads, benchmark: BenchmarkPutter, prior: ClubPuttingPrior, tell: Teller
) -> Spreads:
    pooled = (
        gettext("Pooled with the club's golfers ({players}, {putts}), fitted on {day}.").format(
            players=counted(prior.players, "player"),
            putts=counted(prior.putts, "putt"),
            day=day_words(prior.fitted_on),
        )
        if prior.fitted_on
        else gettext("Pooled with the usual golfer: the club's own putting has not been fitted yet.")
    )
    return Spreads(
        direction=tell.plain(spreads.direction, "putt", shots_of=ALL_PUTTS),
        distance=tell.plain(spreads.distance, "putt", shots_of=ALL_PUTTS),
        benchmark=BenchmarkSpreads(
            direction=round(benchmark.direction_degrees, 2),
            distance=round(benchmark.distance_percent, 1),
            words=gettext("The two spreads whose expected putts come nearest to the benchmark's."),
        ),
        words=pooled,
    )


def _made(golf: Golf, band: Band, benchmark: Chance, own: Chance, tell: Teller) -> MadePutts:
    spec = made_spec(band)
    observed = spec.observe(golf.analysed)
    feet = FEET_PER_YARD * golf.analysed.record.shots.distance[observed.shot]
    named = vars(tell.named(spec, spec.figure(observed)))
    theirs, mine = (float(np.mean(chance(feet))) if len(feet) else None for chance in (benchmark, own))
    if named["enough"] and theirs is not None:
        named["words"] = gettext(
            "{words}; the benchmark golfer would hole {share} of these very putts"
        ).format(words=named["words"], share=percent_words(theirs))
    return MadePutts(
        **named,
        nearest=_feet(band.low, tell.unit),
        farthest=_feet(band.high, tell.unit) if np.isfinite(band.high) else None,
        distance_unit=_short_unit(tell.unit),
        benchmark=theirs,
        own_model=mine,
    )


def _first_putt(outcome: OutcomeFigures, row: int, benchmark: BenchmarkPutter, tell: Teller) -> FirstPutt:
    theirs = benchmark.outcomes
    return FirstPutt(
        distance=_feet(outcome.distance_ft, tell.unit),
        distance_unit=_short_unit(tell.unit),
        expected_putts=tell.plain(outcome.expected_putts, "putt"),
        one_putt=tell.plain(outcome.one, "putt"),
        two_putts=tell.plain(outcome.two, "putt"),
        three_putts_or_more=tell.plain(outcome.three_or_more, "putt"),
        benchmark=BenchmarkOutcomes(
            expected_putts=round(float(theirs.expected_putts[row]), 3),
            one_putt=round(float(theirs.one[row]), 4),
            two_putts=round(float(theirs.two[row]), 4),
            three_putts_or_more=round(float(theirs.three_or_more[row]), 4),
        ),
    )


def _sides(test: SideTest, words: str, tell: Teller) -> MissedSides:
    share = tell.plain(test.share_low, "missed putt", shots_of="putting.miss.low")
    return MissedSides(test.low, test.high, test.set_aside, share, test.p_value, words)


def _blame_words(test: SideTest) -> str:
    """Who looks for the fault in the read where a putt missed low has such misses low: no habit follows from them."""
    return gettext(
        "{low} of {all} misses put down to the read were low: what was believed on the green. All misses that had the "
        "length tell whether it is so."
    ).format(low=test.low, all=test.low + test.high)


def _side_words(test: SideTest) -> str:
    counts = gettext("{low} of {all} misses that had the length were low").format(
        low=test.low, all=test.low + test.high
    )
    if test.p_value is None:
        few = gettext(
            "{counts}: too few with each direction of break to tell a habit from chance, pull and pace."
        )
        return few.format(counts=counts)
    by_chance = by_chance_words(test.p_value)
    if test.p_value >= SURE:
        return gettext(
            "{counts}: no habit can be told; by chance alone it would be as one-sided {cases}."
        ).format(counts=counts, cases=by_chance)
    habit = gettext("{counts}: too much break is played; by chance alone it would be as one-sided {cases}.")
    if (test.share_low.value or 0.0) > 0.5:
        habit = gettext(
            "{counts}: too little break is played; by chance alone it would be as one-sided {cases}."
        )
    return habit.format(counts=counts, cases=by_chance)


def _slopes(slopes: SlopeComparison, tell: Teller) -> Slopes:
    return Slopes(
        below=tell.plain(slopes.below, "putt", signed=True),
        above=tell.plain(slopes.above, "putt", signed=True),
        difference=tell.plain(slopes.difference, "putt", signed=True),
        words=_slope_words(slopes),
    )


def _slope_words(slopes: SlopeComparison) -> str:
    difference = slopes.difference
    if difference.value is None or difference.low is None or difference.high is None:
        return gettext("Too few putts noted uphill and downhill to compare them.")
    if difference.low <= 0 <= difference.high:
        return gettext("No clear difference between putts from below and from above the hole.")
    words = gettext("Better from above the hole by {strokes} strokes a putt, distance allowed for.")
    if difference.value > 0:
        words = gettext("Better from below the hole by {strokes} strokes a putt, distance allowed for.")
    return words.format(strokes=strokes_words(abs(difference.value), signed=False, within=ends(difference)))


def _feet(feet: float, unit: str) -> float:
    return round(feet / FEET_PER_METRE, 2) if unit == DistanceUnit.METRES else feet


def _short_unit(unit: str) -> Unit:
    return Unit.METRES if unit == DistanceUnit.METRES else Unit.FEET
