"""Is what was said of a hole likely, and does it agree with itself? Of one hole, before its card is settled.

Distances are compared in yards and told as they were written. The bounds are common sense, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from golfstats.calc.units import FEET_PER_YARD
from golfstats.sentences import Sentence
from players.rounds.checking.cards import GREEN, PlayedShots, TeeHole, strokes_of
from players.rounds.input import HoleInput
from players.rounds.models import Shot
from players.rounds.notation.writing import lie_and_distance, penalty_of

LONGEST_DRIVE, LONGEST_SHOT = 350.0, 310.0
"""Yards that hardly anybody hits from the tee, and from elsewhere."""
LONG_PUTT = 100 / FEET_PER_YARD
BACKWARDS = 60.0
"""Yards farther from the hole than before the shot, and half of that distance more."""
PUTT_PAST = 25 / FEET_PER_YARD
OFF_THE_FAIRWAY = frozenset({"tee", "rough", "sand", "recovery", "penalty"})


@dataclass(frozen=True)
class Doubt:
    """What looks wrong about a hole or one of its shots."""

    code: str
    field: str
    words: str
    said: str = ""
    did_you_mean: str = ""
    shot: int | None = None


def doubts_of_hole(posted: HoleInput, played: PlayedShots, tee_hole: TeeHole) -> Iterator[Doubt]:
    looked = _Hole(posted, played, tee_hole)
    if played.shots:
        yield from looked.distances()
        yield from looked.penalties()
    yield from looked.score_and_putts()
    yield from looked.fairway()
    yield from looked.green()


@dataclass(frozen=True)
class _Hole:
    posted: HoleInput
    played: PlayedShots
    tee_hole: TeeHole

    @property
    def shots(self) -> list[Shot]:
        return list(self.played.shots)

    def _as_written(self, index: int, times: float = 1.0) -> str:
        """The shot as it was written, or with another distance."""
        shot: Any = self.posted.shots[index]
        return lie_and_distance(shot.lie, shot.distance * times)

    def _about(
        self, code: str, index: int, words: str, did_you_mean: str = "", field: str = "distance"
    ) -> Doubt:
        return Doubt(code, field, words, self._as_written(index), did_you_mean, index + 1)

    # --- distances ----------------------------------------------------------------------------------

    def distances(self) -> Iterator[Doubt]:
        doubtful: set[int] = set()
        for index in range(len(self.shots)):
            for doubt in self._doubts_of_distance(index, doubtful):
                doubtful.add(index)
                yield doubt
        for index in range(len(self.shots)):
            if not {index, index + 1} & doubtful:
                yield from self._doubts_of_length(index)

    def _doubts_of_distance(self, index: int, doubtful: set[int]) -> Iterator[Doubt]:
        shot, length = self.shots[index], self.tee_hole.length
        if index == 0:
            yield from self._from_the_tee(shot.distance, length)
        elif shot.lie == GREEN:
            if shot.distance > LONG_PUTT:
                yield self._about(
                    "very_long_putt", index, Sentence("a very long putt"), self._as_written(index, 0.1)
                )
        elif shot.distance > length + max(20.0, 0.05 * length):
            words = Sentence(
                "farther from the hole than its tee, {length} yards away", length=f"{length:.0f}"
            )
            tenth = shot.distance / 10
            fits = tenth < self.shots[index - 1].distance or index - 1 in doubtful
            yield self._about("farther_than_hole", index, words, self._as_written(index, 0.1) if fits else "")

    def _from_the_tee(self, yards: float, length: float) -> Iterator[Doubt]:
        """Tees are moved, and posts stand elsewhere: by a fifth, or by 40 yards, nobody needs to wonder."""
        usual = max(40.0, 0.2 * length)
        if abs(yards - length) <= usual:
            return
        times = next((t for t in (10.0, 0.1) if abs(yards * t - length) <= usual), length / yards)
        words = Sentence("the hole is {length} yards long from this tee", length=f"{length:.0f}")
        yield self._about("tee_distance_unlike_hole", 0, words, self._as_written(0, times))

    def _doubts_of_length(self, index: int) -> Iterator[Doubt]:
        """How far a shot went, from its distance and the next one's. A drop or a lost ball says nothing."""
        shot = self.shots[index]
        last = index == len(self.shots) - 1
        if shot.penalty_strokes or (last and self.played.hole.picked_up):
            return
        after = 0.0 if last else self.shots[index + 1].distance
        if shot.distance - after > (LONGEST_DRIVE if shot.lie == "tee" else LONGEST_SHOT):
            words = Sentence(
                "the shot before would have gone {distance} yards", distance=f"{shot.distance - after:.0f}"
            )
            if last:
                yield self._about(
                    "shot_too_long",
                    index,
                    Sentence("holed from {distance} yards?", distance=f"{shot.distance:.0f}"),
                )
            else:
                tenfold = self.shots[index + 1].lie != GREEN and after * 10 < shot.distance
                meant = self._as_written(index + 1, 10.0) if tenfold else ""
                yield self._about("shot_too_long", index + 1, words, meant)
        elif not last and self._went_away(index):
            words = Sentence("farther from the hole than the shot before, without a penalty")
            yield self._about("away_from_hole", index + 1, words)

    def _went_away(self, index: int) -> bool:
        shot, after = self.shots[index], self.shots[index + 1]
        farther = after.distance - shot.distance
        if shot.lie == GREEN and after.lie == GREEN:
            return farther > PUTT_PAST
        return farther > max(BACKWARDS, 0.5 * shot.distance)

    # --- penalties ----------------------------------------------------------------------------------

    def penalties(self) -> Iterator[Doubt]:
        for index, shot in enumerate(self.shots):
            kind = shot.penalty_kind
            if kind and kind != "other" and shot.penalty_strokes > 1:
                yield self._unusual(index)
            if kind == "stroke_and_distance" and shot.penalty_strokes == 1 and index + 1 < len(self.shots):
                yield from self._replayed(index)

    def _unusual(self, index: int) -> Doubt:
        shot: Any = self.posted.shots[index]
        strokes, kind = shot.penalty_strokes, (shot.penalty_kind or "").replace("_", " ")
        said, meant = penalty_of(shot), penalty_of(shot, 1)
        words = Sentence(
            "{kind} costs one penalty stroke, this says {strokes}", kind=Sentence(kind), strokes=strokes
        )
        elsewhere = index + 1 < len(self.shots) and not self._same_place(index)
        if shot.penalty_kind == "stroke_and_distance" and elsewhere:
            # Model Local Rule E-5 (from memory): two strokes and a drop where the ball was lost.
            words, meant = (
                Sentence(
                    "{words}; a drop near where the ball was lost, for two, is another penalty", words=words
                ),
                "+2ot",
            )
        return Doubt("unusual_penalty", "penalty_strokes", words, said, meant, index + 1)

    def _same_place(self, index: int) -> bool:
        shot, again = self.shots[index], self.shots[index + 1]
        return shot.lie == again.lie and abs(shot.distance - again.distance) <= max(5.0, 0.03 * shot.distance)

    def _replayed(self, index: int) -> Iterator[Doubt]:
        if self._same_place(index):
            return
        words = Sentence(
            "after stroke and distance the next shot is from where the last one was, {index}",
            index=self._as_written(index),
        )
        yield self._about("replayed_from_elsewhere", index + 1, words, self._as_written(index))

    # --- what was said of the hole as a whole -------------------------------------------------------

    def score_and_putts(self) -> Iterator[Doubt]:
        hole, shots, score = self.played.hole, self.shots, self.played.reported
        if not shots:
            if score is not None and hole.putts == score and not hole.picked_up:
                words = Sentence("as many putts as strokes: none is left to reach the green")
                yield Doubt("no_stroke_to_the_green", "putts", words, f"={score}/{hole.putts}")
            return
        if hole.picked_up:
            if score is not None and score < strokes_of(shots):
                words = Sentence(
                    "{shots} strokes were played, the most likely score is said to be {score}",
                    shots=strokes_of(shots),
                    score=score,
                )
                yield Doubt("score_below_shots", "score", words, f"x{score}")
            return
        putts = sum(shot.lie == GREEN for shot in shots)
        from_fringe = putts + sum(shot.lie == "fringe" for shot in shots)
        if hole.putts is not None and hole.putts not in (putts, from_fringe):
            words = Sentence(
                "{putts} putts were said, {putts_} of the shots are from the green; {putts_} is kept",
                putts=hole.putts,
                putts_=putts,
            )
            yield Doubt("putts_disagree", "putts", words, str(hole.putts), str(putts))
        penalties = sum(shot.penalty_strokes for shot in shots)
        if hole.penalties is not None and hole.penalties != penalties:
            words = Sentence(
                "{penalties} penalty strokes were said, the shots have {penalties_}; {penalties_} is kept",
                penalties=hole.penalties,
                penalties_=penalties,
            )
            yield Doubt("penalties_disagree", "penalties", words, f"pen{hole.penalties}", f"pen{penalties}")

    def fairway(self) -> Iterator[Doubt]:
        hit, shots = self.played.hole.fairway_hit, self.shots
        if hit is None or len(shots) < 2 or shots[0].penalty_strokes:
            return
        lie = shots[1].lie
        if hit is False and lie == "fairway":
            words = Sentence("the fairway is said to be missed, the next shot is from it")
            yield Doubt("fairway_disagrees", "fairway_hit", words, "fw-", "fw+")
        elif hit is True and lie in OFF_THE_FAIRWAY:
            words = Sentence("the fairway is said to be hit, the next shot is from: {lie}", lie=Sentence(lie))
            yield Doubt("fairway_disagrees", "fairway_hit", words, "fw+", "fw-")

    def green(self) -> Iterator[Doubt]:
        noted, par = self.played.hole.green_in_regulation, self.tee_hole.par
        if noted is None or par is None:
            return
        reached = self._strokes_to_green()
        if reached is None or noted == (reached <= par - 2):
            return
        words = Sentence(
            "par {par}, and the green was reached with stroke {reached}", par=par, reached=reached
        )
        signs = ("gir+", "gir-") if noted else ("gir-", "gir+")
        yield Doubt("green_disagrees", "green_in_regulation", words, *signs)

    def _strokes_to_green(self) -> int | None:
        """Strokes with which the green was reached or the ball holed; nothing where nobody can know."""
        hole, shots = self.played.hole, self.shots
        if shots:
            places = [index for index, shot in enumerate(shots) if shot.lie == GREEN]
            if not places and hole.picked_up:
                return None
            return strokes_of(shots[: places[0]] if places else shots)
        if hole.picked_up or self.played.reported is None or hole.putts is None:
            return None
        return self.played.reported - hole.putts
