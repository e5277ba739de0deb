"""The handicap index that other hole scores would have given."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from uuid import UUID

from golfstats.calc import handicap as calc
from golfstats.calc.record import Ints
from golfstats.clubs.models import Club
from players.handicap.history import load_history
from players.handicap.rules import rules_of
from players.queries.analysed import Golf

IndexOf = Callable[[Ints], float | None]

LAST_SCORES = 100
"""Only so many scores are replayed: an index rests on 20, and on the low index of a year before them."""

Rows = dict[int, int]
"""Row among the golf's holes by hole number."""


def index_replay(player: UUID, golf: Golf) -> IndexOf:
    """A function from hole scores (one for each row of the golf's holes) to the handicap index.

    Everything else stays as it is stored: ratings, playing conditions, the committee's decisions, the
    club's rules. ``golf`` has to hold all rounds of this player. Six queries now, and none later.
    """
    history = load_history(player)
    rules = rules_of(Club.objects.get().handicap_rules)
    scores = history.scores[-LAST_SCORES:]
    rows = _rows_by_round(golf)

    def index_of(hole_scores: Ints) -> float | None:
        changed = [_changed(score, rows, hole_scores) for score in scores]
        index = calc.build_record(changed, history.actions, rules).calculated_index
        return None if index is None else float(index)

    return index_of


def _changed(
    score: calc.Score | calc.PenaltyScore, rows: dict[str, Rows], hole_scores: Ints
) -> calc.Score | calc.PenaltyScore:
    if isinstance(score, calc.PenaltyScore):
        return score
    mine = rows[score.key]
    holes = tuple(_with_score(hole, int(hole_scores[mine[hole.number]])) for hole in score.holes)
    return score if holes == score.holes else replace(score, holes=holes)


def _with_score(hole: calc.HoleScore, score: int) -> calc.HoleScore:
    """Most holes keep their score in a replay, and making a new value costs more than the handicap's sums."""
    if score == (hole.most_likely if hole.picked_up else hole.strokes):
        return hole
    if hole.picked_up:
        return replace(hole, most_likely=score)
    return replace(hole, strokes=score)


def _rows_by_round(golf: Golf) -> dict[str, Rows]:
    holes = golf.analysed.record.holes
    rows: dict[str, Rows] = {str(round_id): {} for round_id in golf.loaded.round_ids}
    for row, (round_row, number) in enumerate(zip(holes.round, holes.number, strict=True)):
        rows[str(golf.loaded.round_ids[int(round_row)])][int(number)] = row
    return rows
