"""What is told of one round's strokes gained: every number with what it came from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Annotated
from uuid import UUID

import numpy as np
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as noop

from golfstats.calc.strokes.benchmark import Benchmark as Golfer
from golfstats.calc.strokes.selection import UnknownBenchmarkError
from golfstats.calc.units import Unit
from golfstats.calc.vocabulary import UNKNOWN, Lie, Part
from golfstats.ground.answers import OneOf, up_to
from golfstats.ground.clubs.models import Club, DistanceUnit
from golfstats.ground.operations import Asker
from golfstats.ground.words import a_golfer, spoken, why_given_up, with_marks
from players.figures.answers.stored import PartWord
from players.figures.round_analysis import (
    PART_RULES,
    RoundAnalysis,
    computed_analysis,
    part_rule,
    stored_analysis,
    stored_benchmark,
)
from players.golf.answers import Benchmark, benchmark_of
from players.golf.benchmarks import measure_of
from players.golf.questions import BenchmarkQuery, unknown_benchmark
from players.golf.words import strokes_words
from players.rounds.answers import RoundHead, round_head
from players.rounds.fields import from_yards
from players.rounds.models import AnalysisState
from players.rounds.models import Round as RoundRow

STATES = {
    AnalysisState.PENDING: noop("The worker has not analysed this round yet; ask again in a few seconds."),
    AnalysisState.FAILED: noop("The analysis failed: {reason} It can be asked for again."),
    AnalysisState.DONE: noop("Analysed."),
}
LieWord = Annotated[str, OneOf(Lie)]
DistanceWord = Annotated[str, OneOf(Unit, "LengthUnit", ("yd", "ft", "m"))]


class WorkedOut(StrEnum):
    """Where the figures of an answer are from."""

    STORED = "stored by the worker"
    """Kept since the worker analysed the rounds: against the club's own benchmark."""
    NOW = "computed for this answer"
    """Against another golfer, whom the request named."""


WorkedOutWord = Annotated[str, OneOf(WorkedOut)]


@dataclass(frozen=True)
class PartOfRound:
    """What one part of the game gained in a round."""

    part: PartWord
    """The part of the game."""
    strokes_gained: float
    shots: int
    """How many shots belong to it."""
    rule: str
    """What belongs to the part."""


@dataclass(frozen=True, kw_only=True)
class RoundTotal:
    """A round in all. Without a covered hole there are no strokes gained."""

    holes_played: int
    holes_covered: int
    """Holes with every shot recorded: those that count here."""
    strokes_gained: float | None
    """Expected strokes from where each shot was played, less those from where it finished and the stroke itself,
    summed over the round. Zero is the golfer compared with, more is better. Nothing without a hole of which
    every shot is recorded.
    """
    parts: list[PartOfRound] = up_to(4)
    """What each part of the game gained."""
    words: str


@dataclass(frozen=True)
class PartOfHole:
    """What one part of the game gained on a hole."""

    part: PartWord
    """The part of the game."""
    strokes_gained: float


@dataclass(frozen=True, kw_only=True)
class AnalysedShot:
    """A shot, and what it gained: null where the hole is not covered."""

    id: UUID
    number: int
    """1 is the first of the hole."""
    lie: LieWord
    distance: float
    """To the hole before the shot."""
    distance_unit: DistanceWord
    club: str | None
    holed: bool
    penalty_strokes: int
    part: PartWord
    """Part of the game that the shot belongs to."""
    part_rule: str
    """Why it belongs to that part."""
    expected_before: float | None
    """Strokes that the benchmark needs from where it was played."""
    expected_after: float | None
    """Strokes that the benchmark needs from where it finished."""
    strokes_gained: float | None
    words: str | None


@dataclass(frozen=True, kw_only=True)
class AnalysedHole:
    """A hole with its shots. One that is not covered has no strokes gained."""

    number: int
    """Number of the hole."""
    par: int | None
    """Par of the hole."""
    length: float
    """From the tee to the hole, in the club's unit."""
    score: int
    """Strokes, penalties included."""
    picked_up: bool
    covered: bool
    """Every shot is recorded until the ball was holed or picked up."""
    expected_from_tee: float | None
    """Strokes that the benchmark needs from the tee; null where nothing is known of it."""
    strokes_gained: float | None
    parts: list[PartOfHole] = up_to(4)
    """What each part of the game gained."""
    words: str
    shots: list[AnalysedShot] = up_to(5)
    """In the order played."""


