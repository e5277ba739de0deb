"""Every round of some players, and which of its figures a question is about.

Questions about change compare golf as it would have been on undisturbed greens; how it was is shown beside. Strokes
gained are adjusted (:mod:`golfstats.calc.greens.sound`); other figures that putting decides, and rounds of which
nobody knows what their greens cost, wait: they are left out and counted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from uuid import UUID

import numpy as np

from golfstats.calc.figure import Figure
from golfstats.calc.figures.catalogue import UnknownFigureError
from golfstats.calc.greens import sound
from golfstats.calc.observations import AnalysedRecord, FigureSpec, Observations
from golfstats.calc.record import Bools, Floats
from golfstats.calc.strokes.selection import UnknownBenchmarkError
from golfstats.ground.clubs.models import Club
from golfstats.ground.faults import Fault, ProblemError, invalid
from golfstats.ground.operations import Asker
from golfstats.sentences import Sentence, words_of
from players.conditions.answers.stored import stored_surfaces
from players.figures.named import spec_of
from players.golf.analysed import Golf, golf_of
from players.golf.one_player import golf_in
from players.golf.questions import unknown_benchmark
from players.golf.windows import RoundWindow
from players.people.models import Player

DASHBOARD_FIGURES = (
    "gained.total",
    "gained.tee",
    "gained.approach",
    "gained.short_game",
    "gained.putting",
)
"""The figures whose trends are shown where nobody has asked for particular ones."""


ADJUSTED = ("gained.total", "gained.putting")
"""Figures from which the cost of the surface can be taken."""
PUTTED = ("putts.", "putting.made.", "putting.lag.", "putting.miss.", "saves.")
"""Families of figures that putting decides and that cannot be adjusted."""

Seen = tuple[FigureSpec, Observations, Observations]
"""A figure, its observations as on undisturbed greens, and those as it was."""


@dataclass(frozen=True, eq=False)
class History(Golf):
    """Every round of some players; ``analysed`` is as on undisturbed greens."""

    raw: AnalysedRecord
    """As it was."""
    greens: sound.Greens
    """By round."""
    seen: dict[tuple[UUID, str], Seen] = field(default_factory=dict, init=False, repr=False)
    """By player and figure: a report looks at each figure several times."""

    @property
    def doubt(self) -> Floats:
        """Doubt of what was given back to each shot: standard deviations that all shots share."""
        return sound.spread_over_putts(self.raw.record, self.raw.strokes_gained, self.greens.sd)


def history_of(
    players: Iterable[UUID],
    club: Club,
    benchmark: str | None = None,
    since: date | None = None,
    until: date | None = None,
) -> History:
    """All rounds of these players between two dates; refused for an unknown benchmark."""
    try:
        golf = golf_of(players, club, benchmark, RoundWindow.between(since, until))
    except UnknownBenchmarkError as error:
        raise unknown_benchmark(error) from None
    return with_greens([golf])[0]


def histories(
    asker: Asker, players: Sequence[Player], benchmark: str | None = None, since: date | None = None
) -> list[History]:
    """The rounds of each of these players from a day on, read all at once."""
    return with_greens(golf_in(asker, players, benchmark, RoundWindow.between(since)))


def with_greens(golf: Sequence[Golf]) -> list[History]:
    """The same golf with the greens that it met. One query for all."""
    columns = stored_surfaces([round_id for one in golf for round_id in one.loaded.round_ids])
    histories, start = [], 0
    for one in golf:
        rows = slice(start, start + len(one.loaded.round_ids))
        histories.append(_on_its_greens(one, [column[rows] for column in columns]))
        start = rows.stop
    return histories


def _on_its_greens(golf: Golf, stored: Sequence[Floats]) -> History:
    """``stored``: disturbance, then strokes gained by the surface with the ends of their interval."""
    raw = golf.analysed
    disturbance, surface, low, high = stored
    holes = sound.holes_putted(raw.record, raw.strokes_gained)
    greens = sound.Greens.of(disturbance, surface, low, high, holes)
    owed = sound.spread_over_putts(raw.record, raw.strokes_gained, greens.owed)
    adjusted = replace(raw, strokes_gained=raw.strokes_gained + owed)
    return History(**{**vars(golf), "analysed": adjusted}, raw=raw, greens=greens)


@dataclass(frozen=True, eq=False)
class Observed:
    """One figure of one player, with its observations in ``golf``."""

    golf: History
    spec: FigureSpec
    observations: Observations
    """As on undisturbed greens, without the rounds that wait."""
    raw: Observations
    """Of all rounds, as it was."""

    @property
    def adjusted(self) -> bool:
        return self.spec.key in ADJUSTED

    @property
    def minds_greens(self) -> bool:
        """Whether disturbed greens move the figure by themselves."""
        return self.adjusted or self.spec.key.startswith(PUTTED)

    @property
    def doubt(self) -> Floats | None:
        """By round of the golf: the standard deviation of what was taken off its value, nearly one for all rounds."""
        return self.golf.greens.sd if self.adjusted else None

    def figure(self, observations: Observations) -> Figure:
        """The figure over some of the observations, the doubt about the surface in its interval."""
        raw = self.spec.figure(observations)
        if self.doubt is None or not len(observations):
            return raw
        return raw.widened(float(np.mean(self.doubt[observations.round])))

    def select(self, rounds: Bools) -> Observed:
        """Over some rounds of the golf alone (a mask)."""
        chosen, raw = self.observations, self.raw
        return replace(
            self, observations=chosen.select(rounds[chosen.round]), raw=raw.select(rounds[raw.round])
        )


def observed(golf: History, player: UUID, key: str, parameter: str = "/keys") -> Observed:
    """Refused for an unknown figure, which the request has named in ``parameter``."""
    if (player, key) not in golf.seen:
        golf.seen[player, key] = _seen(golf, player, known_spec(golf, key, parameter))
    return Observed(golf, *golf.seen[player, key])


def _seen(golf: History, player: UUID, spec: FigureSpec) -> Seen:
    raw = golf.observations_of(spec.observe(golf.raw), [player])
    if spec.key in ADJUSTED:
        observations = golf.observations_of(spec.observe(golf.analysed), [player])
        return spec, observations.select(golf.greens.known[observations.round]), raw
    if spec.key.startswith(PUTTED):
        return spec, raw.select(~golf.greens.disturbed[raw.round]), raw
    return spec, raw, raw


def known_spec(golf: Golf, key: str, parameter: str = "/keys") -> FigureSpec:
    try:
        return spec_of(golf, key)
    except UnknownFigureError as error:
        raise unknown_figure(error, parameter) from None


def unknown_figure(error: UnknownFigureError, parameter: str) -> ProblemError:
    return invalid([Fault(parameter, "unknown_figure", words_of(error))], Sentence("No such figure"))
