"""What a jurisdiction decides for itself, and which edition of the rules was in force on a day.

Every default is the published 2024 text (or, where it is silent, the reading named in the comment).
The named presets hold only what a union or a notice has published; a club changes single fields
with :func:`dataclasses.replace`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Literal

from golfstats.calc.handicap.rules.allowances import ALLOWANCES, Allowance

MissingHoles = Literal["expected", "net_par", "net_par_and_one"]
NineHoles = Literal["expected", "pair", "net_par_and_one"]
Period = tuple[date, date]
MonthDay = tuple[int, int]


@dataclass(frozen=True)
class Edition:
    """The parts of the text that changed between editions."""

    name: str
    in_force_from: date
    minimum_of_18: int = 10
    """Holes started for an 18-hole score (Rule 2.2a)."""
    minimum_of_9: int = 9
    """Holes started for a nine-hole score (Rule 2.2b)."""
    missing_holes: MissingHoles = "expected"
    """Rule 3.2b: expected value; before 2024 net par, in the European text with one stroke more on
    the first missing hole when 10-13 holes were played."""
    nine_holes: NineHoles = "expected"
    """Rule 5.1b: expected value for the other nine; before 2024 two nines added, or net par and one."""
    rating_minus_par: bool = True
    """Whether a Course Handicap contains Course Rating - par (Rule 6.1a)."""
    playing_from_rounded: bool = False
    """Whether the Playing Handicap is taken from the rounded Course Handicap (Rule 6.2a says no)."""


EDITION_2020 = Edition(
    "2020",
    date(2020, 1, 1),
    minimum_of_18=14,
    minimum_of_9=7,
    missing_holes="net_par",
    nine_holes="pair",
)
EDITION_2020_EUROPE = replace(
    EDITION_2020,
    name="2020, European text",
    minimum_of_18=10,
    missing_holes="net_par_and_one",
    nine_holes="net_par_and_one",
)
EDITION_2024 = Edition("2024", date(2024, 1, 1))
EDITION_2024_APRIL = replace(EDITION_2024, in_force_from=date(2024, 4, 1))


@dataclass(frozen=True)
class HandicapRules:
    """The choices of one jurisdiction. Rule numbers are those of the Rules of Handicapping."""

    editions: tuple[Edition, ...] = (EDITION_2020, EDITION_2024)
    """In order of their dates; a round is computed by the edition in force when it was played."""

    # Acceptability (2.1)
    authorised_formats: frozenset[str] = frozenset(
        {"stroke_play", "stableford", "par_bogey", "maximum_score", "match_play"}
    )
    certification_required: bool = True
    solo_rounds_count: bool = True
    inactive_season: tuple[MonthDay, MonthDay] | None = None
    """First and last (month, day) on which scores do not count; may run over the new year."""

    # The first index and its limits (4.5, 5.3)
    first_index_holes: int = 54
    maximum_index: Decimal = Decimal("54.0")

    # Hole scores (3.2, 3.3)
    picked_up: Literal["most_likely", "net_double_bogey"] = "most_likely"
    out_of_play_net_par: bool = False

    # Expected score differentials: not published; coefficients of the German Golf Association's notice
    expected_factor: Decimal = Decimal("1.04")
    expected_constant: Decimal = Decimal("2.4")
    expected_places: int | None = None
    """Decimals to which the expected value is rounded before the sum; None: not rounded."""
    expected_from: Literal["when_played", "current"] = "when_played"

    # Playing conditions (5.6)
    pcc_off: tuple[Period, ...] = ()
    """First and last day of each period without playing conditions calculation."""

    # Exceptional scores (5.9)
    exceptional_from_rounded: bool = False
    exceptional_two_above: Literal["9.9", "10.0"] = "10.0"
    """Where the reduction becomes -2.0: from a gap of 10.0, or above 9.9 (the table leaves 9.9-10.0 open)."""

    # Low index and caps (5.7, 5.8)
    low_index_days: int = 365
    low_index_counts_early: bool = True
    """Whether indexes calculated from fewer than 20 scores count for the Low Handicap Index."""
    cap_at_20th_score: bool = False

    # Playing handicap (6.2, Appendix C)
    allowances: Mapping[str, Allowance] = field(default_factory=lambda: ALLOWANCES)
    match_play_on_difference: bool = False
    """Apply the match-play percentage to the difference between Course Handicaps, not to each."""
    local_factor: Decimal = Decimal(1)
    """An extra factor on every Playing Handicap."""

    # Committee (7.1)
    committee_increase: Decimal = Decimal("5.0")
    """How far above the Low Handicap Index a Committee may set an index."""

    def __post_init__(self) -> None:
        starts = [edition.in_force_from for edition in self.editions]
        if not starts or starts != sorted(starts):
            raise ValueError("editions must be given in order of their dates")

    @property
    def differentials_for_index(self) -> int:
        """How many 18-hole differentials the holes for a first index amount to."""
        return -(-self.first_index_holes // 18)

    def edition_for(self, played_on: date) -> Edition:
        """The edition in force on a day; the earliest one before any was."""
        in_force = [edition for edition in self.editions if edition.in_force_from <= played_on]
        return in_force[-1] if in_force else self.editions[0]

    def pcc_for(self, pcc: int, played_on: date) -> int:
        """The day's PCC, or 0 where the jurisdiction had it switched off."""
        return 0 if any(first <= played_on <= last for first, last in self.pcc_off) else pcc


PUBLISHED = HandicapRules()

GERMANY = HandicapRules(
    # German Golf Association's notice on 1 Apr 2024: picked-up holes are net double bogeys.
    editions=(EDITION_2020_EUROPE, EDITION_2024_APRIL),
    picked_up="net_double_bogey",
)
GREAT_BRITAIN_AND_IRELAND = HandicapRules(
    # National notices: until 1 Apr 2024 no Course Rating - par, and rounding twice. Missing holes and
    # nines before that by the European text, our reading.
    editions=(
        replace(
            EDITION_2020_EUROPE,
            name="2020, Great Britain and Ireland",
            rating_minus_par=False,
            playing_from_rounded=True,
        ),
        EDITION_2024_APRIL,
    ),
)
DENMARK = HandicapRules(
    # Danish Golf Union manual, Rule 4.5: one nine-hole score gives the first index.
    editions=(EDITION_2020_EUROPE, EDITION_2024),
    first_index_holes=9,
)
SWEDEN = HandicapRules(
    # Swedish Golf Federation: no PCC from 20 May 2020 to 12 Jan 2022.
    editions=(EDITION_2020_EUROPE, EDITION_2024),
    pcc_off=((date(2020, 5, 20), date(2022, 1, 12)),),
)
PRESETS: Mapping[str, HandicapRules] = {
    "published": PUBLISHED,
    "germany": GERMANY,
    "great_britain_and_ireland": GREAT_BRITAIN_AND_IRELAND,
    "denmark": DENMARK,
    "sweden": SWEDEN,
}