@dataclass(frozen=True, kw_only=True)
class AnalysisOfRound:
    """Strokes gained hole by hole and shot by shot; nothing but the state while the worker has yet to come to it."""

    round: RoundHead
    """Which round."""
    analysis: AnalysisState
    """How far the worker is."""
    words: str
    benchmark: Benchmark
    source: str | None
    """Whether the worker stored the figures or they were computed for this answer."""
    total: RoundTotal | None
    """The round in all; null until it is analysed."""
    holes: list[AnalysedHole] = up_to(18)
    """In the order of their numbers."""


def analyses(asker: Asker, rounds: Sequence[RoundRow], query: BenchmarkQuery) -> list[AnalysisOfRound]:
    return [analysis(asker, round_, query) for round_ in rounds]


def analysis(asker: Asker, round_: RoundRow, query: BenchmarkQuery) -> AnalysisOfRound:
    """The round's analysis against the benchmark asked for; the club's own as the worker stored it."""
    club, key = asker.club, query.benchmark or asker.club.benchmark
    try:
        golfer = measure_of(key, [round_.player_id])
    except UnknownBenchmarkError as error:
        raise unknown_benchmark(error) from None
    if key == club.benchmark and round_.analysis != AnalysisState.DONE:
        return _answer(round_, golfer)
    if key == stored_benchmark(round_.id):
        strokes = stored_analysis(round_.id, club, golfer)
    else:
        strokes = computed_analysis(round_.id, club, key)
    return _answer(round_, strokes.benchmark, _Teller(strokes, query.shown_unit(asker), club))


def _answer(round_: RoundRow, golfer: Golfer, teller: _Teller | None = None) -> AnalysisOfRound:
    state = AnalysisState(round_.analysis)
    return AnalysisOfRound(
        round=round_head(round_),
        analysis=state,
        words=gettext(STATES[state]).format(reason=why_given_up(round_.analysis_reason)),
        benchmark=benchmark_of(golfer),
        source=None if teller is None else teller.source,
        total=None if teller is None else teller.total(),
        holes=[] if teller is None else teller.holes(),
    )


