"""A club's settings are checked by what reads them: what would stop a reader is refused where it is entered."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from pydantic import ValidationError

from golfstats.calc.strokes.selection import UnknownBenchmarkError
from golfstats.ground import inputs
from golfstats.ground.clock import time_zones
from golfstats.ground.clubs.models import DateStyle, DistanceUnit, ErasedGolf, FirstWeekday
from golfstats.ground.faults import Fault
from golfstats.ground.names import name_faults
from golfstats.sentences import Sentence, words_of
from players.golf.benchmarks import benchmark_for
from players.handicap.rules import HandicapChoices, rules_of
from players.rounds.models import RoundFormat

LONGEST_KEPT = 100
"""Years."""
TENTH = Decimal("0.1")
"""An index is a whole number of them."""

Check = Callable[[Any], Iterable[Fault]]


def faults_of_settings(given: Mapping[str, object]) -> list[Fault]:
    """Every fault of the settings to be changed, by their names; in the scope of their club."""
    return [
        replace(fault, pointer=f"/{name}{fault.pointer}")
        for name, value in given.items()
        for fault in CHECKS[name](value)
    ]


def _name(value: str) -> Iterable[Fault]:
    if not value.strip():
        yield Fault("", "empty", Sentence("a club has a name"))
    yield from name_faults(value)


def _time_zone(value: str) -> Iterable[Fault]:
    if value not in time_zones():
        yield Fault("", "unknown_time_zone", Sentence("a name of the IANA time zone database"))


def _distance_unit(value: str) -> Iterable[Fault]:
    if value not in DistanceUnit.values:
        yield Fault("", "unknown_unit", Sentence("one of {values}", values=", ".join(DistanceUnit.values)))


def _date_style(value: str) -> Iterable[Fault]:
    if value not in DateStyle.values:
        yield Fault("", "unknown_choice", Sentence("one of {values}", values=", ".join(DateStyle.values)))


def _first_weekday(value: str) -> Iterable[Fault]:
    if value not in FirstWeekday.values:
        yield Fault("", "unknown_choice", Sentence("one of {values}", values=", ".join(FirstWeekday.values)))


def _short_game_yards(value: float) -> Iterable[Fault]:
    if not 0 < value <= 300:
        yield Fault("", "out_of_range", Sentence("more than 0 and at most 300 yards"))


def _band_edges(value: list[float]) -> Iterable[Fault]:
    if any(left >= right for left, right in itertools.pairwise(value)):
        yield Fault("", "not_ascending", Sentence("edges grow from one to the next"))
    if len(value) == 1:
        yield Fault(
            "", "too_few", Sentence("one edge makes no band: give two or more, or none for the usual ones")
        )


def _benchmark(value: str) -> Iterable[Fault]:
    try:
        benchmark_for(value)
    except UnknownBenchmarkError as error:
        yield Fault("", "unknown_benchmark", words_of(error))


def _handicap_rules(value: dict[str, object]) -> Iterable[Fault]:
    try:
        chosen = HandicapChoices.model_validate(value)
        rules_of(value)
    except ValidationError as error:
        yield from inputs.faults_of(error, value)
        return
    if chosen.maximum_index is not None and chosen.maximum_index % TENTH:
        too_fine = Sentence("no more than {decimal_places} digits after the decimal point", decimal_places=1)
        yield Fault("/maximum_index", "decimal_max_places", too_fine)
    for day in chosen.inactive_season or ():
        if not _is_a_day(*day):
            yield Fault(
                "/inactive_season",
                "no_such_day",
                Sentence("no year has a day {day} in month {day_}", day=day[1], day_=day[0]),
            )
    unknown = sorted((chosen.authorised_formats or frozenset()) - set(RoundFormat.values))
    if unknown:
        yield Fault(
            "/authorised_formats",
            "unknown_format",
            Sentence("no such formats: {unknown}", unknown=", ".join(unknown)),
        )


def _is_a_day(month: int, day: int) -> bool:
    try:
        return bool(date(2024, month, day))  # a leap year: 29 February is a day
    except ValueError:
        return False


def _erased_golf(value: str) -> Iterable[Fault]:
    if value not in ErasedGolf.values:
        yield Fault("", "unknown_choice", Sentence("one of {values}", values=", ".join(ErasedGolf.values)))


def _rounds_kept_years(value: int) -> Iterable[Fault]:
    if not 0 <= value <= LONGEST_KEPT:
        yield Fault(
            "",
            "out_of_range",
            Sentence("0, for ever, or up to {longest_kept} years", longest_kept=LONGEST_KEPT),
        )


CHECKS: Mapping[str, Check] = {
    "name": _name,
    "time_zone": _time_zone,
    "distance_unit": _distance_unit,
    "date_style": _date_style,
    "first_weekday": _first_weekday,
    "short_game_yards": _short_game_yards,
    "approach_band_edges": _band_edges,
    "benchmark": _benchmark,
    "handicap_rules": _handicap_rules,
    "erased_golf": _erased_golf,
    "rounds_kept_years": _rounds_kept_years,
}