@dataclass(frozen=True)
class _Teller:
    """Tells one round's analysis in one unit."""

    of: RoundAnalysis
    unit: str
    club: Club
    parts: tuple[Part, ...] = field(default=tuple(Part))

    @property
    def source(self) -> str:
        return WorkedOut.STORED if self.of.stored else WorkedOut.NOW

    def total(self) -> RoundTotal:
        totals, played = self.of.by_round, len(self.of.loaded.record.holes)
        covered = int(totals.holes[0]) if len(totals.holes) else 0
        if covered == 0:
            words = gettext(
                "No strokes gained: no hole has every shot recorded until the ball was holed or picked up."
            )
            return RoundTotal(
                holes_played=played, holes_covered=0, strokes_gained=None, parts=[], words=words
            )
        total = float(totals.total[0])
        estimated = int(totals.estimated[0])
        strokes, golfer = strokes_words(total), a_golfer(spoken(self.of.benchmark.name))
        words = gettext("{strokes} strokes against {golfer} over {played} holes.")
        if covered < played:
            words = gettext(
                "{strokes} strokes against {golfer} over {covered} of {played} holes played; the other holes are not "
                "complete."
            )
        words = words.format(strokes=strokes, golfer=golfer, covered=covered, played=played)
        if estimated:
            ends = gettext("On {holes} of them the ball was picked up and the end is an estimate.")
            words = f"{words} {ends.format(holes=estimated)}"
        return RoundTotal(
            holes_played=played,
            holes_covered=covered,
            strokes_gained=total,
            parts=[
                PartOfRound(
                    part.word,
                    float(totals.gained[0, part]),
                    int(totals.shots[0, part]),
                    gettext(PART_RULES[part]),
                )
                for part in self.parts
            ],
            words=words,
        )

    def holes(self) -> list[AnalysedHole]:
        return [self._hole(row) for row in range(len(self.of.loaded.record.holes))]

    def _hole(self, row: int) -> AnalysedHole:
        holes, shots = self.of.loaded.record.holes, self.of.loaded.record.shots
        rows = [int(shot) for shot in np.flatnonzero(shots.hole == row)]
        covered = bool(self.of.by_hole.holes[row])
        expected = float(self.of.expected_before[rows[0]]) if covered else None
        gained = float(self.of.by_hole.total[row]) if covered else None
        words = gettext(
            "No strokes gained: not every shot is recorded until the ball was holed or picked up."
        )
        if expected is not None and gained is not None:
            taken = self._taken(row, expected - gained)
            words = gettext("{expected} expected from the tee − {taken} = {gained}").format(
                expected=strokes_words(expected, signed=False), taken=taken, gained=strokes_words(gained)
            )
        return AnalysedHole(
            number=int(holes.number[row]),
            par=int(holes.par[row]) if holes.par[row] != UNKNOWN else None,
            length=from_yards(float(holes.length[row]), self.unit, on_green=False),
            score=int(holes.score[row]),
            picked_up=bool(holes.picked_up[row]),
            covered=covered,
            expected_from_tee=expected,
            strokes_gained=gained,
            parts=[
                PartOfHole(part.word, float(self.of.by_hole.gained[row, part]))
                for part in self.parts
                if covered and self.of.by_hole.shots[row, part]
            ],
            words=words,
            shots=[self._shot(shot) for shot in rows],
        )

    def _taken(self, row: int, strokes: float) -> str:
        """The score, or up to where the ball was picked up the strokes taken and those still likely."""
        holes = self.of.loaded.record.holes
        if not holes.picked_up[row]:
            return gettext("{strokes} taken").format(strokes=holes.score[row])
        return gettext("{strokes} taken and still likely (picked up)").format(
            strokes=strokes_words(strokes, signed=False)
        )

    def _shot(self, row: int) -> AnalysedShot:
        shots = self.of.loaded.record.shots
        club, lie = int(shots.club[row]), int(shots.lie[row])
        gained = float(self.of.strokes_gained[row])
        known = not np.isnan(gained)
        return AnalysedShot(
            id=self.of.loaded.shot_ids[row],
            number=int(shots.number[row]),
            lie=Lie(lie).word,
            distance=self._distance(lie, float(shots.distance[row])),
            distance_unit=self._distance_unit(lie),
            club=self.of.loaded.clubs[club] if club != UNKNOWN else None,
            holed=bool(shots.holed[row]),
            penalty_strokes=int(shots.penalty[row]),
            part=Part(self.of.part[row]).word,
            part_rule=part_rule(
                int(self.of.part[row]), from_tee=lie == Lie.TEE, short_game_yards=self.club.short_game_yards
            ),
            expected_before=float(self.of.expected_before[row]) if known else None,
            expected_after=float(self.of.expected_after[row]) if known else None,
            strokes_gained=gained if known else None,
            words=self._shot_words(row) if known else None,
        )

    def _shot_words(self, row: int) -> str:
        shots = self.of.loaded.record.shots
        before, after = float(self.of.expected_before[row]), float(self.of.expected_after[row])
        penalty = int(shots.penalty[row])
        start = self._expected(before, int(shots.lie[row]), float(shots.distance[row]))
        if shots.holed[row]:
            finish = gettext("0 (holed)")
        elif shots.lie_after[row] == UNKNOWN:
            likely = strokes_words(after, signed=False)
            finish = gettext("{strokes} still likely (picked up)").format(strokes=likely)
        else:
            finish = self._expected(after, int(shots.lie_after[row]), float(shots.distance_after[row]))
        words = gettext("{start} − {finish} − 1 stroke = {gained}")
        if penalty:
            words = gettext("{start} − {finish} − 1 stroke − {penalty} penalty = {gained}")
        gained = strokes_words(float(self.of.strokes_gained[row]))
        return words.format(start=start, finish=finish, penalty=penalty, gained=gained)

    def _expected(self, strokes: float, lie: int, yards: float) -> str:
        """``2.91 expected from 140 yd, fairway``."""
        words = gettext("{strokes} expected from {distance} {unit}, {lie}")
        if lie == Lie.GREEN:
            words = gettext("{strokes} expected from {distance} {unit} on the green")
        return words.format(
            strokes=strokes_words(strokes, signed=False),
            distance=with_marks(f"{self._distance(lie, yards):g}"),
            unit=self._distance_unit(lie),
            lie=gettext(Lie(lie).word.replace("_", " ")),
        )

    def _distance(self, lie: int, yards: float) -> float:
        return from_yards(yards, self.unit, on_green=lie == Lie.GREEN)

    def _distance_unit(self, lie: int) -> DistanceWord:
        if self.unit == DistanceUnit.METRES:
            return "m"
        return "ft" if lie == Lie.GREEN else "yd"
